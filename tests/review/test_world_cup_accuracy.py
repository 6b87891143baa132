"""Published match shots: read without a reject, and rates and limits as computed by others (see SOURCE.md there)."""

from __future__ import annotations

import json
from pathlib import Path

import polars as pl
import pytest
from polars.testing import assert_frame_equal

from tracker.domain.vocabulary import Dimension, IntervalMethod
from tracker.review.accuracy import accuracy
from tracker.review.exchange import import_file
from tracker.review.scope import chosen_scope
from tracker.store.database import Database

FOLDER = Path(__file__).parents[1] / "reference" / "world_cup_2018"
EXPECTED = json.loads((FOLDER / "expected.json").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def world_cup() -> Database:
    """The published strikes, in a database without squads or players."""
    database = Database.open(None)
    summary = import_file(database, FOLDER / "strikes.csv")
    assert (summary.read, summary.stored, summary.rejected) == (EXPECTED["strikes"], EXPECTED["strikes"], 0)
    assert len(summary.new_players) == EXPECTED["players"]
    return database


def test_accuracy_by_player_and_foot_is_as_published(world_cup: Database) -> None:
    expected = pl.read_csv(FOLDER / "expected_by_player_foot.csv")
    expected = expected.with_columns(pl.col("player").str.replace_all("\u00ad", ""))  # a soft hyphen is no letter
    answer = accuracy(world_cup, chosen_scope(world_cup), cluster=False).select(
        "player",
        "foot",
        pl.col("attempts").alias("n"),
        "on_target",
        "rate",
        pl.col("low").alias("wilson_lo"),
        pl.col("high").alias("wilson_hi"),
    )
    assert answer.height == 491
    assert_frame_equal(answer, expected, check_row_order=False, rel_tol=0, abs_tol=1e-9)


@pytest.mark.parametrize(
    ("part", "by"), [("by_foot", Dimension.FOOT), ("by_stage", Dimension.STAGE)], ids=["foot", "stage"]
)
@pytest.mark.parametrize(
    ("name", "method"),
    [
        ("wilson", IntervalMethod.WILSON),
        ("clopper_pearson", IntervalMethod.CLOPPER_PEARSON),
        ("jeffreys", IntervalMethod.JEFFREYS),
    ],
    ids=["wilson", "clopper-pearson", "jeffreys"],
)
def test_accuracy_of_a_part_is_as_published_by_every_method(
    world_cup: Database, part: str, by: Dimension, name: str, method: IntervalMethod
) -> None:
    answer = accuracy(world_cup, chosen_scope(world_cup), by=[by], method=method, cluster=False)
    found = {row[by]: (row["attempts"], row["on_target"], row["low"], row["high"]) for row in answer.to_dicts()}
    assert found.keys() == EXPECTED[part].keys()
    for key, published in EXPECTED[part].items():
        expected = (published["n"], published["on_target"], *published[name])
        assert found[key] == pytest.approx(expected, abs=1e-9), key


def test_the_strikes_come_back_from_an_export_of_everything(world_cup: Database) -> None:
    strikes = world_cup.query("export_strikes", with_voided=True, squad_id=None, first_day=None, last_day=None)
    assert strikes["date"].n_unique() == EXPECTED["days"]
    assert strikes["distance_m"].max() == EXPECTED["distance_m"]["max"]
