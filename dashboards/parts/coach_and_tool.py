"""How often the coach and the tool agreed, and what became of players moved early."""

from __future__ import annotations

import streamlit as st

from dashboards.ui.answers import asked
from dashboards.ui.table import show_table
from tracker.report import ladder_words
from tracker.report.language import _
from tracker.review.agreement_with_coach import agreement_with_coach
from tracker.review.scope import Scope
from tracker.store.database import Database


def coach_and_tool(database: Database, scope: Scope) -> None:
    """The count in sentences, and every decision to open."""
    decided = asked(agreement_with_coach, database, scope)
    for line in ladder_words.agreement_lines(decided):
        st.text(line)
    if not decided.is_empty():
        with st.expander(_("Every decision")):
            show_table(ladder_words.decisions_table(decided), label=_("Decisions, the latest first"))
