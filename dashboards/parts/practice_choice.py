"""Which practice is being logged: picked by its day, or started."""

from __future__ import annotations

from datetime import date

import streamlit as st

from dashboards.ui import messages, state
from tracker.domain.practice import Practice
from tracker.domain.squad import Squad
from tracker.report import wording
from tracker.report.language import _, date_field
from tracker.review import logbook
from tracker.store.database import Database


def choose_practice(database: Database, squad: Squad) -> Practice:
    """The practice of the chosen day; on a day without one, the page offers to start it and stops."""
    day = st.date_input(
        _("Day of the practice"),
        key=state.PRACTICE_DAY.key,
        max_value="today",
        format=date_field(),
        persist_state="session",
    )
    of_day = {one.practice_id: one for one in logbook.practices(database, squad) if one.held_on == day}
    if not of_day:
        messages.show()
        st.info(_("No practice on {day} yet. Start it, then log the first strike.").format(day=wording.date_words(day)))
        st.button(_("Start this practice"), type="primary", on_click=_start, args=(database, squad, day))
        st.stop()
    if len(of_day) == 1:
        return next(iter(of_day.values()))
    chosen = st.selectbox(
        _("Which practice of that day?"),
        list(of_day),
        format_func=lambda one: of_day[one].label or _("the first one"),
        key=state.PRACTICE.key,
    )
    return of_day[chosen]


def second_practice_form(database: Database, squad: Squad, day: date) -> None:
    """Starts another practice on a day that has one."""
    with st.expander(_("A second practice on this day")), st.form("second_practice", border=False):
        st.text_input(
            _("What tells it apart"), key=state.PRACTICE_LABEL.key, placeholder=_("Such as: evening"), max_chars=40
        )
        st.form_submit_button(_("Start it"), on_click=_start, args=(database, squad, day, state.PRACTICE_LABEL))


def _start(database: Database, squad: Squad, day: date, label: state.Slot[str] | None = None) -> None:
    def started() -> str:
        words = (label.value() or "").strip() if label else ""
        practice = logbook.practice_on(database, squad, day, label=words)
        state.PRACTICE.put(practice.practice_id)
        if label:
            label.put("")
        named = f"{wording.date_words(day)} ({words})" if words else wording.date_words(day)
        return _("The practice of {day} has started.").format(day=named)

    messages.attempt(started)
