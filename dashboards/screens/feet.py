"""Feet: is the other foot catching up?"""

from __future__ import annotations

import streamlit as st

from dashboards.ui import messages, pictures, state
from dashboards.ui.answers import asked
from dashboards.ui.certainty import how_sure
from dashboards.ui.choices import choose_player, choose_scope, choose_squad, squad_players
from dashboards.ui.escape import plain
from dashboards.ui.table import show_table
from tracker.domain.vocabulary import Dimension
from tracker.report import charts, gap_words, notes, season_tables, season_words, tables
from tracker.report.explanations import Certainty
from tracker.report.language import _
from tracker.review import club
from tracker.review.change import change
from tracker.review.gap import foot_gap
from tracker.review.gap_over_season import gap_over_season, squad_catching_up
from tracker.serve.process import held_database

st.title(_("Feet"))
st.text(_("Is the other foot catching up?"))
messages.show()
database = held_database()
squad = choose_squad(database)
players = squad_players(database, squad)
scope = choose_scope(database, squad)
changes = asked(change, database, scope)
if changes.is_empty():
    st.info(_("No strikes here yet. Log some on the Today page, or import a file on the Setup page."))
    st.page_link("screens/today.py", label=_("Log strikes on the Today page"))
    st.stop()
everybody = asked(gap_over_season, database, scope)
if everybody.height:
    found = squad_catching_up(everybody)
    st.markdown(f"**{plain(gap_words.squad_words(found))}**")
    for note in gap_words.squad_notes():
        st.text(note)
    show_table(gap_words.squad_table(found), label=_("Whose other foot is catching up"))

st.header(_("One player"))
player = choose_player(players, state.PLAYER_SHOWN)
parts = tables.of_player(everybody, player.display_name)
if parts.is_empty():
    st.text(season_words.no_gap_words(player.preferred_foot))
else:
    label = _("Both feet at the start, in the middle and at the end")
    pictures.with_table(pictures.drawn(charts.foot_gap_picture, parts), season_tables.gap_table(parts), label=label)
    st.text(_("In each part both feet are at the same stage and distance; from one part to the next these may differ."))
how_sure(Certainty.LIKE, Certainty.CHANGE)

st.header(_("Each foot beside itself at the start of the season"))
st.text(_("A foot may be clearly up and the gap not clearly smaller, since both feet change."))
for line in season_words.changed_words(changes):
    st.text(line)
order = [one.display_name for one in players]
with st.expander(_("Every foot, at the same stage and distance")):
    show_table(season_tables.feet_table(changes, order=order), label=_("How each foot changed over the season"))
gaps = asked(foot_gap, database, scope, by=[Dimension.PLAYER])
with st.expander(_("Preferred foot beside other foot, whole season")):
    noted = notes.with_gap_notes(gaps, unit=asked(club.length_unit, database))
    show_table(season_tables.gaps_table(noted), label=_("The gap between the feet of each player"))
