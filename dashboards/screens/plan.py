"""Plan: what do we do in the next practice, with whom, off which set-up? The weeks ahead, and what became of plans."""

from __future__ import annotations

import streamlit as st

from dashboards.parts.happened_part import happened_part
from dashboards.parts.plan_part import plan_part
from dashboards.parts.weeks_part import weeks_part
from dashboards.ui import messages, state
from dashboards.ui.answers import asked
from dashboards.ui.choices import choose_squad, squad_players
from dashboards.ui.views import PlanView, plan_view_words
from tracker.report.language import _
from tracker.review import club
from tracker.serve.process import held_database

st.title(_("Plan"))
st.text(_("What do we do in the next practice, and with whom?"))
database = held_database()
squad = choose_squad(database)
players = squad_players(database, squad)
unit = asked(club.length_unit, database)
view = st.segmented_control(
    _("What is in hand"),
    list(PlanView),
    default=PlanView.PRACTICE,
    required=True,
    format_func=plan_view_words,
    key=state.PLAN_VIEW.key,
)
messages.show()
match view:
    case PlanView.WEEKS:
        weeks_part(database, squad)
    case PlanView.HAPPENED:
        happened_part(database, squad)
    case _:
        plan_part(database, squad, players, unit=unit)
