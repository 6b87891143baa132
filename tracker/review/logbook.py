"""Writing strikes down, and what a practice holds so far."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from uuid import UUID

import polars as pl

from tracker.domain.identity import uuid7
from tracker.domain.ladder import Stage
from tracker.domain.practice import Practice
from tracker.domain.squad import Player, Squad
from tracker.domain.strike import Correction, Strike
from tracker.domain.vocabulary import Foot, Miss, Outcome, Source, Surface
from tracker.errors import RequestError
from tracker.store import practices as stored_practices
from tracker.store import strikes as stored_strikes
from tracker.store.database import Database

MOST_ATTEMPTS_A_SET = 100


@dataclass(frozen=True, kw_only=True, slots=True)
class CalledSet:
    """A set called out at its end, as "7 of 10"."""

    player: Player
    foot: Foot
    attempts: int
    on_target: int

    def __post_init__(self) -> None:
        if not 1 <= self.attempts <= MOST_ATTEMPTS_A_SET:
            raise RequestError(f"A set has 1 to {MOST_ATTEMPTS_A_SET} strikes, but {self.attempts} were given.")
        if not 0 <= self.on_target <= self.attempts:
            raise RequestError(
                f"{self.on_target} on target of {self.attempts} strikes cannot be "
                f"({self.player.display_name}, {self.foot.value} foot). Nothing was stored."
            )


def practice_on(database: Database, squad: Squad, day: date, *, label: str = "") -> Practice:
    """The squad's practice of a day, made if it is not there. Raises RequestError for a day to come."""
    if day > datetime.now().astimezone().date():
        raise RequestError(f"The practice of {day} is still to come: pick today or an earlier day.")
    wanted = Practice(practice_id=uuid7(), squad_id=squad.squad_id, held_on=day, label=label)
    with database.transaction() as transaction:
        stored_practices.add_practices(transaction, [wanted])
        there = stored_practices.practices(transaction, squad_id=squad.squad_id)
    return next(one for one in there if one.held_on == day and one.label == label)


def practices(database: Database, squad: Squad) -> list[Practice]:
    """The squad's practices, the latest first."""
    return stored_practices.practices(database, squad_id=squad.squad_id)


def practice_counts(database: Database, squad: Squad) -> pl.DataFrame:
    """One row per practice, the latest first: practice_id, held_on, label, place, strikes, players."""
    return stored_practices.practice_counts(database, squad_id=squad.squad_id)


def log_strike(
    database: Database,
    practice: Practice,
    *,
    player: Player,
    foot: Foot,
    outcome: Outcome,
    miss: Miss | None = None,
    stage: Stage | None = None,
    surface: Surface | None = None,
    distance_m: float | None = None,
    logger: str | None = None,
    set_id: UUID | None = None,
) -> Strike:
    """Stores one strike now and returns it. Without a distance it is the stage's. Raises RequestError."""
    try:
        strike = Strike(
            strike_id=uuid7(),
            practice_id=practice.practice_id,
            player_id=player.player_id,
            stage=stage.name if stage else None,
            foot=foot,
            surface=surface,
            outcome=outcome,
            miss=miss,
            distance_m=distance_m if distance_m is not None or stage is None else stage.distance_m,
            target_width_m=stage.target.width_m if stage else None,
            struck_at=moment_in(practice),
            set_id=set_id,
            source=Source.TAP,
            logger=logger,
        )
    except ValueError as error:
        raise RequestError(f"Nothing was stored: {error}.") from error
    with database.transaction() as transaction:
        stored_strikes.append_strikes(transaction, stored_strikes.frame_of_strikes([strike]))
    return strike


def log_sets(
    database: Database,
    practice: Practice,
    called: Sequence[CalledSet],
    *,
    stage: Stage | None,
    surface: Surface | None = None,
    distance_m: float | None = None,
    logger: str | None = None,
) -> int:
    """Stores sets called out at their end, all or none, and returns how many strikes that were.

    The strikes of a set share one instant: their order is not known, and nothing pretends it is.
    """
    struck_at = moment_in(practice)
    strikes = [
        Strike(
            strike_id=uuid7(),
            practice_id=practice.practice_id,
            player_id=one.player.player_id,
            stage=stage.name if stage else None,
            foot=one.foot,
            surface=surface,
            outcome=Outcome.ON_TARGET if number < one.on_target else Outcome.OFF_TARGET,
            miss=None,
            distance_m=distance_m if distance_m is not None or stage is None else stage.distance_m,
            target_width_m=stage.target.width_m if stage else None,
            struck_at=struck_at,
            set_id=set_id,
            source=Source.CALL_OUT,
            logger=logger,
        )
        for one, set_id in [(one, uuid7()) for one in called]
        for number in range(one.attempts)
    ]
    if strikes:
        with database.transaction() as transaction:
            stored_strikes.append_strikes(transaction, stored_strikes.frame_of_strikes(strikes))
    return len(strikes)


def moment_in(practice: Practice) -> datetime:
    """Now, or for a practice of an earlier day the same clock time on that day (local time), in UTC."""
    now = datetime.now().astimezone()
    if practice.held_on == now.date():
        return now.astimezone(UTC)
    return datetime.combine(practice.held_on, time(now.hour, now.minute, now.second, now.microsecond)).astimezone(UTC)


def logged(database: Database, practice: Practice, *, most: int = 20) -> pl.DataFrame:
    """What was just logged, the latest first: one row per tap and one per called set, with its strike_ids."""
    return stored_strikes.sets_of_practice(database, practice.practice_id, most=most)


def undo(database: Database, strike_ids: Sequence[UUID], *, why: str = "undone on the practice page") -> int:
    """Voids strikes, and returns how many; the strikes stay in the records, with the reason."""
    return correct(database, strike_ids, why=why, corrected_by=None)


def correct(database: Database, strike_ids: Sequence[UUID], *, why: str, corrected_by: str | None) -> int:
    """Voids strikes with a reason, all or none. Raises RequestError when one is not there or no reason is given."""
    if not why.strip():
        raise RequestError("Say why the strike is voided, in a few words.")
    known = set(stored_strikes.strikes_by_id(database, strike_ids)["strike_id"])
    absent = [str(strike_id) for strike_id in strike_ids if str(strike_id) not in known]
    if absent:
        raise RequestError(f"There is no strike {', '.join(absent)}. Nothing was changed.")
    now = datetime.now(UTC)
    with database.transaction() as transaction:
        return stored_strikes.void_strikes(
            transaction,
            [
                Correction(strike_id=one, corrected_at=now, corrected_by=corrected_by, why=why.strip())
                for one in strike_ids
            ],
        )


def coverage(database: Database, practice: Practice) -> pl.DataFrame:
    """Is everyone logged? One row per active player and foot: player, shirt_number, foot, attempts, on_target."""
    return stored_strikes.coverage_of_practice(database, practice.practice_id)
