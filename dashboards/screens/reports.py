"""Reports: season reports for players and parents, the tally sheet, and the hand-over to another coach."""

from __future__ import annotations

import streamlit as st

from dashboards.parts.hand_over_part import hand_over_part
from dashboards.parts.season_reports_part import season_reports_part
from dashboards.parts.sheet_part import print_sheet_part, type_in_part
from dashboards.ui import messages, state
from dashboards.ui.choices import choose_squad, squad_players
from dashboards.ui.views import ReportView, report_view_words
from tracker.report.language import _
from tracker.serve.process import held_database

st.title(_("Reports"))
database = held_database()
squad = choose_squad(database)
players = squad_players(database, squad)
view = st.segmented_control(
    _("What is in hand"),
    list(ReportView),
    default=ReportView.SEASON,
    required=True,
    format_func=report_view_words,
    key=state.REPORT_VIEW.key,
)
messages.show()
match view:
    case ReportView.SHEET:
        print_sheet_part(database, squad)
    case ReportView.TYPE_IN:
        type_in_part(database, squad)
    case ReportView.HAND_OVER:
        hand_over_part(database, squad, players)
    case _:
        season_reports_part(database, squad, players)
