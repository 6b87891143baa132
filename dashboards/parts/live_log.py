"""What a practice holds, followed while phones log: it is drawn anew by itself, and nothing else on the page is."""

from __future__ import annotations

import streamlit as st

from dashboards.parts.logged_list import logged_list
from dashboards.parts.watch_part import watch_part
from dashboards.ui import state
from dashboards.ui.answers import asked
from dashboards.ui.table import show_table
from tracker.domain.practice import Practice
from tracker.domain.squad import Squad
from tracker.domain.vocabulary import LengthUnit
from tracker.report import tables
from tracker.report.language import _
from tracker.review import logbook
from tracker.store.database import Database

EVERY_SECONDS = 2


@st.fragment(run_every=EVERY_SECONDS)
def live_log(database: Database, squad: Squad, practice: Practice, *, unit: LengthUnit) -> None:
    """Who is logged, whom to watch, and what came in last."""
    if state.NOTICE.value() is not None:  # said where the whole page says it, beside the form
        st.rerun()
    coverage = asked(logbook.coverage, database, practice)
    st.subheader(_("Is everyone logged?"))
    st.text(tables.missing_words(coverage))
    with st.expander(_("Strikes of each player")):
        show_table(tables.coverage_table(coverage), label=_("Strikes logged per player and foot"))
    st.subheader(_("Whom to watch"))
    watch_part(database, squad, practice)
    st.subheader(_("Just logged"))
    logged_list(database, practice, unit=unit)
