"""Puts a club's tallies into a lake: public ids only, never a name, a birth year or a day."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from uuid import UUID

import polars as pl

from tracker.domain.identity import uuid7
from tracker.errors import FileError, RequestError
from tracker.review import club
from tracker.store import ladders as stored_ladders
from tracker.store.database import Database
from tracker.store.lake import LAKE_TALLY, club_tallies, part_of, parts_of_club, write_rows

MEASURES = ["practices", "attempts", "on_target", "sum_nn", "sum_yy"]
_CLUB_ID = "club_id"


@dataclass(frozen=True, kw_only=True, slots=True)
class Written:
    """One part: its season, rows and attempts, and what became of the file (written, unchanged, removed)."""

    season: str
    rows: int
    attempts: int
    what: str


def club_id(database: Database, given: UUID | None = None) -> UUID:
    """The club's public id: a setting made once. Raises RequestError when another one is given than is set."""
    there = stored_ladders.settings(database).get(_CLUB_ID)
    if there is not None:
        if given is not None and given != UUID(there):
            raise RequestError(
                f"This club has the id {there} already. Its tallies in a lake are known by it, so it stays. "
                "Leave --club out."
            )
        return UUID(there)
    made = given or uuid7()
    with database.transaction() as transaction:
        stored_ladders.save_setting(transaction, name=_CLUB_ID, value=str(made))
    return made


def write_lake(database: Database, lake: Path, *, club: UUID) -> list[Written]:
    """Writes one file a season; one that says the same already is left alone, one of a season now empty is removed.

    Raises FileError.
    """
    rows = lake_rows(database, club_id=club)
    written, stands = [], set()
    for (season,), part in rows.partition_by("season", as_dict=True, maintain_order=True).items():
        path = part_of(lake, club_id=str(club), season=str(season))
        stands.add(path)
        what = "written" if write_rows(path, part) else "unchanged"
        written.append(Written(season=str(season), rows=part.height, attempts=int(part["attempts"].sum()), what=what))
    for path in parts_of_club(lake, str(club)):
        if path not in stands and path.exists():
            try:
                path.unlink()
            except OSError as error:
                raise FileError(f"{path} holds tallies that are no longer true and cannot be removed.") from error
            season = path.parent.name.removeprefix("season=")
            written.append(Written(season=season, rows=0, attempts=0, what="removed"))
    return written


def lake_rows(database: Database, *, club_id: UUID) -> pl.DataFrame:
    """The rows a club tells (``LAKE_TALLY``), sorted."""
    stages = stages_of_squads(database)
    rows = club_tallies(database).with_columns(pl.col("squad_id", "player_id", "foot").cast(pl.String))
    keys = [name for name in LAKE_TALLY if name not in MEASURES]
    return (
        rows.join(stages.drop("age_band"), on=["squad_id", "stage"], how="left")
        .join(stages.select("squad_id", "age_band").unique(), on="squad_id", how="left")
        .with_columns(pl.lit(str(club_id)).alias("club_id"))
        .group_by(keys)
        .agg(pl.col(MEASURES).sum())
        .select(pl.col(name).cast(kind) for name, kind in LAKE_TALLY.items())
        .sort(pl.all(), nulls_last=True)
    )


def stages_of_squads(database: Database) -> pl.DataFrame:
    """One row per squad and stage of its ladder: squad_id, stage, age_band and what the stage asks, rounded."""
    return pl.DataFrame(
        [
            {
                "squad_id": str(squad.squad_id),
                "stage": stage.name,
                "age_band": ladder.age_band,
                "ball_arrival": stage.ball_arrival.value,
                "distance_m": round(stage.distance_m),
                "target_width_dm": round(10 * stage.target.width_m),
            }
            for squad in club.squads(database)
            for ladder in [club.ladder_of(database, squad)]
            for stage in ladder.stages
        ],
        schema={
            **dict.fromkeys(("squad_id", "stage", "age_band", "ball_arrival"), pl.String),
            **dict.fromkeys(("distance_m", "target_width_dm"), pl.Int64),
        },
    )
