"""The dashboard's entry: the table of pages, and the look they share."""

from __future__ import annotations

import streamlit as st

from dashboards.ui import look, messages

st.set_page_config(page_title="Strike Ladder", layout="wide", initial_sidebar_state="collapsed")
look.apply()
# Their folder must not be called pages: Streamlit would take that for its older kind of app and pass this file by.
pages = [
    st.Page("screens/today.py", title="Today", default=True),
    st.Page("screens/squad.py", title="Squad"),
    st.Page("screens/player.py", title="Player"),
    st.Page("screens/setup.py", title="Setup"),
    st.Page("screens/sure.py", title="Sure?"),
]
chosen = st.navigation(pages, position="hidden")
with st.container(key=look.NAVIGATION, horizontal=True, gap="small"):  # a drawer would hide them on a phone
    for page in pages:
        st.page_link(page, width="content")
messages.guarded(chosen.run)
