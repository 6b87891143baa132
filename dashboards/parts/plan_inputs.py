"""What a plan is asked for: day, minutes, who is there, what is at hand."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import streamlit as st

from dashboards.ui import state
from dashboards.ui.answers import asked
from dashboards.ui.choices import shirt_and_name
from dashboards.ui.escape import plain
from tracker.domain.squad import Player, Squad
from tracker.domain.standards import OLDEST, YOUNGEST, Federation
from tracker.domain.standards_file import federations
from tracker.domain.vocabulary import LengthUnit
from tracker.plan.kept_plan import last_options
from tracker.plan.request import LONGEST_PRACTICE_MIN, SHORTEST_PRACTICE_MIN, Equipment, FootPhase, PlanOptions
from tracker.report import glossary, plan_sentences, wording
from tracker.report.language import _, date_field
from tracker.store.database import Database

USUAL_MINUTES, USUAL_AGE = 75, 12


@dataclass(frozen=True, kw_only=True, slots=True)
class Asked:
    """What the page asks for."""

    day: date
    minutes: int
    present: tuple[str, ...]
    options: PlanOptions


def ask_for_plan(database: Database, squad: Squad, players: list[Player], *, unit: LengthUnit) -> Asked:
    """Day and minutes in sight, the rest to open; what was said for the last plan is filled in."""
    before = asked(last_options, database, squad)
    day_field, minutes_field = st.columns(2)
    with day_field:
        day: date = st.date_input(
            _("Day of the practice"), key=state.PLAN_DAY.key, format=date_field(), persist_state="session"
        )
    with minutes_field:
        minutes = st.number_input(
            _("Minutes"),
            min_value=SHORTEST_PRACTICE_MIN,
            max_value=LONGEST_PRACTICE_MIN,
            value=USUAL_MINUTES,
            step=5,
            key=state.PLAN_MINUTES.key,
            persist_state="session",
        )
    present = _who_is_there(players)
    with st.expander(_("Equipment, people who log, federation and age, other foot")):
        equipment = _equipment(before.equipment, unit)
        options = _others(before, equipment, unit)
    return Asked(day=day, minutes=minutes, present=present, options=options)


def _who_is_there(players: list[Player]) -> tuple[str, ...]:
    by_id = {player.player_id: player for player in players}
    with st.expander(_("Who is there")):
        chosen = st.pills(
            _("Tap those who are missing"),
            list(by_id),
            selection_mode="multi",
            default=list(by_id),
            format_func=lambda one: plain(shirt_and_name(by_id[one])),
            key=state.PLAN_PRESENT.key,
            persist_state="session",
        )
    return tuple(player.display_name for player in players if player.player_id in chosen)


def _equipment(before: Equipment, unit: LengthUnit) -> Equipment:
    st.text(_("Two flags or two cones make a gate."))
    fields = (
        (_("Gates, ready-made"), before.gates, state.PLAN_GATES),
        (_("Flags"), before.flags, state.PLAN_FLAGS),
        (_("Flat cones"), before.cones, state.PLAN_CONES),
        (_("Goals"), before.goals, state.PLAN_GOALS),
        (_("Balls"), before.balls, state.PLAN_BALLS),
    )
    counts = []
    for column, (label, value, slot) in zip(st.columns(len(fields)), fields, strict=True):
        with column:
            counts.append(
                st.number_input(label, min_value=0, max_value=200, value=value, key=slot.key, persist_state="session")
            )
    gates, flags, cones, goals, balls = counts
    width = st.number_input(
        _("Width of your goals in {unit}, where it is not the ladder's").format(unit=glossary.unit_words(unit)),
        min_value=1.0,
        max_value=12.0,
        value=None if before.goal_width_m is None else wording.in_unit(before.goal_width_m, unit),
        step=0.5,
        format="%.1f",
        key=state.PLAN_GOAL_WIDTH.key,
        persist_state="session",
    )
    return Equipment(
        gates=gates,
        flags=flags,
        cones=cones,
        goals=goals,
        balls=balls,
        goal_width_m=None if width is None else wording.in_metres(width, unit),
    )


def _others(before: PlanOptions, equipment: Equipment, unit: LengthUnit) -> PlanOptions:
    width_field, loggers_field = st.columns(2)
    with width_field:
        width = st.number_input(
            _("Width of the space in {unit}").format(unit=glossary.unit_words(unit)),
            min_value=5.0,
            max_value=120.0,
            value=wording.in_unit(before.space_width_m, unit),
            step=1.0,
            format="%.1f",
            key=state.PLAN_WIDTH.key,
            persist_state="session",
        )
    with loggers_field:
        loggers = st.number_input(
            _("People who log"),
            min_value=0,
            max_value=4,
            value=before.loggers,
            key=state.PLAN_LOGGERS.key,
            persist_state="session",
        )
    federation, age, phase = _whose_rules(before)
    return PlanOptions(
        equipment=equipment,
        loggers=loggers,
        federation=federation,
        age=age if federation else None,
        phase=phase,
        space_width_m=wording.in_metres(width, unit),
    )


def _whose_rules(before: PlanOptions) -> tuple[Federation | None, int, FootPhase | None]:
    """The federation, the age, and whether it is a block for the other foot."""
    federation_field, age_field, phase_field = st.columns(3)
    with federation_field:
        known: list[Federation | state.Nothing] = [state.NOTHING, *federations()]
        federation = st.selectbox(
            _("Federation"),
            known,
            index=known.index(before.federation or state.NOTHING),
            format_func=lambda one: one or _("none of these"),
            key=state.PLAN_FEDERATION.key,
            persist_state="session",
        )
    with age_field:
        age = st.number_input(
            _("Age group: U…"),
            min_value=YOUNGEST,
            max_value=OLDEST,
            value=before.age or USUAL_AGE,
            key=state.PLAN_AGE.key,
            persist_state="session",
        )
    with phase_field:
        phases: list[FootPhase | state.Nothing] = [state.NOTHING, *FootPhase]
        phase = st.selectbox(
            _("Other foot"),
            phases,
            index=phases.index(before.phase or state.NOTHING),
            format_func=lambda one: plan_sentences.phase_words(is_block=one == FootPhase.BLOCK if one else None),
            key=state.PLAN_PHASE.key,
            persist_state="session",
        )
    return federation or None, age, phase or None
