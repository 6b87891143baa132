"""The weeks ahead: which weeks, and what they come to from where the feet stand now."""

from __future__ import annotations

from datetime import date, datetime

import streamlit as st

from dashboards.parts.plan_inputs import USUAL_MINUTES
from dashboards.ui import messages, state
from dashboards.ui.answers import asked
from dashboards.ui.table import show_table
from tracker.domain.block_choice import LONGEST_BLOCK_WEEKS, SHORTEST_BLOCK_WEEKS
from tracker.domain.squad import Squad
from tracker.plan.kept_plan import last_options
from tracker.plan.squad_block import block_of, choose_block, reviews_of, squad_weeks
from tracker.report import plan_sentences, plan_tables, wording
from tracker.report.language import _, date_field, ngettext
from tracker.store.database import Database


def weeks_part(database: Database, squad: Squad) -> None:
    """The weeks chosen, a table of them, and the form to choose others."""
    today = datetime.now().astimezone().date()
    choice = asked(block_of, database, squad, today=today)
    minutes = state.PLAN_MINUTES.value() or USUAL_MINUTES
    weeks = asked(
        squad_weeks,
        database,
        squad,
        choice,
        minutes=minutes,
        today=today,
        options=asked(last_options, database, squad),
    )
    st.text(
        _("From where the feet stand today, with practices of {minutes} minutes. It forecasts no learning.").format(
            minutes=minutes
        )
    )
    show_table(plan_tables.weeks_table(weeks), label=_("The weeks ahead"))
    reviews = plan_sentences.listed([wording.date_words(day) for day in reviews_of(weeks)])
    st.text(_("Look back on {days}. Ask again as readiness changes.").format(days=reviews))
    with st.expander(_("Choose other weeks")), st.form("season_block", border=False):
        _fields(choice.starts_on, choice.weeks, choice.practices_a_week, choice.other_foot_weeks)
        st.form_submit_button(_("Keep these weeks"), type="primary", on_click=_keep, args=(database, squad, today))


def _fields(starts_on: date, weeks: int, practices: int, other_foot: int) -> None:
    st.date_input(_("The first week begins on"), value=starts_on, key=state.BLOCK_STARTS.key, format=date_field())
    fields = (
        (_("Weeks"), SHORTEST_BLOCK_WEEKS, LONGEST_BLOCK_WEEKS, weeks, state.BLOCK_WEEKS),
        (_("Practices a week"), 1, 7, practices, state.BLOCK_PRACTICES),
        (_("Weeks with the other foot first"), 0, LONGEST_BLOCK_WEEKS, other_foot, state.BLOCK_OTHER_FOOT),
    )
    for column, (label, least, most, value, slot) in zip(st.columns(len(fields)), fields, strict=True):
        with column:
            st.number_input(label, min_value=least, max_value=most, value=value, key=slot.key)


def _keep(database: Database, squad: Squad, today: date) -> None:
    def kept() -> str:
        now = block_of(database, squad, today=today)
        practices, other_foot = state.BLOCK_PRACTICES.value(), state.BLOCK_OTHER_FOOT.value()
        choice = choose_block(
            database,
            squad,
            starts_on=state.BLOCK_STARTS.value() or now.starts_on,
            weeks=state.BLOCK_WEEKS.value() or now.weeks,
            practices_a_week=practices or now.practices_a_week,
            other_foot_weeks=now.other_foot_weeks if other_foot is None else other_foot,
        )
        return ngettext("Kept: {weeks} week from {day} on.", "Kept: {weeks} weeks from {day} on.", choice.weeks).format(
            weeks=choice.weeks, day=wording.date_words(choice.starts_on)
        )

    messages.attempt(kept)
