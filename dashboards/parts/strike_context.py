"""What stays put between strikes: stage, surface and distance."""

from __future__ import annotations

from dataclasses import dataclass

import streamlit as st

from dashboards.ui import state
from dashboards.ui.escape import plain
from tracker.domain.ladder import Ladder, Stage
from tracker.domain.vocabulary import LengthUnit, Surface
from tracker.report import glossary, wording
from tracker.report.language import _


@dataclass(frozen=True, kw_only=True, slots=True)
class StrikeContext:
    """What every strike logged now has in common. ``distance_m`` is None at the stage's own distance."""

    stage: Stage | None
    surface: Surface | None
    distance_m: float | None


def choose_context(ladder: Ladder, unit: LengthUnit) -> None:
    """Shows what the next strikes have in common, and lets it be changed."""
    now = context_now(ladder, unit)
    with st.expander(
        f"**{plain(wording.context_words(now.stage, now.surface, now.distance_m, unit))}** · {_('change')}"
    ):
        st.selectbox(
            _("Stage"),
            [*(stage.name for stage in ladder.stages), state.NOTHING],
            format_func=lambda name: name or _("No stage"),
            key=state.STAGE.key,
            persist_state="session",
        )
        surfaces = list(Surface) if now.stage is None else list(now.stage.surfaces)
        st.selectbox(
            _("Surface"),
            [state.NOTHING, *surfaces],
            format_func=lambda surface: glossary.surface_words(surface) if surface else _("not said"),
            key=state.SURFACE.key,
            persist_state="session",
        )
        st.number_input(
            _("Distance in {unit}").format(unit=glossary.unit_words(unit)),
            min_value=0.5,
            max_value=100.0,
            step=1.0,
            format="%.1f",
            value=wording.in_unit(now.stage.distance_m, unit) if now.stage else None,
            key=state.distance_at(now.stage).key,
            persist_state="session",
        )


def context_now(ladder: Ladder, unit: LengthUnit) -> StrikeContext:
    """The context as chosen so far; at first the first stage of the ladder."""
    name = state.STAGE.value()
    stage = ladder.stages[0] if name is None else ladder.stage_named(name)
    typed = state.distance_at(stage).value()
    is_own = stage is not None and typed == wording.in_unit(stage.distance_m, unit)
    return StrikeContext(
        stage=stage,
        surface=state.SURFACE.value() or None,
        distance_m=None if typed is None or is_own else wording.in_metres(typed, unit),
    )
