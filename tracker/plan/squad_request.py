"""What a squad's records say that a plan needs to know."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

import polars as pl

from tracker.domain.squad import Squad
from tracker.domain.vocabulary import Foot, ReadinessStatus
from tracker.errors import RequestError
from tracker.plan.request import FootStanding, PlanRequest, PresentPlayer
from tracker.review import club
from tracker.review.pooled import pooled
from tracker.review.readiness import readiness
from tracker.review.scope import Scope
from tracker.store.database import Database


def squad_request(
    database: Database, squad: Squad, *, minutes: int, held_on: date, present: list[str] | None = None
) -> PlanRequest:
    """A request for the players who are there (every active one when ``present`` is None), each foot at its stage now.

    Raises RequestError for a name that is not there, or when minutes or players are out of range.
    """
    ladder = club.ladder_of(database, squad)
    members = [one for one in club.players(database, squad) if one.active]
    unknown = sorted(set(present or []) - {one.display_name for one in members})
    if unknown:
        raise RequestError(f"There is no active player {', '.join(unknown)} in {squad.name}.")
    rates = pooled(database, Scope(squad=squad)).select("player", "foot", "stage", "pooled_rate")
    board = readiness(database, Scope(squad=squad)).filter(pl.col("is_current"))
    rows = board.join(rates, on=["player", "foot", "stage"], how="left")
    standings = {(row["player"], row["foot"]): row for row in rows.iter_rows(named=True)}
    first = ladder.stages[0].name
    try:
        return PlanRequest(
            ladder=ladder,
            minutes=minutes,
            players=tuple(
                PresentPlayer(
                    name=one.display_name,
                    left=_standing(standings.get((one.display_name, Foot.LEFT.value)), first),
                    right=_standing(standings.get((one.display_name, Foot.RIGHT.value)), first),
                    preferred_foot=one.preferred_foot,
                )
                for one in members
                if present is None or one.display_name in present
            ),
            held_on=held_on,
            unit=club.length_unit(database),
        )
    except ValueError as error:
        raise RequestError.of(error) from error


def _standing(row: Mapping[str, Any] | None, first_stage: str) -> FootStanding:
    if row is None:
        return FootStanding(stage=first_stage)
    return FootStanding(
        stage=row["stage"],
        status=ReadinessStatus(row["status"]),
        attempts=row["attempts"],
        practices=row["practices"],
        pooled_rate=row["pooled_rate"],
        score=row["score"],
        expected_strikes_to_ready=row["expected_strikes_to_ready"],
    )
