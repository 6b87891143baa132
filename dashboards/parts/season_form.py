"""The seasons, and a form for a new one."""

from __future__ import annotations

from datetime import date, datetime

import streamlit as st

from dashboards.ui import messages, state
from dashboards.ui.table import show_table
from tracker.report import tables
from tracker.report.language import _, date_field
from tracker.review import club
from tracker.store.database import Database


def season_part(database: Database) -> None:
    """The seasons there are, and a form to add one."""
    seasons = club.seasons(database)
    if seasons:
        show_table(tables.seasons_table(seasons), label=_("The seasons"))
    else:
        st.info(_("No season yet. A season lets you look at its practices alone; strikes can be logged without one."))
    name, starts_on, ends_on = club.season_around(datetime.now().astimezone().date())
    with st.form("season", border=True):
        st.text_input(_("Name of the season"), name, key=state.SEASON_NAME.key, max_chars=80)
        first, last = st.columns(2)
        first.date_input(_("First day"), starts_on, key=state.SEASON_STARTS.key, format=date_field())
        last.date_input(_("Last day"), ends_on, key=state.SEASON_ENDS.key, format=date_field())
        st.form_submit_button(_("Add this season"), type="primary", on_click=_add, args=(database, starts_on, ends_on))


def _add(database: Database, starts_on: date, ends_on: date) -> None:
    def added() -> str:
        season = club.make_season(
            database,
            name=state.SEASON_NAME.value() or "",
            starts_on=state.SEASON_STARTS.value() or starts_on,
            ends_on=state.SEASON_ENDS.value() or ends_on,
        )
        return _("Season {season} is added.").format(season=season.name)

    messages.attempt(added)
