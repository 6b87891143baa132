"""A form to make a squad."""

from __future__ import annotations

import streamlit as st

from dashboards.ui import filters, messages, state
from tracker.report.language import _
from tracker.review import club
from tracker.store.database import Database


def make_squad_form(database: Database) -> None:
    """Name and ladder of a new squad."""
    messages.show()
    with st.form("make_squad", border=False):
        st.text_input(
            _("Name of the squad"), key=state.SQUAD_NAME.key, max_chars=80, placeholder=_("Such as: Reds U12")
        )
        st.selectbox(
            _("Ladder: the drill stages of which age band?"),
            club.ladder_names(),
            index=club.ladder_names().index(club.DEFAULT_LADDER),
            key=state.SQUAD_LADDER.key,
        )
        st.form_submit_button(_("Make this squad"), type="primary", on_click=_make, args=(database,))


def _make(database: Database) -> None:
    def made() -> str:
        squad = club.make_squad(
            database, name=state.SQUAD_NAME.value() or "", ladder_name=state.SQUAD_LADDER.value() or club.DEFAULT_LADDER
        )
        filters.write(filters.Part.SQUAD, squad.squad_id)
        state.SQUAD_NAME.put("")
        return _("Squad {squad} is made. Next: its players.").format(squad=squad.name)

    messages.attempt(made)
