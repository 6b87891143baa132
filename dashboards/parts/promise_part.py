"""What *ready* promises at one stage of the squad's ladder: the picture, and the table beside two rules of thumb."""

from __future__ import annotations

import streamlit as st

from dashboards.ui import pictures, state
from dashboards.ui.choices import choose_squad
from dashboards.ui.table import show_table
from tracker.report import charts, tables
from tracker.report.language import _
from tracker.review import club
from tracker.review.ready_rule import promise
from tracker.store.database import Database


def promise_part(database: Database) -> None:
    """A stage to choose and what its ready line does to players of every real rate; nothing without a squad."""
    if not club.squads(database):
        return
    ladder = club.ladder_of(database, choose_squad(database))
    name = st.selectbox(
        _("The promise at the stage"),
        [stage.name for stage in ladder.stages],
        key=state.STAGE_PROMISED.key,
        persist_state="session",
    )
    stage = ladder.stage_named(name) or ladder.stages[0]
    promised = promise(ladder, stage)
    pictures.show(pictures.drawn(charts.operating_characteristics_picture, promised, ladder=ladder, stage=stage))
    with st.expander(_("The ready line beside “8 of 10”")):
        show_table(
            tables.promise_table(promised), label=_("Chance to be called ready, by real rate, under three rules")
        )
