"""How the records are: size, last backup, what waits, and what was slow in this run."""

from __future__ import annotations

import streamlit as st

from dashboards.ui.table import show_table
from tracker.report import health_words
from tracker.report.language import _
from tracker.review.health import health
from tracker.serve.process import deliveries_waiting
from tracker.store.database import Database


def health_part(database: Database) -> None:
    """Two tables, as they are at this moment."""
    found = health(database)
    if found.rewrite_due:
        st.warning(_("Something was erased, but the file may still hold traces of it. Start the program again."))
    show_table(health_words.health_table(found, waiting=deliveries_waiting()), label=_("How the records are"))
    st.subheader(_("What took longest since the start"))
    show_table(health_words.slow_queries_table(found), label=_("What took longest since the start"))
