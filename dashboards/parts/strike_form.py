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
from tracker.report import explanations, wording
from tracker.review import logbook
from tracker.store.database import Database

MISSES = (Miss.LEFT, Miss.OVER, Miss.SHORT, Miss.RIGHT)  # left on the left, right on the right

FOOT_LABEL = {Foot.LEFT: "● Left foot", Foot.RIGHT: "Right foot ■"}


def strike_form(
    database: Database, practice: Practice, *, players: list[Player], ladder: Ladder, unit: LengthUnit
) -> None:
    """Player, foot, and a button for every outcome."""
    choose_player(players, state.STRIKER)
    with st.container(key=look.FOOT):
        st.segmented_control(
            "Foot",
            list(Foot),
            default=Foot.LEFT,
            required=True,
            format_func=FOOT_LABEL.__getitem__,
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
            outcome_button("On target", Outcome.ON_TARGET)
        with missed:
            outcome_button("Off target", Outcome.OFF_TARGET)
    st.text("Off target, and you saw which way it went (as the striker sees it):")
    with st.container(key=look.MISSES):
        for column, miss in zip(st.columns(4, wrap=False, gap="small"), MISSES, strict=True):
            with column:
                outcome_button(miss.value.capitalize(), Outcome.OFF_TARGET, miss)
        outcome_button("Blocked on its way: counts neither way", Outcome.BLOCKED)
    messages.show()
    st.caption(ON_TARGET_MEANS)
    st.caption(explanations.STAND_BEHIND)


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
        return f"Stored: {player.display_name}, {strike.foot.value} foot, {wording.outcome_words(outcome, miss)}."

    messages.attempt(logged)
