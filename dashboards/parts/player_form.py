"""Adds a player, changes one, or marks one as gone."""

from __future__ import annotations

from dataclasses import replace
from uuid import UUID

import streamlit as st

from dashboards.ui import files, messages, state
from dashboards.ui.choices import shirt_and_name
from dashboards.ui.table import show_table
from tracker.domain.squad import EARLIEST_BIRTH_YEAR, LATEST_BIRTH_YEAR, Player, Squad
from tracker.domain.vocabulary import PreferredFoot
from tracker.errors import RequestError
from tracker.report import glossary, tables, wording
from tracker.report.language import _
from tracker.review import club, exchange
from tracker.store.database import Database

HIGHEST_SHIRT = 999


def player_part(database: Database, squad: Squad) -> None:
    """The squad's players, a form for one of them or a new one, and a file of many."""
    players = club.players(database, squad)
    if players:
        show_table(tables.players_table(players), label=_("The players of the squad"))
    else:
        st.info(_("This squad has no players yet. Add the first one here, or all of them from a file."))
    by_id: dict[UUID | str, Player] = {player.player_id: player for player in players}
    options: list[UUID | str] = [state.NOTHING, *by_id]
    chosen = st.selectbox(
        _("Change a player, or add one"),
        options,
        format_func=lambda one: shirt_and_name(by_id[one]) if one else _("A new player"),
        key=state.PLAYER_EDITED.key,
    )
    _player_form(database, squad, by_id.get(chosen))
    with st.expander(_("Add many players from a file")):
        st.text(_("A CSV file with a column player, and if you like shirt_number, birth_year, preferred_foot."))
        st.file_uploader(_("File of players"), type=["csv", "txt"], key=state.PLAYERS_FILE.key)
        st.button(_("Add these players"), on_click=_add_from_file, args=(database, squad))


def _player_form(database: Database, squad: Squad, player: Player | None) -> None:
    form = state.PlayerForm(player.player_id if player else None)
    preferences = list(PreferredFoot)
    with st.form(f"player:{form.of}", border=True):
        st.text_input(
            _("Name shown (a nickname will do)"), player.display_name if player else "", key=form.name.key, max_chars=80
        )
        shirt, born, foot = st.columns(3)
        shirt.number_input(
            _("Shirt number"), 0, HIGHEST_SHIRT, player.shirt_number if player else None, key=form.shirt.key
        )
        born.number_input(
            _("Year of birth (may stay empty)"),
            EARLIEST_BIRTH_YEAR,
            LATEST_BIRTH_YEAR,
            player.birth_year if player else None,
            key=form.birth_year.key,
        )
        foot.selectbox(
            _("Preferred foot, as the player says it"),
            preferences,
            index=preferences.index(player.preferred_foot if player else PreferredFoot.UNKNOWN),
            format_func=glossary.preferred_words,
            key=form.preferred.key,
        )
        if player:
            st.checkbox(_("Plays in this squad now"), player.active, key=form.active.key)
        label = _("Save this player") if player else _("Add this player")
        st.form_submit_button(label, type="primary", on_click=_save, args=(database, squad, player, form))


def _save(database: Database, squad: Squad, player: Player | None, form: state.PlayerForm) -> None:
    def saved() -> str:
        name = form.name.value() or ""
        preferred = form.preferred.value() or PreferredFoot.UNKNOWN
        if player is None:
            added = club.add_player(
                database,
                squad,
                display_name=name,
                shirt_number=form.shirt.value(),
                birth_year=form.birth_year.value(),
                preferred_foot=preferred,
            )
            return _("{player} is added.").format(player=added.display_name)
        try:
            changed = replace(
                player,
                display_name=name,
                shirt_number=form.shirt.value(),
                birth_year=form.birth_year.value(),
                preferred_foot=preferred,
                active=bool(form.active.value()),
            )
        except ValueError as error:
            raise RequestError(_("Nothing was changed: {why}.").format(why=error)) from error
        club.change_player(database, changed)
        return _("{player} is saved.").format(player=changed.display_name)

    if messages.attempt(saved):
        form.forget()


def _add_from_file(database: Database, squad: Squad) -> None:
    def added() -> str:
        with files.on_disk(state.PLAYERS_FILE.value()) as path:
            count = exchange.import_players(database, path, squad=squad)
        return _("{players} added from the file.").format(players=wording.counted(count, "player"))

    messages.attempt(added)
