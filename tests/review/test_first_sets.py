"""The first set of the day against later ones: paired within practice and stage."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import polars as pl
import pytest
from builders import SquadBuilder

from tracker.domain.vocabulary import Foot
from tracker.review.first_sets import first_sets
from tracker.review.scope import Scope
from tracker.stats.warmup import first_set_difference
from tracker.store.database import Database

FIRST = date(2026, 1, 3)
GATE, ROLLING = "Still ball through a gate", "Rolling ball"


def one_row(squad: SquadBuilder) -> dict[str, Any]:
    (row,) = first_sets(squad.database, squad.scope).iter_rows(named=True)
    return row


def unmarked(squad: SquadBuilder, outcomes: str, *, day: date = FIRST, stage: str | None = GATE) -> None:
    """Strikes a minute apart that belong to no set."""
    squad.strikes("Ana", Foot.LEFT, outcomes, day=day, stage=stage)
    with squad.database._connection.cursor() as cursor:
        cursor.execute("update strike set set_id = null").fetchall()


def test_warm_practice_is_not_kept_skill(squad: SquadBuilder) -> None:
    # Every day starts cold at 3 of 10 and ends at 7 of 10: the season's 5 of 10 is neither.
    for week in range(8):
        unmarked(squad, "+++-------+++++++---", day=FIRST + timedelta(weeks=week))
    row = one_row(squad)
    assert (row["first_rate"], row["later_rate"]) == (pytest.approx(0.3), pytest.approx(0.7))
    assert row["difference"] == pytest.approx(-0.4)
    assert row["high"] < 0
    assert (row["practices"], row["first_attempts"], row["later_attempts"]) == (8, 80, 80)


def test_good_and_bad_days_cancel(squad: SquadBuilder) -> None:
    for week, a_set in enumerate(("++++++++--", "++--------")):
        unmarked(squad, a_set + a_set, day=FIRST + timedelta(weeks=week))
    row = one_row(squad)
    theirs = first_set_difference([8, 2], [10, 10], [8, 2], [10, 10], [0, 0])
    assert (row["difference"], row["low"], row["high"]) == pytest.approx(
        (0.0, float(theirs.low[0]), float(theirs.high[0]))
    )


def test_sets_are_those_that_were_logged(squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.LEFT, "+++--", day=FIRST, stage=GATE)
    with squad.database._connection.cursor() as cursor:  # the second set begins an hour later
        cursor.execute("update strike set struck_at = struck_at - interval 1 hour").fetchall()
    squad.strikes("Ana", Foot.LEFT, "+----", day=FIRST, stage=GATE)
    row = one_row(squad)
    assert (row["first_attempts"], row["later_attempts"]) == (5, 5)
    assert row["difference"] == pytest.approx(0.4)


def test_strikes_without_a_set_are_taken_ten_at_a_time(squad: SquadBuilder) -> None:
    unmarked(squad, "+" * 10 + "-" * 13)
    row = one_row(squad)
    assert (row["first_attempts"], row["later_attempts"], row["difference"]) == (10, 13, pytest.approx(1))


def test_a_stage_with_one_set_says_nothing_and_stages_are_not_mixed(squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.LEFT, "++---", day=FIRST, stage=GATE)
    squad.strikes("Ana", Foot.LEFT, "+++++", day=FIRST, stage=ROLLING)
    assert first_sets(squad.database, squad.scope).is_empty()


def test_two_sets_that_begin_at_once_have_no_first(squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.LEFT, "++---", day=FIRST, stage=GATE, at_once=True)
    squad.strikes("Ana", Foot.LEFT, "+++++", day=FIRST, stage=GATE, at_once=True)
    assert first_sets(squad.database, squad.scope).is_empty()


def test_every_foot_of_the_demo_has_its_own_row(demo: Database) -> None:
    rows = first_sets(demo, Scope())
    assert rows.height >= 30
    assert rows.filter(~pl.col("difference").is_between("low", "high")).is_empty()
    assert rows["practices"].max() == 29
