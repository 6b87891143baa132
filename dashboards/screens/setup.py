"""Setup: who plays, in which season, on which ladder; files in and out."""

from __future__ import annotations

import streamlit as st

from dashboards.parts.exchange_part import export_part, import_part
from dashboards.parts.ladder_part import ladder_part
from dashboards.parts.player_form import player_part
from dashboards.parts.season_form import season_part
from dashboards.parts.squad_form import make_squad_form
from dashboards.parts.unit_choice import unit_choice
from dashboards.ui import messages
from dashboards.ui.choices import choose_squad
from tracker.serve.process import held_database

st.title("Setup")
st.text("Who plays, in which season, on which ladder?")
messages.show()
database = held_database()
squad = choose_squad(database)

players, seasons, ladder, files_in, files_out, squads = st.tabs(
    ["Players", "Seasons", "Ladder", "Import", "Export", "Squads and units"]
)
with players:
    player_part(database, squad)
with seasons:
    season_part(database)
with ladder:
    ladder_part(database, squad)
with files_in:
    import_part(database, squad)
with files_out:
    export_part(database, squad)
with squads:
    unit_choice(database)
    st.subheader("Another squad")
    make_squad_form(database)
