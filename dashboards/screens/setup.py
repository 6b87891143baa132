"""Setup: who plays, in which season, on which ladder; files in and out."""

from __future__ import annotations

import streamlit as st

from dashboards.parts.backup_part import backup_part
from dashboards.parts.exchange_part import export_part, import_part
from dashboards.parts.health_part import health_part
from dashboards.parts.ladder_part import ladder_part
from dashboards.parts.language_choice import language_choice
from dashboards.parts.pass_list import pass_list
from dashboards.parts.player_form import player_part
from dashboards.parts.privacy_part import privacy_part
from dashboards.parts.season_form import season_part
from dashboards.parts.squad_form import make_squad_form
from dashboards.parts.unit_choice import unit_choice
from dashboards.ui import messages
from dashboards.ui.choices import choose_squad
from tracker.report.language import _
from tracker.serve.process import held_database

st.title(_("Setup"))
st.text(_("Who plays, in which season, on which ladder?"))
messages.show()
database = held_database()
squad = choose_squad(database)

players, seasons, ladder, files_in, files_out, phones, kept, privacy, healthy, squads = st.tabs(
    [
        _("Players"),
        _("Seasons"),
        _("Ladder"),
        _("Import"),
        _("Export"),
        _("Phones"),
        _("Backups"),
        _("Children's data"),
        _("Health"),
        _("Squads, units, language"),
    ]
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
with phones:
    pass_list(database, squad)
with kept:
    backup_part(database)
with privacy:
    privacy_part(database, squad)
with healthy:
    health_part(database)
with squads:
    unit_choice(database)
    language_choice(database)
    st.subheader(_("Another squad"))
    make_squad_form(database)
