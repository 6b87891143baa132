"""Says what happened, in plain words: the only place of the dashboard that catches an error meant for a person."""

from __future__ import annotations

from collections.abc import Callable

import streamlit as st

from dashboards.ui import state
from dashboards.ui.escape import plain
from dashboards.ui.notice import Notice
from tracker.errors import TrackerError


def attempt(action: Callable[[], str]) -> bool:
    """Runs an action for a callback and keeps what it says, or why it could not be done, for ``show``."""
    try:
        said = action()
    except TrackerError as error:
        state.NOTICE.put(Notice(text=str(error), is_done=False))
        return False
    state.NOTICE.put(Notice(text=said, is_done=True))
    return True


def show() -> None:
    """Shows once what the last button did."""
    # Its place is kept when there is nothing to say: otherwise all below moves up, and what was opened there closes.
    place = st.empty()
    notice = state.NOTICE.value()
    state.NOTICE.forget()
    if notice is None:
        return
    if notice.is_done:
        place.success(plain(notice.text))
    else:
        place.error(plain(notice.text))


def guarded(page: Callable[[], None]) -> None:
    """Runs a page; when it cannot be shown, says why instead."""
    try:
        page()
    except TrackerError as error:
        st.error(plain(str(error)))
