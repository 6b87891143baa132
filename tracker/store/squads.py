"""Squads, seasons and players: read and saved."""

from __future__ import annotations

from collections.abc import Iterable
from uuid import UUID

import polars as pl

from tracker.domain.squad import Player, Season, Squad
from tracker.domain.vocabulary import PreferredFoot
from tracker.store.database import Reader, Transaction

_SQUAD = {"squad_id": pl.String, "name": pl.String, "ladder_name": pl.String}
_SEASON = {"season_id": pl.String, "name": pl.String, "starts_on": pl.Date, "ends_on": pl.Date}
_PLAYER = {
    "player_id": pl.String,
    "squad_id": pl.String,
    "display_name": pl.String,
    "shirt_number": pl.Int16,
    "birth_year": pl.Int16,
    "preferred_foot": pl.String,
    "active": pl.Boolean,
}


def squads(database: Reader) -> list[Squad]:
    """Every squad, by name."""
    return [
        Squad(squad_id=UUID(row["squad_id"]), name=row["name"], ladder_name=row["ladder_name"])
        for row in database.query("list_squads").iter_rows(named=True)
    ]


def seasons(database: Reader) -> list[Season]:
    """Every season, the latest first."""
    return [
        Season(season_id=UUID(row["season_id"]), name=row["name"], starts_on=row["starts_on"], ends_on=row["ends_on"])
        for row in database.query("list_seasons").iter_rows(named=True)
    ]


def players(database: Reader, *, squad_id: UUID | None = None) -> list[Player]:
    """The players of a squad (or of all), in the order of shirts, then names."""
    return [
        Player(
            player_id=UUID(row["player_id"]),
            squad_id=UUID(row["squad_id"]),
            display_name=row["display_name"],
            shirt_number=row["shirt_number"],
            birth_year=row["birth_year"],
            preferred_foot=PreferredFoot(row["preferred_foot"]),
            active=row["active"],
        )
        for row in database.query("list_players", squad_id=squad_id).iter_rows(named=True)
    ]


def save_squads(transaction: Transaction, squads: Iterable[Squad]) -> None:
    """Adds squads, or changes those that are there by id."""
    rows = [(str(squad.squad_id), squad.name, squad.ladder_name) for squad in squads]
    transaction.run("save_squads", rows=pl.DataFrame(rows, schema=_SQUAD, orient="row"))


def save_seasons(transaction: Transaction, seasons: Iterable[Season]) -> None:
    """Adds seasons, or changes those that are there by id."""
    rows = [(str(season.season_id), season.name, season.starts_on, season.ends_on) for season in seasons]
    transaction.run("save_seasons", rows=pl.DataFrame(rows, schema=_SEASON, orient="row"))


def save_players(transaction: Transaction, players: Iterable[Player]) -> None:
    """Adds players, or changes those that are there by id."""
    rows = [
        (
            str(player.player_id),
            str(player.squad_id),
            player.display_name,
            player.shirt_number,
            player.birth_year,
            player.preferred_foot.value,
            player.active,
        )
        for player in players
    ]
    transaction.run("save_players", rows=pl.DataFrame(rows, schema=_PLAYER, orient="row"))
