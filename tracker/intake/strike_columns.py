"""The columns strike tables and tally tables share, and what parsing either gives."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

import polars as pl

from tracker.domain.strike import FARTHEST_STRIKE_M, NEAREST_STRIKE_M
from tracker.domain.target import METRES_PER_YARD
from tracker.domain.vocabulary import Foot, Miss, Outcome, Source, Surface
from tracker.intake.column_reader import MOMENT, ColumnReader
from tracker.intake.table_file import RawTable

NO_MAP: Mapping[str, str] = MappingProxyType({})

FOOT = pl.Enum(Foot)
SURFACE = pl.Enum(Surface)
OUTCOME = pl.Enum(Outcome)
MISS = pl.Enum(Miss)
SOURCE = pl.Enum(Source)

# The rows parse_strikes and strikes_from_tallies give.
_STRIKE_ROW_TYPES: dict[str, pl.DataType | type[pl.DataType]] = {
    "line": pl.Int64,
    "strike_id": pl.String,
    "player": pl.String,
    "player_id": pl.String,
    "squad": pl.String,
    "practice": pl.String,
    "practice_id": pl.String,
    "held_on": pl.Date,
    "stage": pl.String,
    "foot": FOOT,
    "surface": SURFACE,
    "outcome": OUTCOME,
    "miss": MISS,
    "distance_m": pl.Float64,
    "target_width_m": pl.Float64,
    "struck_at": MOMENT,
    "struck_at_phone": MOMENT,
    "set": pl.String,
    "source": SOURCE,
    "logger": pl.String,
}
STRIKE_ROWS = pl.Schema(_STRIKE_ROW_TYPES)

_FEET = {"left": Foot.LEFT, "l": Foot.LEFT, "right": Foot.RIGHT, "r": Foot.RIGHT}
_NARROWEST_TARGET_M, _WIDEST_TARGET_M = 0.1, 100.0
_YARD_ROUNDING_M = 0.5  # a distance given in both units may be rounded to whole yards


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class ParsedRows:
    """What a table held.

    ``rows``: the right rows, typed. ``rejects``: one row a fault (line, column, value, why). ``unknown_columns``: the
    headings nothing was read from. ``read``: data rows in the file, right and wrong.
    """

    rows: pl.DataFrame
    rejects: pl.DataFrame
    unknown_columns: tuple[str, ...]
    read: int


def parsed_rows(rows: pl.DataFrame, *, reader: ColumnReader, table: RawTable, fields: Sequence[str]) -> ParsedRows:
    """The rows without a wrong field, with what the reader found wrong and what was not read at all."""
    wrong = reader.wrong_rows()
    return ParsedRows(
        rows=rows.filter(~wrong) if wrong.any() else rows,
        rejects=reader.rejects(),
        unknown_columns=tuple(table.headings[column] for column in table.frame.columns if column not in fields),
        read=table.frame.height + table.rejects["line"].n_unique(),
    )


def read_shared_columns(reader: ColumnReader, *, default_source: Source) -> dict[str, pl.Series]:
    """Who, where, with which foot, from how far, and how it came in."""
    set_label = reader.name("set")
    if reader.has("set_id"):
        set_label = reader.identifier("set_id").fill_null(set_label)
    return {
        "player": reader.name("player", required=True),
        "player_id": reader.identifier("player_id"),
        "squad": reader.name("squad"),
        "practice": reader.name("practice"),
        "practice_id": reader.identifier("practice_id"),
        "stage": reader.name("stage"),
        "foot": reader.word("foot", _FEET, dtype=FOOT, rule="must be left or right (or l, r)", required=True),
        "surface": reader.word(
            "surface", words_of(Surface), dtype=SURFACE, rule="must be laces, inside, outside, toe, heel or other"
        ),
        "distance_m": _read_distance(reader),
        "target_width_m": reader.number(
            "target_width_m",
            lowest=_NARROWEST_TARGET_M,
            highest=_WIDEST_TARGET_M,
            rule=f"must be {_NARROWEST_TARGET_M:g} to {_WIDEST_TARGET_M:g} metres",
        ),
        "set": set_label,
        "source": _read_source(reader, default=default_source),
        "logger": reader.name("logger"),
    }


def words_of(closed_set: type[Surface] | type[Miss] | type[Source]) -> dict[str, str]:
    """Each word of a closed set, meaning itself."""
    return {member.value: member.value for member in closed_set}


def _read_source(reader: ColumnReader, *, default: Source) -> pl.Series:
    if not reader.has("source"):
        return pl.Series("source", [default], dtype=SOURCE).new_from_index(0, reader.height)
    rule = "must be tap, call-out, paper or file"
    return reader.word("source", words_of(Source), dtype=SOURCE, rule=rule).fill_null(default)


def _read_distance(reader: ColumnReader) -> pl.Series:
    """Metres, from ``distance_m`` or else ``distance_yd``."""
    metres = reader.number(
        "distance_m",
        lowest=NEAREST_STRIKE_M,
        highest=FARTHEST_STRIKE_M,
        rule=f"must be {NEAREST_STRIKE_M:g} to {FARTHEST_STRIKE_M:g} metres",
    )
    if not reader.has("distance_yd"):
        return metres
    lowest, highest = NEAREST_STRIKE_M / METRES_PER_YARD, FARTHEST_STRIKE_M / METRES_PER_YARD
    yards = reader.number(
        "distance_yd", lowest=lowest, highest=highest, rule=f"must be {lowest:.2f} to {highest:.0f} yards"
    )
    from_yards = yards * METRES_PER_YARD
    differ = ((metres - from_yards).abs() > _YARD_ROUNDING_M).fill_null(value=False)
    reader.reject("distance_yd", differ, "that is not the distance_m of the same row")
    return metres.fill_null(from_yards)
