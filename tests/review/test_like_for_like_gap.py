"""The foot gap compared like with like: where raw rates mislead, and what the referee says."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from builders import SquadBuilder
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tallied import shared_out, store_tallies

from tracker.domain.vocabulary import Dimension, Foot, Surface
from tracker.review.gap import foot_gap
from tracker.store.database import Database

FIRST = date(2025, 9, 6)
GATE, ROLLING = "Still ball through a gate", "Rolling ball"


def by_player(squad: SquadBuilder, player: str = "Ana", **options: Any) -> dict[str, Any]:
    rows = foot_gap(squad.database, squad.scope, by=(Dimension.PLAYER,), **options)
    return rows.filter(player=player).row(0, named=True)


def over_days(
    foot: Foot, distance_m: float, on_target: int, attempts: int, *, days: int, stage: str = GATE, player: str = "Ana"
) -> list[dict[str, object]]:
    """Tallies of one foot from one distance, shared evenly over days."""
    shares = zip(shared_out(attempts, days), shared_out(on_target, days), strict=True)
    return [
        {
            "date": FIRST + timedelta(days=number),
            "player": player,
            "foot": foot.value,
            "attempts": tries,
            "on_target": hits,
            "stage": stage,
            "distance_m": distance_m,
        }
        for number, (tries, hits) in enumerate(shares)
        if tries
    ]


def test_the_other_foot_striking_from_nearer_hides_a_gap(squad: SquadBuilder, tmp_path: Path) -> None:
    # At 12 m the preferred foot hits 0.85 and the other 0.65, at 20 m 0.45 and 0.25; the other is mostly at 12 m.
    rows = [
        *over_days(Foot.RIGHT, 12, 34, 40, days=20),
        *over_days(Foot.RIGHT, 20, 72, 160, days=20),
        *over_days(Foot.LEFT, 12, 104, 160, days=20),
        *over_days(Foot.LEFT, 20, 10, 40, days=20),
    ]
    store_tallies(squad, tmp_path, rows)
    row = by_player(squad)
    assert row["raw_gap"] == pytest.approx(-0.04)
    assert row["gap"] == pytest.approx(0.20)
    assert row["low"] > 0
    assert row["disagrees"]
    assert (row["preferred_distance_m"], row["other_distance_m"]) == (pytest.approx(18.4), pytest.approx(13.6))
    assert (row["preferred_rate"], row["other_rate"]) == (pytest.approx(0.53), pytest.approx(0.57))


def test_a_raw_gap_that_is_only_harder_stages_vanishes(squad: SquadBuilder, tmp_path: Path) -> None:
    # Both feet hit 0.8 at the gate and 0.4 rolling, but the preferred foot works mostly at the harder stage.
    rows = [
        *over_days(Foot.RIGHT, 10, 32, 40, days=20),
        *over_days(Foot.RIGHT, 10, 64, 160, days=20, stage=ROLLING),
        *over_days(Foot.LEFT, 10, 128, 160, days=20),
        *over_days(Foot.LEFT, 10, 16, 40, days=20, stage=ROLLING),
    ]
    store_tallies(squad, tmp_path, rows)
    row = by_player(squad)
    assert row["raw_gap"] == pytest.approx(-0.24)
    assert row["gap"] == pytest.approx(0, abs=1e-12)
    assert row["low"] < 0 < row["high"]
    assert row["disagrees"]


def test_surfaces_are_never_pooled(squad: SquadBuilder) -> None:
    # Inside: right 8 of 10, left 4 of 10. Laces: right 4 of 10; the left foot never used them.
    days = [FIRST + timedelta(days=number) for number in range(10)]
    for number, day in enumerate(days):
        for foot, surface, hits in (
            (Foot.RIGHT, Surface.INSIDE, 8),
            (Foot.LEFT, Surface.INSIDE, 4),
            (Foot.RIGHT, Surface.LACES, 4),
        ):
            squad.strikes("Ana", foot, "+" if number < hits else "-", day=day, stage=GATE, surface=surface)
    row = by_player(squad)
    assert row["gap"] == pytest.approx(0.4)
    assert row["raw_gap"] == pytest.approx(0.2)
    assert (row["preferred_attempts"], row["preferred_compared"], row["other_compared"]) == (20, 10, 10)


def test_six_strata_give_the_interval_that_other_programs_print(squad: SquadBuilder, tmp_path: Path) -> None:
    # The package `tern` prints 0.25390590, 0.03467969, 0.44544132 for these, checked there against SAS PROC FREQ.
    k1, n1 = [8, 2, 6, 4, 5, 5], [9, 5, 7, 4, 7, 8]
    k2, n2 = [3, 2, 3, 6, 3, 3], [6, 5, 8, 12, 4, 5]
    rows = []
    for stratum in range(6):  # a distance each, one strike a day, so that nothing hangs together
        rows += over_days(Foot.RIGHT, 3 + stratum, k1[stratum], n1[stratum], days=n1[stratum])
        rows += over_days(Foot.LEFT, 3 + stratum, k2[stratum], n2[stratum], days=n2[stratum])
    days = {Foot.RIGHT.value: 0, Foot.LEFT.value: 0}
    for row in rows:
        row["date"] = FIRST + timedelta(days=days[str(row["foot"])])
        days[str(row["foot"])] += 1
    store_tallies(squad, tmp_path, rows)
    found = by_player(squad)
    assert (found["gap"], found["low"], found["high"]) == pytest.approx((0.25390590, 0.03467969, 0.44544132), abs=5e-9)


def test_feet_that_never_struck_alike_cannot_be_compared(squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.RIGHT, "+++-", day=FIRST, stage=ROLLING, distance_m=10)
    squad.strikes("Ana", Foot.LEFT, "++--", day=FIRST, stage=GATE, distance_m=10)
    row = by_player(squad)
    assert (row["gap"], row["low"], row["high"]) == (None, -1.0, 1.0)
    assert row["raw_gap"] == pytest.approx(0.25)
    assert (row["preferred_compared"], row["other_compared"], row["disagrees"]) == (0, 0, False)


def test_an_unknown_distance_is_compared_with_an_unknown_one_only(squad: SquadBuilder) -> None:
    for foot, outcomes, distance_m in (
        (Foot.RIGHT, "++++", None),
        (Foot.LEFT, "----", 10.0),
        (Foot.LEFT, "++--", None),
    ):
        squad.strikes("Ana", foot, outcomes, day=FIRST, distance_m=distance_m)
    row = by_player(squad)
    assert (row["gap"], row["other_compared"]) == (pytest.approx(0.5), 4)


def test_distances_of_one_band_are_alike(squad: SquadBuilder) -> None:
    # 11.2 m and 12.6 m are both paced as 12 m.
    squad.strikes("Ana", Foot.RIGHT, "+++-", day=FIRST, stage=GATE, distance_m=11.2)
    squad.strikes("Ana", Foot.LEFT, "++--", day=FIRST, stage=GATE, distance_m=12.6)
    assert by_player(squad)["gap"] == pytest.approx(0.25)


CELL = st.tuples(st.sampled_from([6, 8, 12]), st.sampled_from([GATE, ROLLING]), st.integers(1, 9), st.floats(0, 1))


@settings(max_examples=8, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(CELL, max_size=5), st.lists(CELL, max_size=5))
def test_a_left_footer_with_the_same_strikes_has_the_same_gap_the_other_way(
    tmp_path: Path, right: Sequence[tuple[int, str, int, float]], left: Sequence[tuple[int, str, int, float]]
) -> None:
    with Database.open(None) as database:
        squad = SquadBuilder.start(database, "Quillhaven U12", Ana="right", Ben="left")
        rows = [
            one
            for player in ("Ana", "Ben")
            for foot, cells in ((Foot.RIGHT, right), (Foot.LEFT, left))
            for distance_m, stage, tries, share in cells
            for one in over_days(foot, distance_m, round(tries * share), tries, days=1, stage=stage, player=player)
        ]
        if not rows:
            return
        store_tallies(squad, tmp_path, rows)
        ana, ben = by_player(squad), by_player(squad, "Ben")
    assert -1 <= ana["low"] <= ana["high"] <= 1
    assert (ben["low"], ben["high"]) == (pytest.approx(-ana["high"]), pytest.approx(-ana["low"]))
    if ana["gap"] is None:
        assert ben["gap"] is None
    else:
        assert ben["gap"] == pytest.approx(-ana["gap"])
        assert ana["low"] <= ana["gap"] <= ana["high"]
