"""Squad: where does each player stand? The ladder board, strikes this month, accuracy per foot."""

from __future__ import annotations

import streamlit as st

from dashboards.parts.ladder_board_part import ladder_board_part
from dashboards.parts.month_part import month_part
from dashboards.ui import messages, pictures
from dashboards.ui.answers import asked
from dashboards.ui.certainty import how_sure
from dashboards.ui.choices import choose_scope, choose_squad, squad_players
from dashboards.ui.table import show_table
from tracker.domain.vocabulary import Dimension
from tracker.report import charts, explanations, tables
from tracker.report.language import _
from tracker.review import club
from tracker.review.accuracy import accuracy
from tracker.review.readiness import readiness
from tracker.serve.process import held_database

st.title(_("Squad"))
st.text(_("Where does each player stand?"))
messages.show()
database = held_database()
squad = choose_squad(database)
players = squad_players(database, squad)
ladder = asked(club.ladder_of, database, squad)
scope = choose_scope(database, squad)

stage = scope.stage
split = [Dimension.PLAYER, Dimension.FOOT, *([Dimension.STAGE] if stage else [])]
likely = asked(accuracy, database, scope, by=split)
if likely.is_empty():
    st.info(_("No strikes here yet. Log some on the Today page, or import a file on the Setup page."))
    st.page_link("screens/today.py", label=_("Log strikes on the Today page"))
    st.stop()

st.header(_("The stage each foot practises"))
board, unit = asked(readiness, database, scope), asked(club.length_unit, database)
ladder_board_part(board, ladder=ladder, players=players, unit=unit)
how_sure(explanations.Certainty.READY)
st.page_link("screens/ladder.py", label=_("Decide on the Ladder page"))

st.header(_("Who has few strikes?"))
st.text(_(explanations.TWO_KINDS_OF_FEW))
month_part(database, scope)

st.header(_("Accuracy with each foot"))
if not stage:
    st.text(_(explanations.LIKE_WITH_LIKE))
pictures.show(pictures.drawn(charts.accuracy_by_foot, likely))
with st.expander(_("In words")):
    show_table(tables.accuracy_by_side(likely), label=_("Accuracy of each player, left foot and right foot"))
with st.expander(_("All figures")):
    show_table(tables.accuracy_table(likely), label=_("Accuracy per player and foot, all figures"))
    st.caption(_(explanations.COUNTS_AS_MEANS))
st.caption(_(explanations.LUCK))
how_sure(explanations.Certainty.RANGE, explanations.Certainty.DAYS)
