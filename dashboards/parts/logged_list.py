"""What was just logged, each line with its undo."""

from __future__ import annotations

from uuid import UUID

import streamlit as st

from dashboards.ui import look, messages
from tracker.domain.practice import Practice
from tracker.domain.vocabulary import LengthUnit
from tracker.report import tables, wording
from tracker.report.language import _
from tracker.review import logbook
from tracker.store.database import Database

SHOWN_AT_ONCE = 5


def logged_list(database: Database, practice: Practice, *, unit: LengthUnit) -> None:
    """The latest strikes and sets of a practice, the latest first."""
    lines = tables.logged_lines(logbook.logged(database, practice), unit=unit)
    if not lines:
        st.text(_("Nothing logged yet: press an outcome, or type called-out sets."))
        return
    with st.container(key=look.LOGGED):
        for line, strike_ids in lines[:SHOWN_AT_ONCE]:
            _line(database, line, strike_ids)
        if lines[SHOWN_AT_ONCE:]:
            with st.expander(_("Earlier")):
                for line, strike_ids in lines[SHOWN_AT_ONCE:]:
                    _line(database, line, strike_ids)


def _line(database: Database, line: str, strike_ids: list[str]) -> None:
    with st.container(horizontal=True, wrap=False, vertical_alignment="center"):
        st.text(line, width="stretch")
        st.button(_("Undo"), key=f"undo:{strike_ids[0]}", on_click=_undo, args=(database, line, strike_ids))


def _undo(database: Database, line: str, strike_ids: list[str]) -> None:
    def undone() -> str:
        strikes = logbook.undo(database, [UUID(strike_id) for strike_id in strike_ids])
        return _("Undone, {strikes}: {line}.").format(strikes=wording.counted(strikes, "strike"), line=line)

    messages.attempt(undone)
