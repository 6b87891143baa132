"""Rows without ids get ids that depend on nothing but the file, the place in it, and the caller's salt."""

from __future__ import annotations

from datetime import UTC, date, datetime
from uuid import RFC_4122, UUID

import numpy as np
import polars as pl
import pytest

from tracker.intake.derived_ids import splitmix64, with_set_ids, with_strike_ids

DIGEST = "ab" * 32
GIVEN = "0198b0c4-7c1e-7d3a-9f00-5a1b2c3d4e5f"
STRUCK_AT = datetime(2026, 3, 14, 18, 5, 30, tzinfo=UTC)


def rows_at(*moments: datetime, strike_id: str | None = None) -> pl.DataFrame:
    return pl.DataFrame(
        {
            "line": range(2, 2 + len(moments)),
            "strike_id": pl.Series([strike_id] * len(moments), dtype=pl.String),
            "struck_at": pl.Series(moments, dtype=pl.Datetime("us", "UTC")),
        },
        schema_overrides={"line": pl.Int64},
    )


def ids_of(rows: pl.DataFrame, *, digest: str = DIGEST, salt: str = "") -> list[str]:
    return with_strike_ids(rows, digest=digest, salt=salt)["strike_id"].to_list()


def test_splitmix64_gives_the_published_sequence() -> None:
    """The first outputs for seed 1234567, as commonly published to check ports of the reference code."""
    golden = np.uint64(0x9E3779B97F4A7C15)
    states = np.uint64(1234567) + np.arange(5, dtype=np.uint64) * golden
    assert splitmix64(states).tolist() == [
        6457827717110365317,
        3203168211198807973,
        9817491932198370423,
        4593380528125082431,
        16408922859458223821,
    ]


def test_a_derived_id_is_a_version_8_uuid_that_begins_with_the_moment() -> None:
    (text,) = ids_of(rows_at(STRUCK_AT))
    derived = UUID(text)
    assert str(derived) == text
    assert derived.variant == RFC_4122
    assert derived.version == 8
    assert derived.int >> 80 == int(STRUCK_AT.timestamp() * 1000)


def test_derived_ids_never_change() -> None:
    """They stand in people's databases: another value here would store every old file a second time."""
    assert ids_of(rows_at(STRUCK_AT, STRUCK_AT), salt="squad") == PINNED_STRIKE_IDS


PINNED_STRIKE_IDS = ["019ced86-5610-86a0-8057-e2320c7690eb", "019ced86-5610-805e-b742-434973b0b262"]


def test_moments_before_1970_begin_with_zero() -> None:
    (text,) = ids_of(rows_at(datetime(1961, 7, 14, tzinfo=UTC)))
    assert text.startswith("00000000-0000-8")


def test_another_file_another_salt_or_another_line_gives_another_id() -> None:
    rows = rows_at(STRUCK_AT, STRUCK_AT)
    every = ids_of(rows) + ids_of(rows, digest="cd" * 32) + ids_of(rows, salt="squad")
    assert len(set(every)) == 6


def test_given_ids_stay() -> None:
    rows = pl.concat([rows_at(STRUCK_AT, strike_id=GIVEN), rows_at(STRUCK_AT)])
    first, second = ids_of(rows)
    assert first == GIVEN
    assert second == ids_of(rows_at(STRUCK_AT))[0]
    assert ids_of(rows_at(STRUCK_AT, strike_id=GIVEN)) == [GIVEN]


def test_strikes_of_one_line_differ_by_their_number() -> None:
    rows = rows_at(*[STRUCK_AT] * 4).with_columns(line=pl.Series([2, 2, 3, 3]), number=pl.Series([0, 1, 0, 1]))
    assert len(set(ids_of(rows))) == 4


def test_a_hundred_thousand_ids_of_one_moment_are_all_different() -> None:
    rows = rows_at(STRUCK_AT).select(
        pl.int_range(100_000).alias("line"), pl.lit(None, pl.String).alias("strike_id"), pl.col("struck_at").first()
    )
    assert with_strike_ids(rows, digest=DIGEST, salt="")["strike_id"].n_unique() == 100_000


def test_no_rows_need_no_ids() -> None:
    assert ids_of(rows_at()) == []


def set_rows(*sets: str | None, **columns: object) -> pl.DataFrame:
    row = {
        "squad": None,
        "practice": None,
        "held_on": date(2026, 3, 14),
        "player": "Ann",
        "player_id": None,
        "foot": "left",
        "stage": None,
    }
    frame = pl.DataFrame([row | columns | {"set": label} for label in sets])
    return frame.with_columns(pl.col("squad", "practice", "player_id", "stage", "set").cast(pl.String))


def set_ids_of(rows: pl.DataFrame, *, digest: str = DIGEST, salt: str = "") -> list[str | None]:
    return with_set_ids(rows, digest=digest, salt=salt)["set_id"].to_list()


def test_rows_of_one_set_share_an_id_and_rows_without_a_set_have_none() -> None:
    first, again, other, none = set_ids_of(set_rows("1", "1", "2", None))
    assert first == again != other
    assert none is None
    assert UUID(first).version == 8
    assert set_ids_of(set_rows(None)) == [None]


def test_a_set_that_is_a_uuid_keeps_it() -> None:
    assert set_ids_of(set_rows(GIVEN.upper(), "1"))[0] == GIVEN
    assert set_ids_of(set_rows(GIVEN, None)) == [GIVEN, None]


@pytest.mark.parametrize(
    "difference",
    [
        {"player": "Bo"},
        {"player_id": GIVEN},
        {"foot": "right"},
        {"stage": "gate"},
        {"practice": "evening"},
        {"held_on": date(2026, 3, 15)},
        {"squad": "U12"},
    ],
)
def test_the_same_label_elsewhere_is_another_set(difference: dict[str, object]) -> None:
    assert set_ids_of(set_rows("1")) != set_ids_of(set_rows("1", **difference))


def test_set_ids_depend_on_file_and_salt_and_never_change() -> None:
    rows = set_rows("1")
    every = {*set_ids_of(rows), *set_ids_of(rows, digest="cd" * 32), *set_ids_of(rows, salt="squad")}
    assert len(every) == 3
    assert set_ids_of(rows, salt="squad") == PINNED_SET_IDS


PINNED_SET_IDS = ["715c3532-e345-87ba-ac64-cd1c28734cc5"]
