"""Strike tables: one row a strike of the ball."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import polars as pl

from tracker.domain.vocabulary import Miss, Outcome, Source
from tracker.intake.column_reader import ColumnReader
from tracker.intake.strike_columns import (
    MISS,
    NO_MAP,
    OUTCOME,
    STRIKE_ROWS,
    ParsedRows,
    parsed_rows,
    read_shared_columns,
    words_of,
)
from tracker.intake.table_file import RawTable, require_columns, with_fields

# Every column a strike table may have.
STRIKE_FIELDS = (
    "strike_id",
    "struck_at",
    "struck_at_phone",
    "date",
    "squad",
    "practice",
    "practice_id",
    "player",
    "player_id",
    "stage",
    "foot",
    "surface",
    "outcome",
    "on_target",
    "miss",
    "distance_m",
    "distance_yd",
    "target_width_m",
    "set",
    "set_id",
    "source",
    "logger",
)
REQUIRED_OF_STRIKES = (("player",), ("foot",), ("outcome", "on_target"), ("struck_at", "date"))

_OUTCOMES = {
    "on": Outcome.ON_TARGET,
    "on target": Outcome.ON_TARGET,
    "off": Outcome.OFF_TARGET,
    "off target": Outcome.OFF_TARGET,
    "blocked": Outcome.BLOCKED,
}
_ON_TARGET = {
    "true": Outcome.ON_TARGET,
    "1": Outcome.ON_TARGET,
    "yes": Outcome.ON_TARGET,
    "false": Outcome.OFF_TARGET,
    "0": Outcome.OFF_TARGET,
    "no": Outcome.OFF_TARGET,
}
_MOST_LINES_NAMED = 5
PHONE_CLOCKS_END = datetime(2200, 1, 1, tzinfo=UTC)  # a phone's clock may be wrong by years; it is kept as it was


def parse_strikes(
    table: RawTable, *, local_zone: ZoneInfo, now: datetime, column_map: Mapping[str, str] = NO_MAP
) -> ParsedRows:
    """Reads a table of strikes; a time without an offset is in ``local_zone``, one after ``now`` is wrong.

    ``rows``: line (Int64), strike_id (or null), player, player_id, squad, practice (its label, or null), practice_id,
    held_on (Date, local), stage, foot, surface, outcome, miss (Enums of ``domain.vocabulary``), distance_m,
    target_width_m (Float64, metres), struck_at (UTC, µs; local noon where only the date is known),
    struck_at_phone, set (a label or a UUID), source, logger. Ids are UUID text in lower case; names are text without
    outer spaces.
    Raises FileError when a required column is missing, RequestError when ``column_map`` does not fit the table.
    """
    table = with_fields(table, column_map=column_map, fields=STRIKE_FIELDS)
    require_columns(table, REQUIRED_OF_STRIKES)
    reader = ColumnReader(table)
    struck_at, held_on = _read_times(reader, local_zone=local_zone, now=now)
    outcome = _read_outcome(reader)
    columns = read_shared_columns(reader, default_source=Source.FILE) | {
        "line": table.lines,
        "strike_id": reader.identifier("strike_id"),
        "held_on": held_on,
        "struck_at": struck_at,
        "struck_at_phone": reader.moments("struck_at_phone", local_zone=local_zone, now=PHONE_CLOCKS_END),
        "outcome": outcome,
        "miss": _read_miss(reader, outcome=outcome),
    }
    rows = pl.DataFrame({name: columns[name] for name in STRIKE_ROWS})
    _reject_shared_ids(reader, rows)
    return parsed_rows(rows, reader=reader, table=table, fields=STRIKE_FIELDS)


def _read_times(reader: ColumnReader, *, local_zone: ZoneInfo, now: datetime) -> tuple[pl.Series, pl.Series]:
    """``struck_at`` (UTC) and ``held_on`` (the local day): from both columns, or either."""
    moments = reader.moments("struck_at", local_zone=local_zone, now=now)
    days, noons = reader.days("date", local_zone=local_zone, now=now)
    neither = reader.text("struck_at").is_null() & reader.text("date").is_null()
    reader.reject("struck_at" if reader.has("struck_at") else "date", neither, "every row needs one")
    if not reader.has("struck_at"):
        return noons, days
    local_days = moments.dt.convert_time_zone(local_zone.key).dt.date()
    if not reader.has("date"):
        return moments, local_days
    # A practice may be logged days after it was held. Elsewhere in the world it may lie a day after its strikes.
    early = (days - local_days > timedelta(days=1)).fill_null(value=False)
    reader.reject("date", early, "that is after the day of struck_at in the same row")
    return moments.fill_null(noons), days.fill_null(local_days)


def _read_outcome(reader: ColumnReader) -> pl.Series:
    """The outcome: from ``outcome``, or where that is empty from ``on_target``; the two must not contradict."""
    outcome = reader.word("outcome", _OUTCOMES, dtype=OUTCOME, rule="must be on, off or blocked")
    on_target = reader.word("on_target", _ON_TARGET, dtype=OUTCOME, rule="must be true or false (or 1, 0, yes, no)")
    neither = reader.text("outcome").is_null() & reader.text("on_target").is_null()
    reader.reject("outcome" if reader.has("outcome") else "on_target", neither, "every row needs one")
    if not (reader.has("outcome") and reader.has("on_target")):
        return outcome if reader.has("outcome") else on_target
    differ = ((outcome == Outcome.ON_TARGET) != (on_target == Outcome.ON_TARGET)).fill_null(value=False)
    reader.reject("on_target", differ, "that contradicts the outcome of the same row")
    return outcome.fill_null(on_target)


def _read_miss(reader: ColumnReader, *, outcome: pl.Series) -> pl.Series:
    miss = reader.word("miss", words_of(Miss), dtype=MISS, rule="must be left, right, over or short")
    if reader.has("miss"):
        not_off = miss.is_not_null() & (outcome != Outcome.OFF_TARGET)
        reader.reject("miss", not_off, "only a strike off target has a miss; leave it empty")
    return miss


def _reject_shared_ids(reader: ColumnReader, rows: pl.DataFrame) -> None:
    """Rejects every row whose ``strike_id`` stands on another row with other content."""
    ids = rows["strike_id"]
    given = ids.drop_nulls()
    if given.n_unique() == given.len():
        return
    repeated = rows.filter(ids.is_not_null() & ids.is_duplicated())
    content = [name for name in rows.columns if name != "line"]
    shared = repeated.unique(subset=content).filter(pl.col("strike_id").is_duplicated())["strike_id"].unique()
    lines = (
        repeated.filter(pl.col("strike_id").is_in(shared.implode()))
        .group_by("strike_id")
        .agg(pl.col("line").sort().head(_MOST_LINES_NAMED).cast(pl.String).str.join(", ").alias("lines"))
    )
    named = ids.to_frame().join(lines, on="strike_id", how="left", maintain_order="left")["lines"]
    sentence = pl.format('strike_id is "{}": lines {} share it but differ; give each strike its own', "value", "lines")
    reader.reject_saying("strike_id", named.is_not_null(), sentence, lines=named)
