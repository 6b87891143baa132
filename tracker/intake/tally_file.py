"""Tally tables: one row a set, "7 of 10"; and the strikes each stands for."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from zoneinfo import ZoneInfo

import numpy as np
import polars as pl

from tracker.domain.vocabulary import Miss, Outcome, Source
from tracker.errors import FileError
from tracker.intake.column_reader import MOMENT, ColumnReader
from tracker.intake.strike_columns import (
    MISS,
    NO_MAP,
    OUTCOME,
    STRIKE_ROWS,
    ParsedRows,
    parsed_rows,
    read_shared_columns,
)
from tracker.intake.table_file import RawTable, require_columns, with_fields

MOST_ATTEMPTS = 1000
MOST_STRIKES = 10_000_000

# Every column a tally table may have. Blocked strikes stand beside the attempts, not among them.
TALLY_FIELDS = (
    "date",
    "squad",
    "practice",
    "practice_id",
    "player",
    "player_id",
    "stage",
    "foot",
    "surface",
    "attempts",
    "on_target",
    "left",
    "right",
    "over",
    "short",
    "blocked",
    "distance_m",
    "distance_yd",
    "target_width_m",
    "set",
    "set_id",
    "source",
    "logger",
)
REQUIRED_OF_TALLIES = (("date",), ("player",), ("foot",), ("attempts",), ("on_target",))

_SIDES = tuple(miss.value for miss in Miss)
# What the strikes of one tally become, in this order: column of the count, outcome, miss.
_PARTS = (
    ("on_target", Outcome.ON_TARGET, None),
    *((miss.value, Outcome.OFF_TARGET, miss) for miss in Miss),
    ("side_not_said", Outcome.OFF_TARGET, None),
    ("blocked", Outcome.BLOCKED, None),
)


def parse_tallies(
    table: RawTable, *, local_zone: ZoneInfo, now: datetime, column_map: Mapping[str, str] = NO_MAP
) -> ParsedRows:
    """Reads a table of tallies; a day after ``now`` is wrong.

    ``rows``: as ``parse_strikes``, without strike_id, outcome and miss, and with the counts attempts, on_target, left,
    right, over, short, blocked (Int64, 0 where not said). struck_at is local noon of the day.
    Raises FileError when a required column is missing, RequestError when ``column_map`` does not fit the table.
    """
    table = with_fields(table, column_map=column_map, fields=TALLY_FIELDS)
    require_columns(table, REQUIRED_OF_TALLIES)
    reader = ColumnReader(table)
    reader.reject("date", reader.text("date").is_null(), "every row needs one")
    held_on, noon = reader.days("date", local_zone=local_zone, now=now)
    columns = (
        {"line": table.lines}
        | read_shared_columns(reader, default_source=Source.PAPER)
        | {"held_on": held_on, "struck_at": noon, "struck_at_phone": reader.empty("struck_at_phone", MOMENT)}
        | _read_counts(reader)
    )
    return parsed_rows(pl.DataFrame(columns), reader=reader, table=table, fields=TALLY_FIELDS)


def strikes_from_tallies(rows: pl.DataFrame) -> pl.DataFrame:
    """The strikes the tallies stand for: rows as of ``parse_strikes``, with ``number`` (Int64, from 0) within the line.

    The strikes of a tally share ``set`` and ``struck_at``, which says that their order is not known.
    Raises FileError when there would be more than ``MOST_STRIKES``.
    """
    side_not_said = pl.col("attempts") - pl.col("on_target") - pl.sum_horizontal(_SIDES)
    counts = rows.with_columns(side_not_said.alias("side_not_said")).select(part[0] for part in _PARTS).to_numpy()
    total = int(counts.sum())
    if total > MOST_STRIKES:
        raise FileError(f"the tallies add up to {total:,} strikes, more than {MOST_STRIKES:,}; split the file")
    cell = np.repeat(np.arange(counts.size), counts.ravel())
    tally, part = np.divmod(cell, len(_PARTS))
    first = np.cumsum(counts.sum(axis=1)) - counts.sum(axis=1)
    outcomes = pl.Series("outcome", [outcome for _, outcome, _ in _PARTS], dtype=OUTCOME)
    misses = pl.Series("miss", [miss for _, _, miss in _PARTS], dtype=MISS)
    return (
        rows[tally]
        .with_columns(
            outcomes[part],
            misses[part],
            pl.lit(None, dtype=pl.String).alias("strike_id"),
            pl.col("set").fill_null(pl.format("line {}", "line")),
            pl.Series("number", np.arange(total) - first[tally], dtype=pl.Int64),
        )
        .select(*STRIKE_ROWS, "number")
    )


def _read_counts(reader: ColumnReader) -> dict[str, pl.Series]:
    """Attempts, on target, and misses by side, checked against each other."""
    attempts = reader.count("attempts", highest=MOST_ATTEMPTS, required=True)
    on_target = reader.count("on_target", highest=MOST_ATTEMPTS, required=True)
    more_than_all = on_target > attempts
    reader.reject_saying(
        "on_target",
        more_than_all,
        pl.format("on_target is {} of {} attempts: more on target than attempts", "on_target", "attempts"),
        on_target=on_target,
        attempts=attempts,
    )
    sides = {side: reader.count(side, highest=MOST_ATTEMPTS).fill_null(0) for side in _SIDES}
    blocked = reader.count("blocked", highest=MOST_ATTEMPTS).fill_null(0)
    missed = pl.DataFrame(sides).sum_horizontal()
    off_target = attempts - on_target
    reader.reject_saying(
        next((side for side in _SIDES if reader.has(side)), "left"),
        (missed > off_target) & ~more_than_all,
        pl.format(
            "{} missed left, right, over or short, but only {} of {} attempts were off target",
            "missed",
            "off_target",
            "attempts",
        ),
        missed=missed,
        off_target=off_target,
        attempts=attempts,
    )
    return {"attempts": attempts, "on_target": on_target, **sides, "blocked": blocked}
