"""The plan of a practice on the Today page: who is in which lane, and whom to watch when."""

from __future__ import annotations

from collections.abc import Sequence

import streamlit as st

from dashboards.ui.answers import asked
from dashboards.ui.table import show_table
from tracker.domain.practice import Practice
from tracker.domain.squad import Player, Squad
from tracker.plan.kept_plan import kept_plan
from tracker.report import plan_sentences, plan_tables
from tracker.report.language import _
from tracker.store.database import Database


def plan_of_day(database: Database, squad: Squad, practice: Practice, players: Sequence[Player]) -> None:
    """The plan kept for the practice, to open; the way to make one where there is none."""
    kept = asked(kept_plan, database, squad, practice)
    if kept is None:
        st.page_link("screens/plan.py", label=_("Plan this practice on the Plan page"))
        return
    plan, order = kept.document.plan, [player.display_name for player in players]
    with st.expander(_("The plan of this practice: {stages}").format(stages=plan_sentences.plan_stages(plan))):
        show_table(plan_tables.timetable_table(plan), label=_("The parts of the practice"))
        for number, part in enumerate(plan.finishing, start=1):
            st.subheader(plan_sentences.block_words(number, part))
            show_table(plan_tables.lanes_table(part, order=order), label=_("Lanes and who is in them"))
        show_table(plan_tables.turns_table(plan, order=order), label=_("Focal turns"))
