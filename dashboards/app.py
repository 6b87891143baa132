"""The dashboard's entry: the table of pages, and the look they share."""

from __future__ import annotations

import streamlit as st

from dashboards.ui import look, messages

st.set_page_config(page_title="Strike Ladder", layout="wide", initial_sidebar_state="collapsed")
look.apply()
page = st.navigation(
    [
        st.Page("pages/today.py", title="Today", default=True),
        st.Page("pages/squad.py", title="Squad"),
        st.Page("pages/player.py", title="Player"),
        st.Page("pages/setup.py", title="Setup"),
    ],
    position="top",
)
messages.guarded(page.run)
