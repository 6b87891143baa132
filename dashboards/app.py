"""The dashboard's entry: the table of pages, and the look they share."""

from __future__ import annotations

import streamlit as st

from dashboards.ui import filters, look, messages
from dashboards.ui.answers import asked
from tracker.report.language import _, pgettext, speak
from tracker.review import club
from tracker.serve.process import held_database

st.set_page_config(page_title="Strike Ladder", layout="wide", initial_sidebar_state="collapsed")
look.apply()
speak(asked(club.language, held_database()))
filters.restore()
# Their folder must not be called pages: Streamlit would take that for its older kind of app and pass this file by.
pages = [
    st.Page("screens/today.py", title=_("Today"), default=True),
    st.Page("screens/squad.py", title=_("Squad")),
    st.Page("screens/player.py", title=_("Player")),
    st.Page("screens/feet.py", title=_("Feet")),
    st.Page("screens/ladder.py", title=_("Ladder")),
    st.Page("screens/plan.py", title=_("Plan")),
    st.Page("screens/reports.py", title=_("Reports")),
    st.Page("screens/setup.py", title=_("Setup")),
    st.Page("screens/sure.py", title=pgettext("page", "How sure")),
]
chosen = st.navigation(pages, position="hidden")
with st.container(key=look.NAVIGATION, horizontal=True, gap=None):  # a drawer would hide them on a phone
    for page in pages:
        st.page_link(page, width="content", query_params=filters.carried())
messages.guarded(chosen.run)
