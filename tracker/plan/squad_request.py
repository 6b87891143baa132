"""What a squad's records say that a plan needs to know."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from datetime import date
from typing import Any

import polars as pl

from tracker.domain.squad import Player, Squad
from tracker.domain.vocabulary import Foot, ReadinessStatus
from tracker.errors import RequestError
from tracker.plan.request import AS_USUAL, FootPhase, FootStanding, PlanOptions, PlanRequest, PresentPlayer
from tracker.review import club
from tracker.review.pooled import pooled
from tracker.review.readiness import readiness
from tracker.review.scope import Scope
from tracker.store.database import Database
from tracker.store.plans import chosen_block, last_watched

LONGEST_BREAK_DAYS = 7


def squad_request(
    database: Database,
    squad: Squad,
    *,
    minutes: int,
    held_on: date,
    present: Collection[str] | None = None,
    options: PlanOptions = AS_USUAL,
) -> PlanRequest:
    """A request for the players who are there (every active one when ``present`` is None), each foot at its stage now.

    Raises RequestError for a name that is not there, or when minutes or players are out of range.
    """
    ladder = club.ladder_of(database, squad)
    members = [one for one in club.players(database, squad) if one.active]
    unknown = sorted(set(present or ()) - {one.display_name for one in members})
    if unknown:
        raise RequestError(f"There is no active player {', '.join(unknown)} in {squad.name}.")
    rates = pooled(database, Scope(squad=squad)).select("player", "foot", "stage", "pooled_rate")
    board = readiness(database, Scope(squad=squad)).filter(pl.col("is_current"))
    rows = board.join(rates, on=["player", "foot", "stage"], how="left")
    standings = {(row["player"], row["foot"]): row for row in rows.iter_rows(named=True)}
    first = ladder.stages[0].name
    unseen = _days_unwatched(database, squad, held_on)
    try:
        return PlanRequest(
            ladder=ladder,
            minutes=minutes,
            players=tuple(
                PresentPlayer(
                    name=one.display_name,
                    left=_standing(standings.get((one.display_name, Foot.LEFT.value)), first, unseen=unseen, of=one),
                    right=_standing(standings.get((one.display_name, Foot.RIGHT.value)), first, unseen=unseen, of=one),
                    preferred_foot=one.preferred_foot,
                )
                for one in members
                if present is None or one.display_name in present
            ),
            held_on=held_on,
            equipment=options.equipment,
            loggers=options.loggers,
            standard=options.standard,
            phase=options.phase or phase_on(database, squad, held_on),
            space_width_m=options.space_width_m,
            days_to_next_practice=options.days_to_next_practice,
            calls_out_sets=options.calls_out_sets,
            unit=club.length_unit(database),
        )
    except ValueError as error:
        raise RequestError.of(error) from error


def phase_on(database: Database, squad: Squad, day: date) -> FootPhase:
    """Whether a day lies in the squad's weeks of the other foot; where no block of weeks was chosen, it does."""
    chosen = chosen_block(database, squad.squad_id)
    return FootPhase.BLOCK if chosen is None or chosen.is_other_foot_week(day) else FootPhase.UPKEEP


def _days_unwatched(database: Database, squad: Squad, day: date) -> dict[str, int]:
    """How many days ago each player was last watched; a stretch without any practice counts for a week at most, so
    that after a break not everybody is due at once."""
    rows = last_watched(database, squad.squad_id, before=day)
    since_last = min((day - max(rows["last_day"], default=day)).days, LONGEST_BREAK_DAYS)
    return {row["player"]: row["days_before_the_last"] + since_last for row in rows.iter_rows(named=True)}


def _standing(
    row: Mapping[str, Any] | None, first_stage: str, *, unseen: Mapping[str, int], of: Player
) -> FootStanding:
    days = unseen.get(of.display_name)
    if row is None:
        return FootStanding(stage=first_stage, days_since_observed=days)
    return FootStanding(
        stage=row["stage"],
        status=ReadinessStatus(row["status"]),
        attempts=row["attempts"],
        practices=row["practices"],
        pooled_rate=row["pooled_rate"],
        score=row["score"],
        expected_strikes_to_ready=row["expected_strikes_to_ready"],
        days_since_observed=days,
    )
