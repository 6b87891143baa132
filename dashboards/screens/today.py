"""Today: is everyone logged, and whom to watch? The practice, strike by strike or set by set, here or on phones."""

from __future__ import annotations

import streamlit as st

from dashboards.parts.live_log import live_log
from dashboards.parts.plan_of_day import plan_of_day
from dashboards.parts.practice_choice import choose_practice, second_practice_form
from dashboards.parts.set_grid import set_grid
from dashboards.parts.strike_context import choose_context, context_now
from dashboards.parts.strike_form import strike_form
from dashboards.parts.touchline_part import touchline_part
from dashboards.ui.answers import asked
from dashboards.ui.choices import choose_squad, squad_players
from tracker.report import ladder_words
from tracker.report.language import _
from tracker.review import club
from tracker.serve.process import held_database

st.title(_("Today"))
st.text(_("Is everyone logged, and whom to watch?"))
database = held_database()
squad = choose_squad(database)
players = squad_players(database, squad)
ladder, unit = asked(club.ladder_of, database, squad), asked(club.length_unit, database)

entry, record = st.columns([3, 2], gap="large")
with entry:
    practice = choose_practice(database, squad)
    plan_of_day(database, squad, practice, players)
    choose_context(ladder, unit)
    stage = context_now(ladder, unit).stage
    if stage and stage.cautions:
        st.caption(_("Safety: {caution}").format(caution=ladder_words.caution_lines(stage)[-1]))
    one_by_one, called_out, on_phones = st.tabs([_("Strike by strike"), _("Called-out sets"), _("On phones")])
    with one_by_one:
        strike_form(database, practice, players=players, ladder=ladder, unit=unit)
    with called_out:
        set_grid(database, practice, players=players, ladder=ladder, unit=unit)
    with on_phones:
        touchline_part(database, practice)
with record:
    live_log(database, squad, practice, unit=unit)
    if stage:
        with st.expander(_("Safety and coaching points of this stage")):
            for line in (*ladder_words.caution_lines(stage), *stage.coaching_points):
                st.text(f"• {line}")
    second_practice_form(database, squad, practice.held_on)
