"""Plans kept for practices, and the block of weeks a squad plans ahead."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime
from uuid import UUID

import polars as pl

from tracker.domain.block_choice import BlockChoice
from tracker.domain.vocabulary import Foot
from tracker.store.database import Reader, Transaction

_STRIKES = {
    "practice_id": pl.String,
    "player_id": pl.String,
    "foot": pl.String,
    "stage": pl.String,
    "strikes": pl.Int32,
    "watched": pl.Int32,
}
_TURN = {
    "practice_id": pl.String,
    "position": pl.Int16,
    "starts_at": pl.Int16,
    "minutes": pl.Int16,
    "logger": pl.Int16,
    "player_id": pl.String,
    "foot": pl.String,
    "stage": pl.String,
}


@dataclass(frozen=True, kw_only=True, slots=True)
class PlannedStrikes:
    """What a plan asks of one foot at one stage, and how many of the strikes a logger watches."""

    player_id: UUID
    foot: Foot
    stage: str
    strikes: int
    watched: int


@dataclass(frozen=True, kw_only=True, slots=True)
class PlannedTurn:
    """One foot watched in one focal turn: ``starts_at`` in minutes from the start, ``logger`` from 1."""

    position: int
    starts_at: int
    minutes: int
    logger: int
    player_id: UUID
    foot: Foot
    stage: str


@dataclass(frozen=True, kw_only=True, slots=True)
class PlanRecord:
    """A plan as it is kept: its length, when it was kept, and the JSON of ``tracker.plan.plan_document``."""

    minutes: int
    made_at: datetime
    document: str


def save_plan(
    transaction: Transaction,
    practice_id: UUID,
    *,
    minutes: int,
    document: str,
    strikes: list[PlannedStrikes],
    turns: list[PlannedTurn],
) -> None:
    """Keeps a practice's plan, in place of the one it had."""
    practice = str(practice_id)
    transaction.run(
        "save_practice_plan",
        practice_id=practice_id,
        minutes=minutes,
        made_at=datetime.now(UTC),
        document=document,
    )
    transaction.run("drop_planned_strikes", practice_id=practice_id)
    transaction.run("drop_planned_turns", practice_id=practice_id)
    asked = [(practice, str(one.player_id), one.foot.value, one.stage, one.strikes, one.watched) for one in strikes]
    transaction.run("add_planned_strikes", rows=pl.DataFrame(asked, schema=_STRIKES, orient="row"))
    watched = [
        (
            *(practice, one.position, one.starts_at, one.minutes, one.logger),
            *(str(one.player_id), one.foot.value, one.stage),
        )
        for one in turns
    ]
    transaction.run("add_planned_turns", rows=pl.DataFrame(watched, schema=_TURN, orient="row"))


def plan_of_practice(database: Reader, practice_id: UUID) -> PlanRecord | None:
    """The plan kept for a practice, or None."""
    found = database.query("plan_of_practice", practice_id=practice_id)
    return PlanRecord(**found.row(0, named=True)) if found.height else None


def latest_document(database: Reader, squad_id: UUID) -> str | None:
    """The document of the plan a squad kept last, or None."""
    found = database.query("latest_plan_of_squad", squad_id=squad_id)
    return str(found["document"][0]) if found.height else None


def planned_turns(database: Reader, practice_id: UUID) -> list[PlannedTurn]:
    """The focal turns of a practice's plan, in order; none without a plan."""
    return [
        PlannedTurn(**{**row, "player_id": UUID(row["player_id"]), "foot": Foot(row["foot"])})
        for row in database.query("turns_of_practice", practice_id=practice_id).iter_rows(named=True)
    ]


def planned_and_logged(
    database: Reader,
    *,
    practice_id: UUID | None = None,
    squad_id: UUID | None = None,
    first_day: date | None = None,
    last_day: date | None = None,
) -> pl.DataFrame:
    """One row per practice with a plan, player, foot and stage, planned or logged (``planned_and_logged.sql``)."""
    return database.query(
        "planned_and_logged", practice_id=practice_id, squad_id=squad_id, first_day=first_day, last_day=last_day
    )


def count_weeks(
    database: Reader, *, squad_id: UUID | None, first_day: date | None = None, last_day: date | None = None
) -> pl.DataFrame:
    """Strikes per player and week (``count_weeks.sql``)."""
    return database.query("count_weeks", squad_id=squad_id, first_day=first_day, last_day=last_day)


def erase_in_plans(transaction: Transaction, player_id: UUID) -> int:
    """Takes one player out of every plan; returns how many plans named them. What is planned for others stays."""
    transaction.run("erase_planned_strikes", player_id=player_id)
    transaction.run("erase_planned_turns", player_id=player_id)
    return transaction.run("erase_in_plans", player_id=str(player_id))


def last_watched(database: Reader, squad_id: UUID, *, before: date) -> pl.DataFrame:
    """When each player was last watched: player, last_day, days_before_the_last (``last_watched.sql``)."""
    return database.query("last_watched", squad_id=squad_id, day=before)


def save_block(transaction: Transaction, squad_id: UUID, choice: BlockChoice) -> None:
    """Keeps the weeks chosen for a squad, in place of those before."""
    transaction.run(
        "save_season_block",
        squad_id=squad_id,
        starts_on=choice.starts_on,
        weeks=choice.weeks,
        practices_a_week=choice.practices_a_week,
        other_foot_weeks=choice.other_foot_weeks,
    )


def chosen_block(database: Reader, squad_id: UUID) -> BlockChoice | None:
    """The weeks chosen for a squad, or None."""
    found = database.query("season_block_of_squad", squad_id=squad_id)
    return BlockChoice(**found.row(0, named=True)) if found.height else None
