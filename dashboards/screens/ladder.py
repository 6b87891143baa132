"""Ladder: who is ready to move on, who waits for what, who should go back? And the coach's decisions."""

from __future__ import annotations

import streamlit as st

from dashboards.parts.coach_and_tool import coach_and_tool
from dashboards.parts.decide import decide_part
from dashboards.parts.ladder_board_part import ladder_board_part
from dashboards.ui import messages
from dashboards.ui.answers import asked
from dashboards.ui.certainty import how_sure
from dashboards.ui.choices import choose_scope, choose_squad, squad_players
from dashboards.ui.escape import plain
from dashboards.ui.table import show_table
from tracker.report import advice_words, explanations, ladder_words
from tracker.report.language import _
from tracker.review import club
from tracker.review.group import group_view
from tracker.review.readiness import readiness
from tracker.serve.process import held_database

st.title(_("Ladder"))
st.text(_("Who is ready to move on, who waits for what, who should go back?"))
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

view = group_view(board, ladder=ladder)
st.header(_("The next practice"))
first, *reasons = ladder_words.group_words(view, unit=unit)
st.markdown(f"**{plain(first)}**")
for reason in reasons:
    st.text(reason)

st.header(_("Decide"))
decide_part(database, squad, players=players, ladder=ladder, board=board)

st.header(_("What now"))
st.markdown(f"**{advice_words.now_words(board)}**")
if (now := advice_words.now_table(board)).height:
    show_table(now, label=_("What now, foot by foot"))
    st.text(advice_words.figures_words())
with st.expander(_("Why a foot fell back")):
    show_table(ladder_words.revisit_table(board), label=_("Where a foot fell back, and why"))
with st.expander(_("Who waits for what")):
    show_table(ladder_words.waiting_table(board), label=_("What each foot waits for"))
how_sure(explanations.Certainty.READY)

st.header(_("The stage each foot practises"))
ladder_board_part(board, ladder=ladder, players=players, unit=unit)

st.header(_("Who is done with which stage?"))
st.text(ladder_words.done_words())
show_table(ladder_words.group_table(view), label=_("Who is done with each stage, by foot"))
with st.expander(_("How many are done with each stage")):
    show_table(ladder_words.stage_counts_table(view), label=_("Feet at each stage, and feet done with it"))

st.header(_("The coach and the tool"))
coach_and_tool(database, scope)
