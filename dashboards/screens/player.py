"""Player: how do both feet of one player come on, and what next?"""

from __future__ import annotations

import streamlit as st

from dashboards.parts.foot_column import foot_column, standing
from dashboards.parts.placement_list import placement_list
from dashboards.ui import messages, state
from dashboards.ui.choices import choose_player, choose_scope, choose_squad, squad_players
from tracker.domain.vocabulary import Foot
from tracker.review import club
from tracker.review.scope import Scope
from tracker.serve.process import held_database

st.title("Player")
st.text("How do both feet of one player come on?")
messages.show()
database = held_database()
squad = choose_squad(database)
players = squad_players(database, squad)
player_column, season_column = st.columns(2)
with player_column:
    player = choose_player(players, state.PLAYER_SHOWN)
with season_column:
    season = choose_scope(database, squad).season
scope = Scope(squad=squad, season=season, player=player)
ladder = club.ladder_of(database, squad)
known = standing(database, scope)

for column, foot in zip(st.columns(2, gap="large"), Foot, strict=True):
    with column:
        foot_column(database, scope, known, player=player, foot=foot, ladder=ladder)

st.header("Decisions so far")
placement_list(database, player)
