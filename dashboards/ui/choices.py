"""The choices pages share: which squad, season, player."""

from __future__ import annotations

from uuid import UUID

import streamlit as st

from dashboards.parts.squad_form import make_squad_form
from dashboards.ui import state
from tracker.domain.squad import Player, Season, Squad
from tracker.review import club
from tracker.review.scope import Scope
from tracker.store.database import Database


def choose_squad(database: Database) -> Squad:
    """The squad in view; where there is none yet, the page is a form to make one."""
    squads = {squad.squad_id: squad for squad in club.squads(database)}
    if not squads:
        st.info("There is no squad yet. Make one first: a name is enough.")
        make_squad_form(database)
        st.stop()
    if len(squads) == 1:
        return next(iter(squads.values()))
    chosen = st.selectbox(
        "Squad",
        list(squads),
        format_func=lambda one: squads[one].name,
        key=state.SQUAD.key,
        persist_state="session",
    )
    return squads[chosen]


def choose_scope(database: Database, squad: Squad) -> Scope:
    """The season in view, or all of them."""
    seasons: dict[UUID | str, Season] = {season.season_id: season for season in club.seasons(database)}
    options: list[UUID | str] = [state.NOTHING, *seasons]
    chosen = st.selectbox(
        "Season",
        options,
        format_func=lambda one: seasons[one].name if one else "All seasons",
        key=state.SEASON.key,
        persist_state="session",
    )
    return Scope(squad=squad, season=seasons[chosen] if chosen else None)


def choose_player(players: list[Player], slot: state.Slot[UUID], label: str = "Player") -> Player:
    """One of the players, who must be at least one."""
    by_id = {player.player_id: player for player in players}
    chosen = st.selectbox(
        label,
        list(by_id),
        format_func=lambda one: shirt_and_name(by_id[one]),
        key=slot.key,
        persist_state="session",
    )
    return by_id[chosen]


def squad_players(database: Database, squad: Squad) -> list[Player]:
    """The active players, by shirt and name; where there are none, the page says what to do and stops."""
    players = [player for player in club.players(database, squad) if player.active]
    if not players:
        st.info("This squad has no players yet. Add them on the Setup page, one by one or from a file.")
        st.page_link("screens/setup.py", label="Add players on the Setup page")
        st.stop()
    return players


def shirt_and_name(player: Player) -> str:
    """A player as a list shows them."""
    shirt = "" if player.shirt_number is None else f"{player.shirt_number} · "
    left = "" if player.active else " (left the squad)"
    return f"{shirt}{player.display_name}{left}"
