"""Logs strikes one by one: the player and the foot stay put, one press on an outcome logs a strike."""

from __future__ import annotations

import streamlit as st

from dashboards.parts.strike_context import context_now
from dashboards.ui import look, messages, state
from dashboards.ui.choices import choose_player
from tracker.domain.ladder import Ladder
from tracker.domain.practice import Practice
from tracker.domain.squad import Player
from tracker.domain.strike import ON_TARGET_MEANS
from tracker.domain.vocabulary import Foot, LengthUnit, Miss, Outcome
from tracker.report import explanations, glossary
from tracker.report.language import _
from tracker.review import logbook
from tracker.store.database import Database

MISSES = (Miss.LEFT, Miss.OVER, Miss.SHORT, Miss.RIGHT)  # left on the left, right on the right


def strike_form(
    database: Database, practice: Practice, *, players: list[Player], ladder: Ladder, unit: LengthUnit
) -> None:
    """Player, foot, and a button for every outcome."""
    choose_player(players, state.STRIKER)
    with st.container(key=look.FOOT):
        st.segmented_control(
            _("Foot"),
            list(Foot),
            default=Foot.LEFT,
            required=True,
            format_func=_foot_label,
            key=state.FOOT.key,
            width="stretch",
            persist_state="session",
        )

    def outcome_button(label: str, outcome: Outcome, miss: Miss | None = None) -> None:
        st.button(
            label,
            key=f"log:{outcome.value}:{miss}",
            type="primary" if outcome is Outcome.ON_TARGET else "secondary",
            width="stretch",
            on_click=_log,
            args=(database, practice, players, ladder, unit, outcome, miss),
        )

    with st.container(key=look.OUTCOMES):
        hit, missed = st.columns(2, wrap=False, gap="small")
        with hit:
            outcome_button(_("On target"), Outcome.ON_TARGET)
        with missed:
            outcome_button(_("Off target"), Outcome.OFF_TARGET)
    st.text(_("Off target, and you saw which way it went (as the striker sees it):"))
    with st.container(key=look.MISSES):
        for column, miss in zip(st.columns(4, wrap=False, gap="small"), MISSES, strict=True):
            with column:
                outcome_button(glossary.miss_word(miss).capitalize(), Outcome.OFF_TARGET, miss)
        outcome_button(_("Blocked on its way: counts neither way"), Outcome.BLOCKED)
    messages.show()
    st.caption(_(ON_TARGET_MEANS))
    st.caption(_(explanations.STAND_BEHIND))


def _foot_label(foot: Foot) -> str:
    """A foot with its sign on the outer side."""
    words = glossary.foot_words(foot)
    return f"● {words}" if foot is Foot.LEFT else f"{words} ■"


def _log(
    database: Database,
    practice: Practice,
    players: list[Player],
    ladder: Ladder,
    unit: LengthUnit,
    outcome: Outcome,
    miss: Miss | None,
) -> None:
    def logged() -> str:
        chosen = state.STRIKER.value()
        player = next((one for one in players if one.player_id == chosen), players[0])
        context = context_now(ladder, unit)
        strike = logbook.log_strike(
            database,
            practice,
            player=player,
            foot=state.FOOT.value() or Foot.LEFT,
            outcome=outcome,
            miss=miss,
            stage=context.stage,
            surface=context.surface,
            distance_m=context.distance_m,
        )
        return _("Stored: {player}, {foot}, {what}.").format(
            player=player.display_name,
            foot=glossary.side_foot(strike.foot),
            what=glossary.outcome_words(outcome, miss),
        )

    messages.attempt(logged)
