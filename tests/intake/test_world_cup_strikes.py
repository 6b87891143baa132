"""Real, open data: 1,333 match shots with accents, apostrophes, milliseconds and offsets, without one reject.

Source and licence: tests/reference/world_cup_2018/SOURCE.md.
"""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import polars as pl
import pytest

from tracker.intake.derived_ids import with_strike_ids
from tracker.intake.file_kind import FileKind, recognise
from tracker.intake.strike_columns import ParsedRows
from tracker.intake.strike_file import parse_strikes
from tracker.intake.table_file import RawTable, read_table

FOLDER = Path(__file__).parents[1] / "reference" / "world_cup_2018"


@pytest.fixture(scope="module")
def table() -> RawTable:
    return read_table(FOLDER / "strikes.csv")


@pytest.fixture(scope="module")
def parsed(table: RawTable) -> ParsedRows:
    return parse_strikes(table, local_zone=ZoneInfo("Europe/London"), now=datetime(2026, 11, 25, tzinfo=UTC))


def test_every_row_is_right_and_every_column_used(table: RawTable, parsed: ParsedRows) -> None:
    assert recognise(table) is FileKind.STRIKES
    assert parsed.rejects.is_empty()
    assert parsed.unknown_columns == ()
    assert parsed.read == parsed.rows.height == 1333


def test_counts_by_player_and_foot_are_those_of_the_reference(parsed: ParsedRows) -> None:
    expected = pl.read_csv(FOLDER / "expected_by_player_foot.csv").select(
        pl.col("player").str.replace_all("\u00ad", ""),
        "foot",
        "n",
        "on_target",  # one name holds a soft hyphen
    )
    counted = (
        parsed.rows.group_by("player", pl.col("foot").cast(pl.String))
        .agg(
            pl.len().cast(pl.Int64).alias("n"),
            (pl.col("outcome") == "on target").sum().cast(pl.Int64).alias("on_target"),
        )
        .sort("player", "foot")
    )
    assert counted.rows() == expected.sort("player", "foot").rows()


def test_first_and_last_moment_and_distances_are_those_of_the_reference(parsed: ParsedRows) -> None:
    expected = json.loads((FOLDER / "expected.json").read_text())
    assert parsed.rows["struck_at"].min() == datetime.fromisoformat(expected["first"])
    assert parsed.rows["struck_at"].max() == datetime.fromisoformat(expected["last"])
    assert parsed.rows["distance_m"].mean() == pytest.approx(expected["distance_m"]["mean"], abs=1e-9)
    assert parsed.rows["player"].n_unique() == expected["players"]


def test_read_twice_it_has_the_same_ids(table: RawTable, parsed: ParsedRows) -> None:
    ids = with_strike_ids(parsed.rows, digest=table.digest, salt="")["strike_id"]
    again = with_strike_ids(parsed.rows, digest=read_table(FOLDER / "strikes.csv").digest, salt="")["strike_id"]
    assert ids.to_list() == again.to_list()
    assert ids.n_unique() == 1333
