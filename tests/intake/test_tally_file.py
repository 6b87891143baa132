"""Tally tables: "7 of 10" with the misses by side, checked, and taken apart into strikes."""

from __future__ import annotations

from collections import Counter
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import polars as pl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tracker.errors import FileError
from tracker.intake import tally_file
from tracker.intake.strike_columns import STRIKE_ROWS, ParsedRows
from tracker.intake.table_file import table_from_bytes
from tracker.intake.table_out import csv_text
from tracker.intake.tally_file import TALLY_FIELDS, parse_tallies, strikes_from_tallies

LONDON = ZoneInfo("Europe/London")
NOW = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
GOOD = {"date": "2026-07-14", "player": "Ann", "foot": "left", "attempts": "10", "on_target": "7"}


def parse(text: str) -> ParsedRows:
    return parse_tallies(table_from_bytes(text.encode(), source="tallies.csv"), local_zone=LONDON, now=NOW)


def parse_rows(*rows: dict[str, str]) -> ParsedRows:
    return parse(csv_text(pl.DataFrame([GOOD | row for row in rows])))


def test_the_smallest_tally_file() -> None:
    parsed = parse("date,player,foot,attempts,on_target\n2026-07-14,Ann,l,10,7\n")
    assert parsed.rejects.is_empty()
    row = parsed.rows.row(0, named=True)
    assert {name: value for name, value in row.items() if value is not None} == {
        "line": 2,
        "player": "Ann",
        "foot": "left",
        "source": "paper",
        "held_on": date(2026, 7, 14),
        "struck_at": datetime(2026, 7, 14, 11, 0, tzinfo=UTC),
        "attempts": 10,
        "on_target": 7,
        "left": 0,
        "right": 0,
        "over": 0,
        "short": 0,
        "blocked": 0,
    }


def test_a_tally_becomes_strikes_of_one_set_and_one_moment() -> None:
    parsed = parse_rows(
        {"left": "2", "over": "1", "attempts": "12", "blocked": "1", "distance_yd": "10", "surface": "inside"},
        {"attempts": "1", "on_target": "1", "foot": "r"},
    )
    rows = strikes_from_tallies(parsed.rows)
    assert rows.drop("number").schema == STRIKE_ROWS
    first = rows.filter(line=2)
    assert Counter(first.select("outcome", "miss").rows()) == {
        ("on target", None): 7,
        ("off target", "left"): 2,
        ("off target", "over"): 1,
        ("off target", None): 2,
        ("blocked", None): 1,
    }
    assert first["number"].to_list() == list(range(13))
    assert first["set"].unique().to_list() == ["line 2"]
    assert first["distance_m"].unique().to_list() == [pytest.approx(9.144)]
    assert first.select("struck_at", "held_on", "source", "surface").unique().height == 1
    assert rows.filter(line=3).select("foot", "outcome", "number", "set").rows() == [
        ("right", "on target", 0, "line 3")
    ]
    assert rows["strike_id"].null_count() == 14


def test_a_set_that_is_named_keeps_its_name() -> None:
    assert strikes_from_tallies(parse_rows({"set": "second"}).rows)["set"].unique().to_list() == ["second"]


def test_a_tally_of_nothing_is_legal_and_becomes_no_strike() -> None:
    rows = parse_rows({"attempts": "0", "on_target": "0"}).rows
    assert rows.height == 1
    assert strikes_from_tallies(rows).is_empty()


def test_whole_numbers_may_carry_a_decimal_point() -> None:
    assert parse_rows({"attempts": "10.0", "on_target": "7."}).rows.select("attempts", "on_target").row(0) == (10, 7)


@pytest.mark.parametrize(
    ("row", "column", "sentence"),
    [
        (
            {"attempts": "10", "on_target": "12"},
            "on_target",
            "on_target is 12 of 10 attempts: more on target than attempts",
        ),
        (
            {"left": "2", "short": "2"},
            "left",
            "4 missed left, right, over or short, but only 3 of 10 attempts were off target",
        ),
        ({"attempts": "ten"}, "attempts", 'attempts is "ten": must be a whole number from 0 to 1000'),
        ({"attempts": "1001"}, "attempts", 'attempts is "1001": must be a whole number from 0 to 1000'),
        ({"attempts": ""}, "attempts", "attempts is empty: every row needs one"),
        ({"on_target": "-1"}, "on_target", 'on_target is "-1": must be a whole number from 0 to 1000'),
        ({"on_target": "6.5"}, "on_target", 'on_target is "6.5": must be a whole number from 0 to 1000'),
        ({"on_target": ""}, "on_target", "on_target is empty: every row needs one"),
        ({"over": "NaN"}, "over", 'over is "NaN": must be a whole number from 0 to 1000'),
        ({"blocked": "x"}, "blocked", 'blocked is "x": must be a whole number from 0 to 1000'),
        ({"date": ""}, "date", "date is empty: every row needs one"),
        ({"date": "2026-11-27"}, "date", 'date is "2026-11-27": that is in the future'),
        ({"foot": "middle"}, "foot", 'foot is "middle": must be left or right (or l, r)'),
        ({"player": ""}, "player", "player is empty: every row needs one"),
        ({"distance_m": "0.01"}, "distance_m", 'distance_m is "0.01": must be 0.1 to 120 metres'),
    ],
)
def test_a_wrong_tally_is_explained(row: dict[str, str], column: str, sentence: str) -> None:
    parsed = parse_rows({}, row)
    assert parsed.rejects.select("line", "column", "why").rows() == [(3, column, sentence)]
    assert parsed.rows["line"].to_list() == [2]


def test_a_tally_file_without_a_required_column_is_refused() -> None:
    with pytest.raises(FileError, match='the header has no column "date", no column "attempts"; found: player, foot'):
        parse("player,foot,on_target\nAnn,l,1\n")


def test_more_strikes_than_one_import_takes_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tally_file, "MOST_STRIKES", 19)
    with pytest.raises(FileError, match="the tallies add up to 20 strikes, more than 19; split the file"):
        strikes_from_tallies(parse_rows({}, {}).rows)


counts = st.integers(min_value=0, max_value=9)


@settings(max_examples=100, deadline=None)
@given(st.lists(st.tuples(counts, counts, counts, counts, counts, counts, counts), min_size=1, max_size=5))
def test_the_strikes_add_up_to_the_tallies(tallies: list[tuple[int, ...]]) -> None:
    names = ("on_target", "left", "right", "over", "short", "attempts", "blocked")
    given_rows = [dict(zip(names, tally, strict=True)) for tally in tallies]
    for row in given_rows:  # the sixth number is the misses whose side was not said
        row["attempts"] += row["on_target"] + row["left"] + row["right"] + row["over"] + row["short"]
    parsed = parse_rows(*({name: str(count) for name, count in row.items()} for row in given_rows))
    assert parsed.rejects.is_empty()
    strikes = strikes_from_tallies(parsed.rows)
    for line, row in enumerate(given_rows, start=2):
        mine = strikes.filter(line=line)
        assert mine["number"].to_list() == list(range(row["attempts"] + row["blocked"]))
        assert mine.filter(outcome="on target").height == row["on_target"]
        assert mine.filter(outcome="blocked").height == row["blocked"]
        for side in ("left", "right", "over", "short"):
            assert mine.filter(miss=side).height == row[side]


fields = st.text(max_size=6) | st.sampled_from(
    ["left", "0", "3", "10", "1e9", "-1", "nan", "2026-07-14", "262142-01-01"]
)


@settings(max_examples=150, deadline=None)
@given(
    st.lists(st.sampled_from(TALLY_FIELDS), unique=True).flatmap(
        lambda columns: st.lists(st.fixed_dictionaries(dict.fromkeys(columns, fields)), min_size=1, max_size=3)
    )
)
def test_any_fields_give_right_tallies_and_rejects_that_never_overlap(rows: list[dict[str, str]]) -> None:
    try:
        parsed = parse_rows(*rows)
    except FileError:
        return
    right, wrong = set(parsed.rows["line"]), set(parsed.rejects["line"])
    assert not right & wrong
    assert len(right) + len(wrong) == parsed.read
    strikes_from_tallies(parsed.rows)
