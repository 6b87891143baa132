"""Plans beside what was logged: one practice, all of them, and each player's strikes a week."""

from __future__ import annotations

import streamlit as st

from dashboards.ui import state
from dashboards.ui.answers import asked
from dashboards.ui.table import show_table
from tracker.domain.squad import Squad
from tracker.report import plan_sentences, plan_tables, wording
from tracker.report.language import _
from tracker.review.plan_against_practice import plan_against_practice, plan_against_season, practices_with_plan
from tracker.review.scope import Scope
from tracker.review.weekly_strikes import unusual_strikes, weekly_strikes
from tracker.store.database import Database


def happened_part(database: Database, squad: Squad) -> None:
    """What was planned and what was logged; then strikes a week."""
    scope = Scope(squad=squad)
    planned = {one.practice_id: one for one in asked(practices_with_plan, database, squad)}
    if not planned:
        st.info(_("No practice that was held has a plan yet. Keep one, log the practice, and look here afterwards."))
    else:
        chosen = st.selectbox(
            _("Practice"),
            list(planned),
            format_func=lambda one: f"{wording.date_words(planned[one].held_on)} {planned[one].label}".strip(),
            key=state.PLAN_HAPPENED.key,
        )
        against = asked(plan_against_practice, database, planned[chosen])
        st.text(plan_tables.against_words(against))
        show_table(plan_tables.against_table(against), label=_("Planned and logged, per player, foot and stage"))
        st.caption(_("Only what was logged is known: fewer than planned may mean that nobody wrote them down."))
        with st.expander(_("Every practice with a plan")):
            season = asked(plan_against_season, database, scope)
            show_table(plan_tables.season_against_table(season), label=_("Plans of the season"))
    st.header(_("Strikes a week"))
    weeks = asked(weekly_strikes, database, scope)
    if weeks.is_empty():
        st.text(_("No strikes yet."))
        return
    unusual = plan_sentences.latest(asked(unusual_strikes, database, scope))
    if unusual:
        st.text("\n".join(f"• {plan_sentences.jump_words(jump)}" for jump in unusual))
    with st.expander(_("Strikes of each player, the last weeks")):
        show_table(plan_tables.weekly_table(weeks), label=_("Strikes of each player in the last weeks"))
    st.caption(_("Logged strikes only. No number of strikes a week is known to be safe or unsafe for a child."))
