"""The weeks a squad plans ahead: chosen once, worked out anew from where the feet stand."""

from __future__ import annotations

from datetime import date, timedelta

import polars as pl

from tracker.domain.block_choice import BlockChoice
from tracker.domain.squad import Squad
from tracker.errors import RequestError
from tracker.plan.request import AS_USUAL, PlanOptions
from tracker.plan.season_block import block_weeks, season_block
from tracker.plan.squad_request import squad_request
from tracker.store import plans as stored
from tracker.store.database import Database


def block_of(database: Database, squad: Squad, *, today: date) -> BlockChoice:
    """The weeks chosen for a squad; before any were, eight from this week on."""
    return stored.chosen_block(database, squad.squad_id) or BlockChoice(starts_on=today)


def choose_block(
    database: Database, squad: Squad, *, starts_on: date, weeks: int, practices_a_week: int, other_foot_weeks: int
) -> BlockChoice:
    """Keeps the weeks a coach chose, in place of those before. Raises RequestError."""
    try:
        choice = BlockChoice(
            starts_on=starts_on, weeks=weeks, practices_a_week=practices_a_week, other_foot_weeks=other_foot_weeks
        )
    except ValueError as error:
        raise RequestError.of(error) from error
    with database.transaction() as transaction:
        stored.save_block(transaction, squad.squad_id, choice)
    return choice


def squad_weeks(
    database: Database,
    squad: Squad,
    choice: BlockChoice,
    *,
    minutes: int,
    today: date,
    options: PlanOptions = AS_USUAL,
) -> pl.DataFrame:
    """One row a week (``season_block.block_weeks``), from where every active player's feet stand now."""
    request = squad_request(database, squad, minutes=minutes, held_on=today, options=options)
    block = season_block(
        request,
        starts_on=choice.starts_on,
        weeks=choice.weeks,
        practices_a_week=choice.practices_a_week,
        other_foot_weeks=choice.other_foot_weeks,
    )
    return block_weeks(block)


def reviews_of(weeks: pl.DataFrame) -> list[date]:
    """The Sundays on which the block is looked back on."""
    return [day + timedelta(days=6) for day in weeks.filter(pl.col("review").is_not_null())["starts_on"]]
