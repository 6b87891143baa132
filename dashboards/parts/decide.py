"""The coach's decisions for a whole squad: taking a suggestion with one press, deciding otherwise, taking it back."""

from __future__ import annotations

from uuid import UUID

import polars as pl
import streamlit as st

from dashboards.parts.placement_form import placement_form
from dashboards.ui import look, messages, state
from dashboards.ui.answers import asked
from dashboards.ui.choices import shirt_and_name
from tracker.domain.ladder import Ladder
from tracker.domain.squad import Player, Squad
from tracker.domain.vocabulary import Foot
from tracker.report import advice_words, board_words, ladder_words, tables
from tracker.report.advice_words import SuggestedMove
from tracker.report.glossary import foot_words
from tracker.report.language import _
from tracker.review import decisions
from tracker.review.ready_rule import move_on_calls
from tracker.store.database import Database

LATEST_SHOWN = 5


def decide_part(
    database: Database, squad: Squad, *, players: list[Player], ladder: Ladder, board: pl.DataFrame
) -> None:
    """The moves the tool suggests, each with a button; a form for any other decision; the latest ones with an undo."""
    by_name = {player.display_name: player for player in players}
    moves = [move for move in advice_words.suggested_moves(board) if move.player in by_name]
    if moves:
        if calls := board_words.moves_on_words(move_on_calls(board, last=ladder.stages[-1])):
            st.text(calls)
        if any(move.keeps and move.is_on for move in moves):
            st.text(advice_words.move_on_wins_words())
        st.text_input(_("Note on the next decision, if you like"), key=state.NOTE.key, max_chars=decisions.LONGEST_NOTE)
        with st.container(key=look.MOVES, gap="xsmall"):
            for move in moves:
                _move_row(database, move, player=by_name[move.player], ladder=ladder)
    else:
        st.text(_("The tool suggests no move now."))
    with st.expander(_("Decide otherwise")):
        _other_decision(database, players=players, ladder=ladder, board=board)
    _latest(database, squad)


def _move_row(database: Database, move: SuggestedMove, *, player: Player, ladder: Ladder) -> None:
    with st.container(horizontal=True, wrap=False, vertical_alignment="center"):
        st.text(move.words, width="stretch")
        st.button(
            _("Move on") if move.is_on else _("Move back"),
            key=f"move:{player.player_id}:{move.foot.value}",
            on_click=_take,
            args=(database, move, player, ladder),
        )


def _take(database: Database, move: SuggestedMove, player: Player, ladder: Ladder) -> None:
    def taken() -> str:
        stage = ladder.stage_named(move.stage) or ladder.stages[0]
        decisions.place(database, player, foot=move.foot, stage=stage, note=state.NOTE.value())
        state.NOTE.put("")
        return ladder_words.placed_words(player.display_name, move.foot, stage.name)

    messages.attempt(taken)


def _other_decision(database: Database, *, players: list[Player], ladder: Ladder, board: pl.DataFrame) -> None:
    by_id = {player.player_id: player for player in players}
    chosen = st.selectbox(
        _("Whose foot"),
        list(by_id),
        format_func=lambda one: shirt_and_name(by_id[one]),
        key=state.PLAYER_DECIDED.key,
    )
    foot = st.segmented_control(
        _("Which foot"),
        list(Foot),
        default=Foot.LEFT,
        required=True,
        format_func=foot_words,
        key=state.FOOT_DECIDED.key,
    )
    player = by_id[chosen]
    mine = tables.of_player(tables.of_foot(board, foot or Foot.LEFT), player.display_name)
    suggested = tables.suggested_stage(mine) or tables.current_stage(mine) or ladder.stages[0].name
    placement_form(database, player, foot=foot or Foot.LEFT, ladder=ladder, suggested=suggested)


def _latest(database: Database, squad: Squad) -> None:
    latest = asked(decisions.latest, database, squad, most=LATEST_SHOWN)
    if not latest:
        return
    with st.expander(_("The latest decisions, and taking one back")), st.container(key=look.DECIDED, gap="xsmall"):
        for player, placement in latest:
            words = ladder_words.placement_words(player.display_name, placement)
            with st.container(horizontal=True, wrap=False, vertical_alignment="center"):
                st.text(words, width="stretch")
                st.button(
                    _("Take back"),
                    key=f"withdraw:{placement.placement_id}",
                    on_click=_withdraw,
                    args=(database, placement.placement_id, words),
                )


def _withdraw(database: Database, placement_id: UUID, words: str) -> None:
    def withdrawn() -> str:
        decisions.withdraw(database, placement_id)
        return _("Taken back: {decision}").format(decision=words)

    messages.attempt(withdrawn)
