"""Today: is everyone logged? The practice, strike by strike or set by set."""

from __future__ import annotations

import streamlit as st

from dashboards.parts.logged_list import logged_list
from dashboards.parts.practice_choice import choose_practice, second_practice_form
from dashboards.parts.set_grid import set_grid
from dashboards.parts.strike_context import choose_context, context_now
from dashboards.parts.strike_form import strike_form
from dashboards.ui.choices import choose_squad, squad_players
from dashboards.ui.table import show_table
from tracker.report import tables
from tracker.review import club, logbook
from tracker.serve.process import held_database

st.title("Today")
database = held_database()
squad = choose_squad(database)
players = squad_players(database, squad)
ladder, unit = club.ladder_of(database, squad), club.length_unit(database)

entry, record = st.columns([3, 2], gap="large")
with entry:
    practice = choose_practice(database, squad)
    choose_context(ladder, unit)
    stage = context_now(ladder, unit).stage
    if stage and stage.cautions:
        st.caption(f"Safety: {stage.cautions[-1]}")
    one_by_one, called_out = st.tabs(["Strike by strike", "Called-out sets"])
    with one_by_one:
        strike_form(database, practice, players=players, ladder=ladder, unit=unit)
    with called_out:
        set_grid(database, practice, players=players, ladder=ladder, unit=unit)
with record:
    st.subheader("Just logged")
    logged_list(database, practice, unit=unit)
    st.subheader("Is everyone logged?")
    coverage = logbook.coverage(database, practice)
    st.text(tables.missing_words(coverage))
    show_table(tables.coverage_table(coverage), label="Strikes logged per player and foot")
    if stage:
        with st.expander("Safety and coaching points of this stage"):
            for line in (*stage.cautions, *stage.coaching_points):
                st.text(f"• {line}")
    second_practice_form(database, squad, practice.held_on)
