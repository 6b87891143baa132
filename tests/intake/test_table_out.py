"""Frames become files that read back as the same frame, whole or not at all."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import polars as pl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tracker.domain.vocabulary import Outcome
from tracker.errors import FileError
from tracker.intake.table_file import read_table, table_from_bytes
from tracker.intake.table_out import OUTCOME_WORDS, csv_text, write_table

FRAME = pl.DataFrame(
    {
        "player": ["=1+1", 'Zoë, "Ace"', None],
        "outcome": pl.Series(list(Outcome), dtype=pl.Enum(Outcome)),
        "struck_at": [
            datetime(2026, 7, 14, 18, 5, 30, tzinfo=ZoneInfo("Europe/London")),
            datetime(2026, 7, 14, 18, 5, 30, 123456, tzinfo=ZoneInfo("Europe/London")),
            None,
        ],
        "date": [date(2026, 7, 14), None, None],
        "distance_m": [0.1 + 0.2, 16.0, None],
        "attempts": [-1, 2, None],
        "active": [True, False, None],
    }
)


def test_csv_says_what_the_contract_says() -> None:
    assert csv_text(FRAME) == (
        "player,outcome,struck_at,date,distance_m,attempts,active\n"
        "'=1+1,on,2026-07-14T17:05:30+00:00,2026-07-14,0.30000000000000004,-1,true\n"
        '"Zoë, ""Ace""",off,2026-07-14T17:05:30.123456+00:00,,16.0,2,false\n'
        ",blocked,,,,,\n"
    )


def test_every_outcome_has_a_word_in_files() -> None:
    assert set(OUTCOME_WORDS) == set(Outcome)


def test_a_categorical_outcome_is_written_like_an_enum() -> None:
    frame = FRAME.select(pl.col("outcome").cast(pl.Categorical))
    assert csv_text(frame) == "outcome\non\noff\nblocked\n"


def test_the_ending_decides_between_csv_and_parquet(tmp_path: Path) -> None:
    write_table(FRAME, tmp_path / "x.csv")
    write_table(FRAME, tmp_path / "x.PARQUET")
    assert (tmp_path / "x.csv").read_text() == csv_text(FRAME)
    typed = pl.read_parquet(tmp_path / "x.PARQUET")
    assert typed["outcome"].to_list() == ["on", "off", "blocked"]
    assert typed["player"][0] == "=1+1"
    assert typed["struck_at"].dtype == pl.Datetime("us", "UTC")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["x.PARQUET", "x.csv"]


def test_csv_and_parquet_read_back_as_the_same_text(tmp_path: Path) -> None:
    write_table(FRAME, tmp_path / "x.csv")
    write_table(FRAME, tmp_path / "x.parquet")
    assert read_table(tmp_path / "x.csv").frame.equals(read_table(tmp_path / "x.parquet").frame)


@pytest.mark.parametrize("ending", ["csv", "parquet"])
def test_what_cannot_be_written_is_said_and_leaves_nothing(tmp_path: Path, ending: str) -> None:
    missing = tmp_path / "none" / f"x.{ending}"
    with pytest.raises(FileError) as caught:
        write_table(FRAME, missing)
    assert str(caught.value) == (
        f"{missing}: cannot be written, because there is no folder {missing.parent}; make it first"
    )
    folder = tmp_path / f"folder.{ending}"
    folder.mkdir()
    with pytest.raises(FileError, match="cannot be written, because it is a folder; name a file"):
        write_table(FRAME, folder)
    assert [path.name for path in tmp_path.iterdir()] == [folder.name]


def test_a_failed_write_leaves_the_old_file(tmp_path: Path) -> None:
    path = tmp_path / "x.csv"
    path.write_text("old")
    with pytest.raises(FileError, match="choose a folder you may write to"):
        write_table(pl.DataFrame({"lists": [[1]]}), path)
    assert path.read_text() == "old"


texts = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=12)


@settings(max_examples=200, deadline=None)
@given(st.lists(st.tuples(texts, texts | st.text(alphabet="'=+-@\t\r\n\",", max_size=4)), min_size=1, max_size=4))
def test_any_text_is_read_back_from_csv_as_it_was(rows: list[tuple[str, str]]) -> None:
    frame = pl.DataFrame([("x", *row) for row in rows], schema=["key", "first", "second"], orient="row")
    read = table_from_bytes(csv_text(frame).encode(), source="x.csv").frame
    assert read.rows() == frame.rows()


@settings(max_examples=200, deadline=None)
@given(st.floats(allow_nan=False))
def test_any_float_is_read_back_from_csv_exactly(number: float) -> None:
    read = table_from_bytes(csv_text(pl.DataFrame({"x": [number]})).encode(), source="x.csv").frame
    assert float(read.item()) == number
