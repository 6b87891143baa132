"""Strikes and corrections: added, voided and counted. Nothing here edits or deletes a strike."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass
from datetime import date
from uuid import UUID

import polars as pl

from tracker.domain.strike import Correction, Strike
from tracker.domain.vocabulary import Surface
from tracker.store.database import Reader, Transaction

STRIKE_SCHEMA: dict[str, pl.DataType | type[pl.DataType]] = {
    "strike_id": pl.String,
    "practice_id": pl.String,
    "player_id": pl.String,
    "stage": pl.String,
    "foot": pl.String,
    "surface": pl.String,
    "outcome": pl.String,
    "miss": pl.String,
    "distance_m": pl.Float64,
    "target_width_m": pl.Float64,
    "struck_at": pl.Datetime("us", "UTC"),
    "struck_at_phone": pl.Datetime("us", "UTC"),
    "set_id": pl.String,
    "source": pl.String,
    "logger": pl.String,
}
"""The columns of a frame of strikes ready to be stored."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Appended:
    """What became of a batch of strikes: how many were stored, how many were there already."""

    stored: int
    already_there: int


@dataclass(frozen=True, kw_only=True, slots=True)
class StrikeFilter:
    """Which strikes are asked about. None means no such filter; both days and both distances are included."""

    squad_id: UUID | None = None
    player_id: UUID | None = None
    first_day: date | None = None
    last_day: date | None = None
    stage: str | None = None
    surface: Surface | None = None
    nearest_m: float | None = None
    farthest_m: float | None = None


def frame_of_strikes(strikes: Iterable[Strike]) -> pl.DataFrame:
    """A frame with ``STRIKE_SCHEMA``, one row per strike."""
    texts = ("strike_id", "practice_id", "player_id", "set_id")
    rows = [
        {key: str(value) if key in texts and value is not None else value for key, value in asdict(strike).items()}
        for strike in strikes
    ]
    return pl.DataFrame(rows, schema=STRIKE_SCHEMA)


def append_strikes(transaction: Transaction, strikes: pl.DataFrame) -> Appended:
    """Stores a frame of strikes (``STRIKE_SCHEMA``); ids that are there already are left alone.

    Strikes that another logger logged too are marked, so that they are kept but not counted twice.
    """
    stored = transaction.run("add_strikes", rows=strikes.select(*STRIKE_SCHEMA))
    if stored and strikes["logger"].null_count() < strikes.height:
        mark_second_looks(transaction, strikes)
    return Appended(stored=stored, already_there=strikes.height - stored)


def mark_second_looks(transaction: Transaction, touched: pl.DataFrame) -> None:
    """Works out afresh which strikes are another logger's look at the same strike.

    ``touched`` has the practice_id and player_id of every strike that was added or voided.
    """
    practice_ids, player_ids = (touched[name].unique().to_list() for name in ("practice_id", "player_id"))
    several = transaction.query("players_with_loggers", practice_ids=practice_ids, player_ids=player_ids)
    if several.height:
        practice_ids, player_ids = (several[name].unique().to_list() for name in ("practice_id", "player_id"))
        transaction.run("forget_second_looks", practice_ids=practice_ids, player_ids=player_ids)
        transaction.run("mark_second_looks", practice_ids=practice_ids, player_ids=player_ids)


def strikes_by_id(database: Reader, strike_ids: Iterable[UUID | str]) -> pl.DataFrame:
    """One row per strike that is stored: strike_id, practice_id, player_id, foot, is_void."""
    return database.query("strikes_by_id", strike_ids=[str(strike_id) for strike_id in strike_ids])


def void_strikes(transaction: Transaction, corrections: Iterable[Correction]) -> int:
    """Voids strikes; returns how many were not void before."""
    rows = pl.DataFrame(
        [(str(one.strike_id), one.corrected_at, one.corrected_by, one.why) for one in corrections],
        schema={
            "strike_id": pl.String,
            "corrected_at": pl.Datetime("us", "UTC"),
            "corrected_by": pl.String,
            "why": pl.String,
        },
        orient="row",
    )
    voided = transaction.run("add_corrections", rows=rows)
    mark_second_looks(transaction, strikes_by_id(transaction, rows["strike_id"]))
    return voided


def count_cells(
    database: Reader, chosen: StrikeFilter, *, by_surface: bool = False, by_distance: bool = False
) -> pl.DataFrame:
    """Attempts and hits per player × foot × stage × practice, split by surface and distance band only where asked.

    Players and practices are numbers: rows of ``player_numbers`` and ``practice_numbers``.
    """
    return database.query("count_cells", by_surface=by_surface, by_distance=by_distance, **_parameters(chosen))


def player_numbers(database: Reader) -> pl.DataFrame:
    """Who the numbered players are: player_id, player (display name), preferred_foot."""
    return database.query("list_player_numbers")


def practice_numbers(database: Reader) -> pl.DataFrame:
    """Which the numbered practices are: practice_id, squad_id, code (as in ``steps.sql``), held_on, month ("2026-03"),
    practice ("2026-03-12", its label)."""
    return database.query("list_practice_numbers")


def count_directions(database: Reader, chosen: StrikeFilter) -> pl.DataFrame:
    """On target and misses by side per player × foot × stage × distance × target width (``count_directions.sql``)."""
    return database.query("count_directions", **_parameters(chosen))


def count_first_sets(database: Reader, chosen: StrikeFilter, *, strikes_a_set: int) -> pl.DataFrame:
    """First set and later sets per player × foot × stage × practice (``count_first_sets.sql``)."""
    return database.query("count_first_sets", strikes_a_set=strikes_a_set, **_parameters(chosen))


def strikes_by_logger(database: Reader, practice_id: UUID) -> pl.DataFrame:
    """The strikes of a practice with who wrote them down, second looks included (``strikes_by_logger.sql``)."""
    return database.query("strikes_by_logger", practice_id=practice_id)


def steps(
    database: Reader,
    chosen: StrikeFilter,
    *,
    stages: Sequence[str],
    squad_ids: Sequence[UUID] | None = None,
    after_row: int | None = None,
    last_row: int | None = None,
) -> pl.DataFrame:
    """Attempts of a player's foot at a stage in time: track, struck_at_us, practice, tangent, hits (``steps.sql``).

    A score is of every strike at a stage, so stage, surface and distance cut nothing here.
    """
    return database.query(
        "steps",
        stages=list(stages),
        squad_ids=squad_ids if squad_ids is None else [str(squad_id) for squad_id in squad_ids],
        player_id=chosen.player_id,
        first_day=chosen.first_day,
        last_day=chosen.last_day,
        after_row=after_row,
        last_row=last_row,
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class StrikesSeen:
    """How far the strikes had come when they were looked at, and what became of those before (``strikes_seen.sql``).

    Strikes with a row up to ``last_row`` count as they did when ``kept`` and ``set_aside`` are the same again.
    """

    last_row: int
    kept: int
    set_aside: int


def strikes_seen(database: Reader, *, up_to_row: int | None = None) -> StrikesSeen:
    """How far the strikes have come, or what has become of those up to a row."""
    row = database.query("strikes_seen", last_row=up_to_row).row(0, named=True)
    return StrikesSeen(**row)


def _parameters(chosen: StrikeFilter) -> dict[str, object]:
    return {
        "squad_id": chosen.squad_id,
        "player_id": chosen.player_id,
        "first_day": chosen.first_day,
        "last_day": chosen.last_day,
        "stage": chosen.stage,
        "surface": chosen.surface,
        "nearest_m": chosen.nearest_m,
        "farthest_m": chosen.farthest_m,
    }


def sets_of_practice(database: Reader, practice_id: UUID, *, most: int = 50) -> pl.DataFrame:
    """What was logged in a practice, the latest first (``strikes_of_practice.sql``)."""
    return database.query("strikes_of_practice", practice_id=practice_id, most=most)


def coverage_of_practice(database: Reader, practice_id: UUID) -> pl.DataFrame:
    """Attempts per active player and foot in a practice (``coverage_of_practice.sql``)."""
    return database.query("coverage_of_practice", practice_id=practice_id)


def exported_strikes(database: Reader, chosen: StrikeFilter, *, with_voided: bool = False) -> pl.DataFrame:
    """Every strike with names and ids, in time (``export_strikes.sql``)."""
    return database.query(
        "export_strikes",
        with_voided=with_voided,
        squad_id=chosen.squad_id,
        first_day=chosen.first_day,
        last_day=chosen.last_day,
    )


def exported_tallies(database: Reader, chosen: StrikeFilter) -> pl.DataFrame:
    """Tallies with names, as ``import`` reads them (``export_tallies.sql``)."""
    return database.query(
        "export_tallies", squad_id=chosen.squad_id, first_day=chosen.first_day, last_day=chosen.last_day
    )
