"""Squad: where does each player stand? Accuracy per foot, and the ready board."""

from __future__ import annotations

import streamlit as st

from dashboards.ui import messages, pictures, state
from dashboards.ui.certainty import how_sure
from dashboards.ui.choices import choose_scope, choose_squad, squad_players
from dashboards.ui.table import show_table
from tracker.domain.vocabulary import Dimension
from tracker.report import charts, explanations, notes, tables
from tracker.review import club
from tracker.review.accuracy import accuracy
from tracker.review.readiness import readiness
from tracker.review.ready_rule import ready_calls
from tracker.serve.process import held_database

CORE_LEVEL = 0.5

st.title("Squad")
st.text("Where does each player stand?")
messages.show()
database = held_database()
squad = choose_squad(database)
players = squad_players(database, squad)
ladder = club.ladder_of(database, squad)
season_column, stage_column = st.columns(2)
with season_column:
    scope = choose_scope(database, squad)
with stage_column:
    chosen = st.selectbox(
        "Stage",
        [state.NOTHING, *(one.name for one in ladder.stages)],
        format_func=lambda name: name or "All stages together",
        key=state.STAGE_SHOWN.key,
        persist_state="session",
    )

stage = chosen or None
split = [Dimension.PLAYER, Dimension.FOOT, *([Dimension.STAGE] if stage else [])]
likely = tables.at_stage(accuracy(database, scope, by=split), stage)
core = tables.at_stage(accuracy(database, scope, by=split, level=CORE_LEVEL), stage)
st.header("Accuracy with each foot")
if likely.is_empty():
    st.info("No strikes here yet. Log some on the Today page, or import a file on the Setup page.")
    st.page_link("screens/today.py", label="Log strikes on the Today page")
    st.stop()
if not stage:
    st.text(explanations.LIKE_WITH_LIKE)
pictures.show(charts.accuracy_by_foot(likely, core=core))
show_table(tables.accuracy_by_side(likely), label="Accuracy of each player, left foot and right foot")
with st.expander("All figures"):
    show_table(tables.accuracy_table(likely), label="Accuracy per player and foot, all figures")
st.caption(explanations.COUNTS_AS_MEANS)
st.caption(explanations.LUCK)
how_sure(explanations.Certainty.RANGE, explanations.Certainty.DAYS)

board = readiness(database, scope)
st.header("Who is ready for the next stage?")
pictures.show(charts.ladder_board(board, ladder=ladder, players=[player.display_name for player in players]))
with st.expander("The stages by number"):
    show_table(tables.ladder_table(ladder, unit=club.length_unit(database)), label="The stages of the ladder")
st.subheader("Each foot at the stage it works on now, and why")
show_table(tables.ready_table(tables.current(board)), label="Status and reason per player and foot")
st.caption(explanations.status_key())
st.caption(notes.ready_calls_words(ready_calls(board)))
how_sure(explanations.Certainty.READY)
