"""Ladder: who is ready, who waits for what, who should revisit? And the coach's decisions."""

from __future__ import annotations

import streamlit as st

from dashboards.parts.coach_and_tool import coach_and_tool
from dashboards.parts.decide import decide_part
from dashboards.ui import messages, pictures
from dashboards.ui.answers import asked
from dashboards.ui.certainty import how_sure
from dashboards.ui.choices import choose_scope, choose_squad, squad_players
from dashboards.ui.escape import plain
from dashboards.ui.table import show_table
from tracker.report import charts, explanations, ladder_words, notes, tables
from tracker.report.language import _
from tracker.review import club
from tracker.review.group import group_view
from tracker.review.readiness import readiness
from tracker.review.ready_rule import ready_calls
from tracker.serve.process import held_database

st.title(_("Ladder"))
st.text(_("Who is ready, who waits for what, who should revisit?"))
messages.show()
database = held_database()
squad = choose_squad(database)
players = squad_players(database, squad)
scope = choose_scope(database, squad)
ladder, unit = asked(club.ladder_of, database, squad), asked(club.length_unit, database)
board = asked(readiness, database, scope)
if board.is_empty():
    st.info(_("No strikes here yet. Log some on the Today page, or import a file on the Setup page."))
    st.page_link("screens/today.py", label=_("Log strikes on the Today page"))
    st.stop()

st.text(ladder_words.ready_words(board))
for line in ladder_words.revisit_words(board):
    st.text(line)
how_sure(explanations.Certainty.READY)
pictures.with_table(
    pictures.drawn(charts.ladder_board, board, ladder=ladder, players=[player.display_name for player in players]),
    tables.ready_table(tables.current(board)),
    label=_("Status and reason per player and foot"),
)
with st.expander(_("What the letters and stages mean")):
    st.caption(explanations.status_key())
    show_table(tables.ladder_table(ladder, unit=unit), label=_("The stages of the ladder"))

view = group_view(board, ladder=ladder)
st.header(_("The next practice"))
first, *reasons = ladder_words.group_words(view, unit=unit)
st.markdown(f"**{plain(first)}**")
for reason in reasons:
    st.text(reason)
st.subheader(_("Who is ready for which stage?"))
show_table(ladder_words.group_table(view, ladder=ladder), label=_("Who is ready for each stage, by foot"))
with st.expander(_("How many are through each stage")):
    show_table(ladder_words.stage_counts_table(view), label=_("Feet at each stage, and feet through it"))
with st.expander(_("Who waits for what")):
    show_table(ladder_words.waiting_table(board), label=_("What each foot waits for"))
with st.expander(_("Worth another visit")):
    show_table(ladder_words.revisit_table(board), label=_("Stages worth another visit"))
st.caption(notes.ready_calls_words(ready_calls(board)))

st.header(_("Decide"))
decide_part(database, squad, players=players, ladder=ladder, board=board)
st.header(_("The coach and the tool"))
coach_and_tool(database, scope)
