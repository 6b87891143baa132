"""Strike tables: what each column may say, and the sentence for everything it may not."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from importlib.resources import files
from pathlib import Path
from uuid import UUID
from zoneinfo import ZoneInfo

import polars as pl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from polars.testing import assert_frame_equal

from tracker.domain.vocabulary import Foot, Miss, Outcome, Source, Surface
from tracker.errors import FileError
from tracker.intake.strike_columns import STRIKE_ROWS, ParsedRows
from tracker.intake.strike_file import STRIKE_FIELDS, parse_strikes
from tracker.intake.table_file import read_table, table_from_bytes
from tracker.intake.table_out import csv_text, write_table

LONDON = ZoneInfo("Europe/London")
NOW = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
GOOD = {"player": "Ann", "foot": "left", "outcome": "on", "struck_at": "2026-03-14T18:05:30"}
ONE_ID, OTHER_ID = "0198b0c4-7c1e-7d3a-9f00-5a1b2c3d4e5f", "0198b0c4-7c1e-7d3a-9f00-5a1b2c3d4e60"


def parse(text: str, *, zone: ZoneInfo = LONDON, **column_map: str) -> ParsedRows:
    table = table_from_bytes(text.encode(), source="strikes.csv")
    return parse_strikes(table, local_zone=zone, now=NOW, column_map=column_map)


def parse_rows(*rows: dict[str, str | None], zone: ZoneInfo = LONDON) -> ParsedRows:
    """Rows that say only what differs from a good row; None leaves a column out."""
    whole = [{name: value for name, value in (GOOD | row).items() if value is not None} for row in rows]
    return parse(csv_text(pl.DataFrame(whole)), zone=zone)


def whys(*rows: dict[str, str | None]) -> list[str]:
    return parse_rows(*rows).rejects["why"].to_list()


def test_the_smallest_strike_file() -> None:
    parsed = parse("player,foot,outcome,date\nAnn,l,on,2026-03-14\n")
    assert parsed.rejects.is_empty()
    assert parsed.read == 1
    assert parsed.rows.schema == STRIKE_ROWS
    assert parsed.rows.row(0, named=True) == {
        **dict.fromkeys(STRIKE_ROWS.names()),
        "line": 2,
        "player": "Ann",
        "held_on": date(2026, 3, 14),
        "foot": "left",
        "outcome": "on target",
        "struck_at": datetime(2026, 3, 14, 12, 0, tzinfo=UTC),
        "source": "file",
    }


def test_a_full_strike_row() -> None:
    row = parse_rows(
        {
            "strike_id": ONE_ID.upper(),
            "outcome": "Off Target",
            "miss": "Over",
            "surface": "LACES",
            "distance_m": "16.5",
            "target_width_m": "3.66",
            "stage": "Rolling  ball ",
            "practice": "evening",
            "practice_id": OTHER_ID,
            "player_id": OTHER_ID,
            "set": "2",
            "source": "Call out",
            "logger": "Sam",
            "squad": "U12",
        }
    ).rows.row(0, named=True)
    assert row == {
        "line": 2,
        "strike_id": ONE_ID,
        "player": "Ann",
        "player_id": OTHER_ID,
        "squad": "U12",
        "practice": "evening",
        "practice_id": OTHER_ID,
        "held_on": date(2026, 3, 14),
        "stage": "Rolling ball",
        "foot": "left",
        "surface": "laces",
        "outcome": "off target",
        "miss": "over",
        "distance_m": 16.5,
        "target_width_m": 3.66,
        "struck_at": datetime(2026, 3, 14, 18, 5, 30, tzinfo=UTC),
        "struck_at_phone": None,
        "set": "2",
        "source": "call-out",
        "logger": "Sam",
    }


@pytest.mark.parametrize(
    ("written", "foot"), [("left", "left"), ("L", "left"), (" Right ", "right"), ("r", "right"), ("RIGHT", "right")]
)
def test_feet(written: str, foot: str) -> None:
    assert parse_rows({"foot": written}).rows["foot"].to_list() == [foot]


@pytest.mark.parametrize(
    ("written", "outcome"),
    [
        ("on", Outcome.ON_TARGET),
        ("ON TARGET", Outcome.ON_TARGET),
        ("on_target", Outcome.ON_TARGET),
        ("off", Outcome.OFF_TARGET),
        ("off-target", Outcome.OFF_TARGET),
        ("Blocked", Outcome.BLOCKED),
    ],
)
def test_outcomes(written: str, outcome: Outcome) -> None:
    assert parse_rows({"outcome": written}).rows["outcome"].to_list() == [outcome]


@pytest.mark.parametrize(
    ("written", "outcome"),
    [
        ("true", "on target"),
        ("1", "on target"),
        ("Yes", "on target"),
        ("FALSE", "off target"),
        ("0", "off target"),
        ("no", "off target"),
    ],
)
def test_on_target(written: str, outcome: str) -> None:
    assert parse_rows({"outcome": None, "on_target": written}).rows["outcome"].to_list() == [outcome]


def test_on_target_fills_an_empty_outcome_and_may_repeat_it() -> None:
    parsed = parse_rows(
        {"outcome": "", "on_target": "no"},
        {"outcome": "blocked", "on_target": "no"},
        {"outcome": "on", "on_target": ""},
    )
    assert parsed.rows["outcome"].to_list() == ["off target", "blocked", "on target"]


@pytest.mark.parametrize(
    ("written", "moment"),
    [
        ("2026-03-14T18:05:30", "2026-03-14T18:05:30+00:00"),
        ("2026-07-14T18:05:30", "2026-07-14T17:05:30+00:00"),
        ("2026-07-14 18:05:30.25", "2026-07-14T17:05:30.250000+00:00"),
        ("2026-07-14T18:05", "2026-07-14T17:05:00+00:00"),
        ("2026-07-14 18:05", "2026-07-14T17:05:00+00:00"),
        ("2026-07-14T18:05:30Z", "2026-07-14T18:05:30+00:00"),
        ("2026-07-14T18:05Z", "2026-07-14T18:05:00+00:00"),
        ("2026-07-14 18:05:30.123456+02:00", "2026-07-14T16:05:30.123456+00:00"),
        ("2026-07-14T18:05+0530", "2026-07-14T12:35:00+00:00"),
        ("1961-07-14T18:05:30Z", "1961-07-14T18:05:30+00:00"),
        ("2026-10-25T01:30:00", "2026-10-25T00:30:00+00:00"),  # twice that night: the earlier
    ],
)
def test_times_with_and_without_offset(written: str, moment: str) -> None:
    assert parse_rows({"struck_at": written}).rows["struck_at"].to_list() == [datetime.fromisoformat(moment)]


def test_the_day_of_a_strike_is_the_local_day() -> None:
    rows = parse_rows({"struck_at": "2026-07-14T23:30:00Z"}, zone=ZoneInfo("Pacific/Auckland")).rows
    assert rows["held_on"].to_list() == [date(2026, 7, 15)]


def test_date_names_the_day_of_the_practice_beside_struck_at_and_stands_in_where_that_is_empty() -> None:
    parsed = parse_rows(
        {"struck_at": "2026-07-14T23:30:00Z", "date": "2026-07-14"}, {"struck_at": "", "date": "2026-07-16"}
    )
    assert parsed.rejects.is_empty()
    assert parsed.rows["held_on"].to_list() == [date(2026, 7, 14), date(2026, 7, 16)]
    assert parsed.rows["struck_at"].to_list()[1] == datetime(2026, 7, 16, 11, 0, tzinfo=UTC)


def test_yards_become_metres() -> None:
    assert parse_rows({"distance_yd": "20"}).rows["distance_m"].to_list() == [pytest.approx(18.288)]
    both = parse_rows({"distance_yd": "20", "distance_m": "18.3"}, {"distance_yd": "", "distance_m": "5"})
    assert both.rows["distance_m"].to_list() == [18.3, 5.0]


def test_a_decimal_comma_is_read_where_semicolons_separate() -> None:
    parsed = parse("player;foot;outcome;date;distance_m\nAnn;l;on;2026-03-14;16,5\n")
    assert parsed.rows["distance_m"].to_list() == [16.5]


def test_a_set_id_is_preferred_to_a_set_label() -> None:
    parsed = parse_rows({"set": "1", "set_id": ONE_ID}, {"set": "1", "set_id": ""})
    assert parsed.rows["set"].to_list() == [ONE_ID, "1"]


@pytest.mark.parametrize(
    "name", ['=HYPERLINK("x")', "<script>", "O'Brien", "Ngô Thị, 7", "Zoë", "'=1", "-", "محمد", "x" * 80]
)
def test_any_name_of_1_to_80_characters_is_legal_and_kept(name: str) -> None:
    assert parse_rows({"player": name}).rows["player"].to_list() == [name]


def test_a_formula_from_another_program_is_a_legal_name() -> None:
    parsed = parse('player,foot,outcome,date\n"=HYPERLINK(""x"")",l,on,2026-03-14\n')
    assert parsed.rows["player"].to_list() == ['=HYPERLINK("x")']


@pytest.mark.parametrize(
    ("row", "sentence"),
    [
        ({"foot": "middle"}, 'foot is "middle": must be left or right (or l, r)'),
        ({"foot": ""}, "foot is empty: must be left or right (or l, r)"),
        ({"player": "  "}, "player is empty: every row needs one"),
        ({"player": "x" * 81}, f'player is "{"x" * 60}…": must have 1 to 80 characters'),
        (
            {"player": "Ann\x07"},
            'player is "Ann\N{REPLACEMENT CHARACTER}": must not hold a control character such as a tab or a line end',
        ),
        (
            {"stage": "one\ntwo"},
            'stage is "one\N{REPLACEMENT CHARACTER}two": must not hold a control character such as a tab or a line end',
        ),
        ({"outcome": "goal"}, 'outcome is "goal": must be on, off or blocked'),
        ({"outcome": ""}, "outcome is empty: every row needs one"),
        ({"outcome": None, "on_target": "maybe"}, 'on_target is "maybe": must be true or false (or 1, 0, yes, no)'),
        ({"on_target": "no"}, 'on_target is "no": that contradicts the outcome of the same row'),
        ({"outcome": "blocked", "on_target": "1"}, 'on_target is "1": that contradicts the outcome of the same row'),
        ({"surface": "knee"}, 'surface is "knee": must be laces, inside, outside, toe, heel or other'),
        ({"outcome": "off", "miss": "wide"}, 'miss is "wide": must be left, right, over or short'),
        ({"miss": "left"}, 'miss is "left": only a strike off target has a miss; leave it empty'),
        ({"source": "radio"}, 'source is "radio": must be tap, call-out, paper or file'),
        ({"distance_m": "0"}, 'distance_m is "0": must be 0.1 to 120 metres'),
        ({"distance_m": "121"}, 'distance_m is "121": must be 0.1 to 120 metres'),
        ({"distance_m": "NaN"}, 'distance_m is "NaN": must be 0.1 to 120 metres'),
        ({"distance_m": "inf"}, 'distance_m is "inf": must be 0.1 to 120 metres'),
        ({"distance_m": "16 m"}, 'distance_m is "16 m": must be 0.1 to 120 metres'),
        ({"distance_yd": "132"}, 'distance_yd is "132": must be 0.11 to 131 yards'),
        (
            {"distance_m": "16", "distance_yd": "16"},
            'distance_yd is "16": that is not the distance_m of the same row',
        ),
        ({"target_width_m": "0"}, 'target_width_m is "0": must be 0.1 to 100 metres'),
        ({"struck_at": ""}, "struck_at is empty: every row needs one"),
        (
            {"struck_at": "14/03/2026 18:05"},
            'struck_at is "14/03/2026 18:05": '
            "must be an ISO 8601 time such as 2026-03-14T18:05:30 or 2026-03-14T18:05:30+01:00",
        ),
        (
            {"struck_at": "2026-03-14"},
            'struck_at is "2026-03-14": has no time of day; name the column "date" if only the day is known',
        ),
        (
            {"struck_at": "2026-03-29T01:30:00"},
            'struck_at is "2026-03-29T01:30:00": '
            "clocks in Europe/London skipped this time; write it with its offset, such as +01:00",
        ),
        ({"struck_at": "2026-11-26T12:00:01Z"}, 'struck_at is "2026-11-26T12:00:01Z": that is in the future'),
        ({"struck_at": "1949-12-31T10:00:00"}, 'struck_at is "1949-12-31T10:00:00": that is before 1950'),
        ({"struck_at": None, "date": "2026-02-30"}, 'date is "2026-02-30": must be a date such as 2026-03-14'),
        ({"struck_at": None, "date": ""}, "date is empty: every row needs one"),
        ({"struck_at": None, "date": "2026-11-27"}, 'date is "2026-11-27": that is in the future'),
        ({"struck_at": None, "date": "1949-12-31"}, 'date is "1949-12-31": that is before 1950'),
        ({"date": "2026-03-16"}, 'date is "2026-03-16": that is after the day of struck_at in the same row'),
        (
            {"strike_id": "7"},
            'strike_id is "7": must be a UUID such as 0198b0c4-7c1e-7d3a-9f00-5a1b2c3d4e5f',
        ),
        (
            {"player_id": "ann"},
            'player_id is "ann": must be a UUID such as 0198b0c4-7c1e-7d3a-9f00-5a1b2c3d4e5f',
        ),
    ],
)
def test_a_wrong_field_is_explained(row: dict[str, str | None], sentence: str) -> None:
    parsed = parse_rows({}, row) if None not in row.values() else parse_rows(row)
    assert parsed.rejects["why"].to_list() == [sentence]
    assert parsed.rejects["column"].to_list() == [sentence.split(" is ")[0]]
    assert parsed.rows.height == parsed.read - 1


def test_a_day_no_clock_of_the_zone_showed_is_explained() -> None:
    parsed = parse_rows({"struck_at": None, "date": "2011-12-30"}, zone=ZoneInfo("Pacific/Apia"))
    assert parsed.rejects["why"].to_list() == ['date is "2011-12-30": no such day in the time zone Pacific/Apia']


def test_a_day_of_grace_is_given_to_clocks_that_run_ahead() -> None:
    assert whys({"struck_at": "2026-11-26T12:00:00Z"}) == []


def test_faults_far_apart_in_a_large_file_are_all_found() -> None:
    """Large files are read in parts; a few rejects among them once made polars fail."""
    row, wrong = "Ann,left,on,2026-07-14T18:05:30\n", "Ann,middle,on,2026-03-29T01:30:00\n"
    parsed = parse("player,foot,outcome,struck_at\n" + wrong + row * 150_000 + wrong + row * 150_000)
    assert parsed.read == 300_002
    assert parsed.rejects["line"].to_list() == [2, 2, 150_003, 150_003]
    assert parsed.rows.height == 300_000


def test_each_wrong_field_of_a_row_is_one_reject_in_the_order_of_the_file() -> None:
    parsed = parse_rows({"player": ""}, {}, {"foot": "x", "outcome": "y"})
    assert parsed.rejects.select("line", "column", "value").rows() == [
        (2, "player", ""),
        (4, "foot", "x"),
        (4, "outcome", "y"),
    ]
    assert parsed.rows["line"].to_list() == [3]


def test_the_column_is_named_as_the_file_names_it() -> None:
    parsed = parse("Fuss,player,outcome,date\nmitte,Ann,on,2026-03-14\n", fuss="foot")
    assert parsed.rejects.row(0) == (2, "Fuss", "mitte", 'Fuss is "mitte": must be left or right (or l, r)')


def test_columns_nothing_is_read_from_are_reported() -> None:
    parsed = parse("player,Weather,foot,outcome,date,\nAnn,rain,l,on,2026-03-14,x\n")
    assert parsed.unknown_columns == ("Weather", "column_6")
    assert parsed.rows.height == 1


def test_rows_that_cannot_be_split_are_among_the_rejects_and_counted_as_read() -> None:
    parsed = parse("player,foot,outcome,date\nLee, Ann,l,on,2026-03-14\nBo,x,on,2026-03-14\n")
    assert parsed.read == 2
    assert parsed.rejects["line"].to_list() == [2, 3]


def test_the_same_strike_id_with_other_content_is_a_reject_on_every_line() -> None:
    parsed = parse_rows({"strike_id": ONE_ID}, {"strike_id": OTHER_ID}, {"strike_id": ONE_ID, "foot": "right"})
    why = f'strike_id is "{ONE_ID}": lines 2, 4 share it but differ; give each strike its own'
    assert parsed.rejects["why"].to_list() == [why, why]
    assert parsed.rows["strike_id"].to_list() == [OTHER_ID]


def test_the_same_strike_twice_is_no_fault() -> None:
    parsed = parse_rows({"strike_id": ONE_ID}, {"strike_id": ONE_ID.upper()}, {"strike_id": ""})
    assert parsed.rejects.is_empty()
    assert parsed.rows.height == 3


@pytest.mark.parametrize(
    ("header", "sentence"),
    [
        ("player,outcome,date", 'no column "foot"; found: player, outcome, date'),
        ("player,foot,date", 'no column "outcome" or "on_target"; found'),
        ("a,foot,outcome", 'no column "player", no column "struck_at" or "date"; found'),
    ],
)
def test_a_header_without_a_required_column_is_refused(header: str, sentence: str) -> None:
    with pytest.raises(FileError) as caught:
        parse(header + "\n1,2,3\n")
    assert f"strikes.csv: the header has {sentence}" in str(caught.value)
    assert "--map COLUMN=FIELD" in str(caught.value)


def test_a_zone_without_a_name_is_refused() -> None:
    with files("tzdata").joinpath("zoneinfo", "Europe", "London").open("rb") as content:
        nameless = ZoneInfo.from_file(content)
    with pytest.raises(ValueError, match="named time zone"):
        parse_rows({}, zone=nameless)


@pytest.mark.parametrize("ending", ["csv", "parquet"])
def test_typed_columns_read_like_text(tmp_path: Path, ending: str) -> None:
    frame = pl.DataFrame(
        {
            "player": ["Ann", "Bo"],
            "foot": ["l", "R"],
            "on_target": [True, False],
            "date": pl.Series([date(2026, 3, 14)] * 2).cast(pl.Datetime("us")),
            "distance_yd": [10, None],
        }
    )
    write_table(frame, tmp_path / f"typed.{ending}")
    parsed = parse_strikes(read_table(tmp_path / f"typed.{ending}"), local_zone=LONDON, now=NOW)
    assert parsed.rejects.is_empty()
    assert parsed.rows["held_on"].to_list() == [date(2026, 3, 14)] * 2
    assert parsed.rows["outcome"].to_list() == ["on target", "off target"]
    assert parsed.rows["distance_m"].to_list() == [pytest.approx(9.144), None]


# Any valid strike list, written and read again, is the same list.

names = st.text(st.characters(exclude_categories=["Cs", "Cc", "Cf", "Zs", "Zl", "Zp"]), min_size=1, max_size=80)
maybe_name = st.none() | names
ids = st.uuids().map(str)
lengths = st.none() | st.floats(min_value=0.1, max_value=100)
moments = st.datetimes(
    min_value=datetime(1950, 1, 2),  # noqa: DTZ001 (hypothesis adds the zone)
    max_value=datetime(2026, 11, 25),  # noqa: DTZ001
    timezones=st.just(UTC),
)


@st.composite
def strikes(draw: st.DrawFn) -> dict[str, object]:
    outcome = draw(st.sampled_from(Outcome))
    struck_at = draw(moments)
    return {
        "strike_id": draw(ids),
        "player": draw(names),
        "player_id": draw(st.none() | ids),
        "squad": draw(maybe_name),
        "practice": draw(maybe_name),
        "practice_id": draw(st.none() | ids),
        "held_on": struck_at.astimezone(LONDON).date() + timedelta(days=draw(st.sampled_from([-1, 0]))),
        "stage": draw(maybe_name),
        "foot": draw(st.sampled_from(Foot)),
        "surface": draw(st.none() | st.sampled_from(Surface)),
        "outcome": outcome,
        "miss": draw(st.none() | st.sampled_from(Miss)) if outcome is Outcome.OFF_TARGET else None,
        "distance_m": draw(lengths),
        "target_width_m": draw(lengths),
        "struck_at": struck_at,
        "set": draw(st.none() | ids | names),
        "source": draw(st.sampled_from(Source)),
        "logger": draw(maybe_name),
    }


@settings(max_examples=60, deadline=None)
@given(st.lists(strikes(), min_size=1, max_size=4, unique_by=lambda strike: strike["strike_id"]))
@pytest.mark.parametrize("ending", ["csv", "parquet"])
def test_any_strikes_written_and_read_again_are_the_same(
    tmp_path_factory: pytest.TempPathFactory, ending: str, strike_list: list[dict[str, object]]
) -> None:
    schema = pl.Schema({name: dtype for name, dtype in STRIKE_ROWS.items() if name != "line"})
    frame = pl.DataFrame(strike_list, schema=schema)
    path = tmp_path_factory.mktemp("export") / f"strikes.{ending}"
    write_table(frame.rename({"held_on": "date"}), path)
    parsed = parse_strikes(read_table(path), local_zone=LONDON, now=NOW)
    assert parsed.rejects["why"].to_list() == []
    assert parsed.unknown_columns == ()
    assert_frame_equal(parsed.rows.drop("line"), frame, check_exact=True)


fields = st.one_of(
    st.text(max_size=10),
    st.sampled_from(
        [
            *("left", "on", "blocked", "1", "true", "short", "12", "0.1", "nan", "1e400", "-1", ONE_ID),
            *("2024-03-31", "2024-03-31T01:30", "2024-03-31 02:30:10Z", "9999-12-31T23:59:59-23:00", "0001-01-01"),
            *("+262142-12-31T23:59:59Z", "262142-01-01", "-262143-01-01T00:00", "0000-00-00", "1949-12-31"),
        ]
    ),
)


@settings(max_examples=200, deadline=None)
@given(
    st.lists(st.sampled_from(STRIKE_FIELDS), unique=True).flatmap(
        lambda columns: st.lists(st.fixed_dictionaries(dict.fromkeys(columns, fields)), min_size=1, max_size=3)
    )
)
def test_any_fields_give_right_rows_and_rejects_that_never_overlap(rows: list[dict[str, str | None]]) -> None:
    try:
        parsed = parse_rows(*rows)
    except FileError:
        return  # zero bytes and the like: refused as a whole
    right, wrong = set(parsed.rows["line"]), set(parsed.rejects["line"])
    assert not right & wrong
    assert len(right) + len(wrong) == parsed.read
    assert not parsed.rejects.select("line", "column").is_duplicated().any()
    assert parsed.rows.schema == STRIKE_ROWS


def test_ids_come_out_as_uuids() -> None:
    assert UUID(parse_rows({"strike_id": ONE_ID}).rows["strike_id"][0]) == UUID(ONE_ID)


def test_a_practice_may_be_logged_days_after_it_was_held() -> None:
    parsed = parse_rows({"date": "2026-03-02", "struck_at": "2026-03-14T10:00:00Z"})
    assert parsed.rejects.is_empty()
    assert parsed.rows["held_on"].to_list() == [date(2026, 3, 2)]
