"""How many strikes each foot has in a month, and who has few."""

from __future__ import annotations

import streamlit as st

from dashboards.ui import pictures, state
from dashboards.ui.answers import asked
from dashboards.ui.table import show_table
from tracker.report import charts, season_tables, season_words
from tracker.report.language import _
from tracker.review.month_coverage import month_coverage, months
from tracker.review.scope import Scope
from tracker.store.database import Database


def month_part(database: Database, scope: Scope) -> None:
    """The month, at first the latest with a practice; who has few strikes, the picture and its table."""
    there = asked(months, database, scope)
    chosen = None
    if there:
        chosen = st.selectbox(
            _("Month"), there, format_func=season_words.month_words, key=state.MONTH_SHOWN.key, persist_state="session"
        )
    coverage = asked(month_coverage, database, scope, month=chosen)
    for line in season_words.few_strikes_words(coverage):
        st.text(line)
    if coverage.month:
        with st.expander(_("Strikes of every foot in the month")):
            pictures.show(pictures.drawn(charts.squad_coverage, coverage))
            show_table(season_tables.coverage_of_month_table(coverage), label=_("Strikes in the month"))
