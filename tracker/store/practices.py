"""Practices and the coach's placements."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime
from uuid import UUID

import polars as pl

from tracker.domain.practice import Placement, Practice
from tracker.domain.vocabulary import Foot, PitchSurface, ReadinessStatus
from tracker.store.database import Reader, Transaction

_PRACTICE = {
    "practice_id": pl.String,
    "squad_id": pl.String,
    "held_on": pl.Date,
    "label": pl.String,
    "place": pl.String,
    "pitch_surface": pl.String,
    "notes": pl.String,
}
_PLACEMENT: dict[str, pl.DataType | type[pl.DataType]] = {
    "placement_id": pl.String,
    "player_id": pl.String,
    "foot": pl.String,
    "stage": pl.String,
    "placed_at": pl.Datetime("us", "UTC"),
    "suggested_stage": pl.String,
    "suggested_status": pl.String,
    "note": pl.String,
}


def practice_counts(database: Reader, *, squad_id: UUID | None = None) -> pl.DataFrame:
    """One row per practice, the latest first, with the strikes and players it holds (``list_practices.sql``)."""
    return database.query("list_practices", squad_id=squad_id)


def practices(database: Reader, *, squad_id: UUID | None = None) -> list[Practice]:
    """The practices of a squad (or of all), the latest first."""
    return [
        Practice(
            practice_id=UUID(row["practice_id"]),
            squad_id=UUID(row["squad_id"]),
            held_on=row["held_on"],
            label=row["label"],
            place=row["place"],
            pitch_surface=PitchSurface(row["pitch_surface"]) if row["pitch_surface"] else None,
            notes=row["notes"],
        )
        for row in practice_counts(database, squad_id=squad_id).iter_rows(named=True)
    ]


def add_practices(transaction: Transaction, practices: Iterable[Practice]) -> int:
    """Adds the practices that are not there yet, by id or by squad, date and label; returns how many were new."""
    rows = [
        (
            str(practice.practice_id),
            str(practice.squad_id),
            practice.held_on,
            practice.label,
            practice.place,
            practice.pitch_surface.value if practice.pitch_surface else None,
            practice.notes,
        )
        for practice in practices
    ]
    return transaction.run("add_practices", rows=pl.DataFrame(rows, schema=_PRACTICE, orient="row"))


def change_practice(transaction: Transaction, practice: Practice) -> None:
    """Changes the place, pitch surface and notes of one practice."""
    transaction.run(
        "change_practice",
        practice_id=practice.practice_id,
        place=practice.place,
        pitch_surface=practice.pitch_surface,
        notes=practice.notes,
    )


def placements(database: Reader, *, squad_id: UUID | None = None) -> list[Placement]:
    """The placements that stand, oldest first."""
    return [
        Placement(
            placement_id=UUID(row["placement_id"]),
            player_id=UUID(row["player_id"]),
            foot=Foot(row["foot"]),
            stage=row["stage"],
            placed_at=row["placed_at"],
            suggested_stage=row["suggested_stage"],
            suggested_status=ReadinessStatus(row["suggested_status"]) if row["suggested_status"] else None,
            note=row["note"],
        )
        for row in database.query("list_placements", squad_id=squad_id).iter_rows(named=True)
    ]


def add_placements(transaction: Transaction, placements: Iterable[Placement]) -> int:
    """Adds placements; one whose id is there already is left alone. Returns how many were new."""
    rows = [
        (
            str(placement.placement_id),
            str(placement.player_id),
            placement.foot.value,
            placement.stage,
            placement.placed_at,
            placement.suggested_stage,
            placement.suggested_status.value if placement.suggested_status else None,
            placement.note,
        )
        for placement in placements
    ]
    return transaction.run("add_placements", rows=pl.DataFrame(rows, schema=_PLACEMENT, orient="row"))


def withdraw_placement(transaction: Transaction, placement_id: UUID, *, at: datetime | None = None) -> int:
    """Takes a placement back; returns 0 when it is not there or was taken back before."""
    return transaction.run("withdraw_placement", placement_id=placement_id, withdrawn_at=at or datetime.now(UTC))


def withdraw_placements(transaction: Transaction, rows: pl.DataFrame) -> int:
    """Takes placements back as they were taken back elsewhere: placement_id, withdrawn_at."""
    return transaction.run("withdraw_placements", rows=rows)
