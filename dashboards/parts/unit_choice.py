"""Yards or metres."""

from __future__ import annotations

import streamlit as st

from dashboards.ui import state
from tracker.domain.vocabulary import LengthUnit
from tracker.report import glossary
from tracker.report.language import _
from tracker.review import club
from tracker.store.database import Database


def unit_choice(database: Database) -> None:
    """The unit distances are shown and typed in."""
    st.segmented_control(
        _("Distances are shown in"),
        list(LengthUnit),
        default=club.length_unit(database),
        required=True,
        format_func=glossary.unit_words,
        key=state.UNIT.key,
        on_change=_set,
        args=(database,),
    )


def _set(database: Database) -> None:
    club.set_length_unit(database, state.UNIT.value() or LengthUnit.YARDS)
