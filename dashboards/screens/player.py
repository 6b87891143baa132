"""Player: how do both feet of one player come on, and what next?"""

from __future__ import annotations

from dataclasses import replace

import streamlit as st

from dashboards.parts.foot_column import foot_decision, foot_standing, foot_view
from dashboards.parts.foot_pictures import FootLookedAt
from dashboards.parts.placement_list import placement_list
from dashboards.ui import messages, state
from dashboards.ui.answers import asked
from dashboards.ui.choices import choose_player, choose_scope, choose_squad, squad_players
from dashboards.ui.views import PlayerView, player_view_words
from tracker.domain.vocabulary import Foot
from tracker.report.language import _
from tracker.review import club
from tracker.serve.process import held_database

st.title(_("Player"))
st.text(_("How do both feet of one player come on?"))
messages.show()
database = held_database()
squad = choose_squad(database)
players = squad_players(database, squad)
player = choose_player(players, state.PLAYER_SHOWN)
scope = replace(choose_scope(database, squad), player=player)
ladder = asked(club.ladder_of, database, squad)
feet = [FootLookedAt(database=database, scope=scope, player=player, foot=foot, ladder=ladder) for foot in Foot]

for column, foot in zip(st.columns(2, gap="large"), feet, strict=True):
    with column:
        foot_standing(foot)
view = st.segmented_control(
    _("Look at"),
    list(PlayerView),
    default=PlayerView.READY,
    required=True,
    format_func=player_view_words,
    key=state.PLAYER_VIEW.key,
    persist_state="session",
)
for column, foot in zip(st.columns(2, gap="large"), feet, strict=True):
    with column:
        foot_view(view or PlayerView.READY, foot)

st.header(_("Decisions"))
with st.expander(_("Place a foot at a stage")):
    for column, foot in zip(st.columns(2, gap="large"), feet, strict=True):
        with column:
            foot_decision(foot)
placement_list(database, player)
