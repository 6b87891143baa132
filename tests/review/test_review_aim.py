"""Where strikes go, through a real database: sides, degrees, targets, and like with like."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import polars as pl
import pytest
from builders import SquadBuilder
from scipy.stats import norm
from tallied import store_tallies

from tracker.domain.vocabulary import Dimension, Foot, Miss
from tracker.review.aim import aim
from tracker.review.scope import Scope
from tracker.stats.aim import AimCase, fit_aim, target_half_angle_deg
from tracker.store.database import Database

FIRST = date(2026, 1, 3)
GATE, VOLLEY = "Still ball through a gate", "Served volley"
GATE_WIDTH_M, GATE_DISTANCE_M = 2.7432, 10.0584
OneADay = Callable[[SquadBuilder, int, int, int], None]
AT_GATE: dict[str, Any] = {"stage": GATE, "distance_m": GATE_DISTANCE_M, "target_width_m": GATE_WIDTH_M}
PER_STAGE = (Dimension.PLAYER, Dimension.FOOT, Dimension.STAGE)


def one_row(squad: SquadBuilder, **options: Any) -> dict[str, Any]:
    (row,) = aim(squad.database, squad.scope, **options).iter_rows(named=True)
    return row


@pytest.fixture
def one_a_day(tmp_path: Path) -> OneADay:
    """Stores strikes of Ana's right foot at the gate, one a day, so that nothing hangs together."""

    def stored(squad: SquadBuilder, left: int, hit: int, right: int) -> None:
        sides = ["left"] * left + [""] * hit + ["right"] * right
        rows = [
            {
                "date": FIRST + timedelta(days=number),
                "player": "Ana",
                "foot": "right",
                "stage": GATE,
                "attempts": 1,
                "on_target": 0 if side else 1,
                **({side: 1} if side else {}),
            }
            for number, side in enumerate(sides)
        ]
        store_tallies(squad, tmp_path, rows)

    return stored


def test_bias_and_spread_are_those_of_the_fit(squad: SquadBuilder, one_a_day: OneADay) -> None:
    one_a_day(squad, 9, 25, 4)
    fit = fit_aim([float(target_half_angle_deg(GATE_WIDTH_M, GATE_DISTANCE_M))], [9], [25], [4])
    row = one_row(squad)
    assert row["attempts"] == 38
    for name in ("bias_deg", "bias_low", "bias_high", "spread_deg", "spread_low", "spread_high"):
        assert row[name] == pytest.approx(float(getattr(fit, name)[0]), rel=1e-6), name


def test_more_misses_to_the_left_are_a_bias_below_0(squad: SquadBuilder, one_a_day: OneADay) -> None:
    one_a_day(squad, 9, 20, 1)
    row = one_row(squad)
    assert row["bias_high"] < 0
    assert row["case"] == AimCase.BIAS_AND_SPREAD


def test_without_a_target_the_one_of_the_stage_worked_on_is_predicted(squad: SquadBuilder, one_a_day: OneADay) -> None:
    one_a_day(squad, 5, 20, 5)
    row = one_row(squad)
    assert (row["target_width_m"], row["distance_m"]) == (pytest.approx(GATE_WIDTH_M), pytest.approx(GATE_DISTANCE_M))
    assert row["predicted_rate"] == pytest.approx(20 / 30, abs=0.01)
    assert row["predicted_low"] < 20 / 30 < row["predicted_high"]


def test_the_stage_the_coach_placed_the_foot_at_is_predicted(squad: SquadBuilder, one_a_day: OneADay) -> None:
    one_a_day(squad, 5, 20, 5)
    squad.placed("Ana", Foot.RIGHT, squad.stages[4], day=FIRST + timedelta(days=60))
    goal = squad.ladder.stages[4]
    row = one_row(squad)
    assert (row["target_width_m"], row["distance_m"]) == (goal.target.width_m, goal.distance_m)
    assert row["predicted_rate"] > 0.9  # a goal is wide


def test_a_target_asked_for_is_predicted_for_everybody(squad: SquadBuilder, one_a_day: OneADay) -> None:
    one_a_day(squad, 5, 20, 5)
    near = one_row(squad, target_width_m=2.0, distance_m=5.0)
    far = one_row(squad, target_width_m=2.0, distance_m=20.0)
    angle = np.degrees(np.arctan2(1.0, 20.0))
    assert far["predicted_rate"] == pytest.approx(
        norm.cdf(angle, far["bias_deg"], far["spread_deg"]) - norm.cdf(-angle, far["bias_deg"], far["spread_deg"])
    )
    assert near["predicted_rate"] > far["predicted_rate"]
    assert near["spread_deg"] == far["spread_deg"]


def test_over_short_and_blocked_say_nothing_about_direction(squad: SquadBuilder, one_a_day: OneADay) -> None:
    one_a_day(squad, 5, 20, 5)
    alone = one_row(squad)
    for number, (outcome, miss) in enumerate((("-", Miss.OVER), ("-", Miss.SHORT), ("b", None))):
        squad.strikes("Ana", Foot.RIGHT, outcome, day=FIRST + timedelta(days=90 + number), miss=miss, **AT_GATE)
    assert one_row(squad) == alone


def test_a_miss_whose_side_nobody_noted_still_widens_the_spread(squad: SquadBuilder, one_a_day: OneADay) -> None:
    one_a_day(squad, 5, 20, 5)
    alone = one_row(squad)
    for number in range(6):
        day = FIRST + timedelta(days=90 + number)
        squad.strikes("Ana", Foot.RIGHT, "-", day=day, **AT_GATE)
    row = one_row(squad)
    assert row["attempts"] == alone["attempts"] + 6
    assert row["spread_deg"] > alone["spread_deg"]
    assert row["bias_deg"] == pytest.approx(0, abs=0.2)


def test_without_distance_or_target_width_a_strike_has_no_angle(squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.LEFT, "++-", day=FIRST, stage=GATE, distance_m=10.0)
    squad.strikes("Ana", Foot.LEFT, "++-", day=FIRST, stage=GATE, target_width_m=2.0)
    assert aim(squad.database, squad.scope).is_empty()


@pytest.mark.parametrize(
    ("counts", "case", "unknown"),
    [
        ((0, 12, 0), AimCase.ALL_HIT, ["bias_deg", "bias_low", "bias_high"]),
        ((2, 0, 3), AimCase.NONE_HIT, ["bias_deg", "spread_deg", "spread_high"]),
        ((3, 9, 0), AimCase.ONE_SIDE, []),
        ((0, 1, 0), AimCase.ALL_HIT, ["bias_deg"]),
    ],
)
def test_what_strikes_cannot_tell_is_null(
    squad: SquadBuilder, one_a_day: OneADay, counts: tuple[int, int, int], case: AimCase, unknown: list[str]
) -> None:
    one_a_day(squad, *counts)
    row = one_row(squad)
    assert row["case"] == case
    assert [name for name in unknown if row[name] is not None] == []
    assert 0 <= row["predicted_low"] <= row["predicted_rate"] <= row["predicted_high"] <= 1


def test_strikes_of_one_day_make_wider_intervals(database: Database, one_a_day: OneADay) -> None:
    apart = SquadBuilder.start(database, "Apart", Ana="right")
    together = SquadBuilder.start(database, "Together", Ana="right")
    one_a_day(apart, 6, 20, 6)
    for outcomes, miss in (("------", Miss.LEFT), ("+" * 20, None), ("------", Miss.RIGHT)):
        together.strikes("Ana", Foot.RIGHT, outcomes, day=FIRST, miss=miss, **AT_GATE)
    narrow, wide = one_row(apart), one_row(together)
    assert wide["spread_deg"] == pytest.approx(narrow["spread_deg"])
    assert wide["spread_high"] - wide["spread_low"] > 1.3 * (narrow["spread_high"] - narrow["spread_low"])


def expected(spread_deg: float, bias_deg: float, width_m: float, distance_m: float, attempts: int) -> dict[str, int]:
    """A tally as the model expects it."""
    angle = float(target_half_angle_deg(width_m, distance_m))
    left = round(attempts * float(norm.cdf(-angle, bias_deg, spread_deg)))
    right = round(attempts * float(norm.sf(angle, bias_deg, spread_deg)))
    return {"attempts": attempts, "on_target": attempts - left - right, "left": left, "right": right}


def tallies(stage: str, spread_deg: float, width_m: float, distances_m: list[float]) -> list[dict[str, object]]:
    return [
        {
            "date": FIRST + timedelta(days=7 * number),
            "player": "Ana",
            "foot": "right",
            "stage": stage,
            "distance_m": distance_m,
            **expected(spread_deg, -1.0, width_m, distance_m, 60),
        }
        for number, distance_m in enumerate(distances_m)
    ]


def test_stages_that_one_spread_describes_are_taken_together(squad: SquadBuilder, tmp_path: Path) -> None:
    rows = [*tallies(GATE, 8.0, GATE_WIDTH_M, [6, 9, 12]), *tallies("Rolling ball", 8.0, GATE_WIDTH_M, [7, 10, 13])]
    store_tallies(squad, tmp_path, rows)
    row = one_row(squad)
    assert (row["attempts"], row["of_stage"]) == (360, None)
    assert row["spread_deg"] == pytest.approx(8.0, abs=0.4)
    assert row["bias_deg"] == pytest.approx(-1.0, abs=0.4)


def test_a_volley_that_spreads_wider_is_not_mixed_into_the_aim_of_a_still_ball(
    squad: SquadBuilder, tmp_path: Path
) -> None:
    rows = [*tallies(GATE, 7.0, GATE_WIDTH_M, [10, 10, 10]), *tallies(VOLLEY, 20.0, 3.6576, [4.57] * 6)]
    store_tallies(squad, tmp_path, rows)
    squad.placed("Ana", Foot.RIGHT, GATE, day=FIRST)
    row = one_row(squad)
    assert (row["of_stage"], row["attempts"]) == (GATE, 180)
    assert row["spread_deg"] == pytest.approx(7.0, abs=0.4)
    both = aim(squad.database, squad.scope, by=PER_STAGE)
    assert dict(both.select("stage", "attempts").iter_rows()) == {GATE: 180, VOLLEY: 360}
    assert both.filter(stage=VOLLEY)["spread_deg"].item() == pytest.approx(20.0, abs=0.7)


def test_a_foot_just_moved_up_is_known_by_the_nearest_stage_below(squad: SquadBuilder, tmp_path: Path) -> None:
    rows = [*tallies(VOLLEY, 20.0, 3.6576, [4.57] * 6), *tallies(GATE, 7.0, GATE_WIDTH_M, [10, 10])]
    store_tallies(squad, tmp_path, rows)
    squad.placed("Ana", Foot.RIGHT, "Rolling ball", day=FIRST + timedelta(days=60))
    row = one_row(squad)
    assert row["of_stage"] == GATE  # not the volley, though more were struck there
    assert row["spread_deg"] == pytest.approx(7.0, abs=0.4)


def test_farid_s_right_foot_goes_left_as_the_demo_says(demo: Database) -> None:
    rows = {(row["player"], row["foot"]): row for row in aim(demo, Scope()).iter_rows(named=True)}
    assert len(rows) == 32
    assert rows["Farid K.", "right"]["bias_high"] < 0
    for row in rows.values():
        assert 0 <= row["predicted_low"] <= row["predicted_rate"] <= row["predicted_high"] <= 1
        assert row["target_width_m"] > 0


def test_the_limits_of_the_demo_hold_the_spread_it_was_made_with(demo: Database) -> None:
    truth = pl.read_csv(Path(__file__).parents[2] / "demo_data" / "truth.csv")
    rows = aim(demo, Scope(), by=PER_STAGE).filter(pl.col("stage") == GATE, pl.col("attempts") >= 50)
    known = rows.join(truth, on=["player", "foot"])
    # Days swing by a factor of about 1.3 and spreads shrink over the season: the limits must reach into that stretch.
    held = (pl.col("spread_low") <= pl.col("spread_start_deg") * 1.1) & (
        pl.col("spread_high") >= pl.col("spread_end_deg") * 0.9
    )
    assert known.height >= 15
    assert known.filter(held).height >= 0.9 * known.height


@pytest.mark.parametrize(
    ("wrong", "named"),
    [
        ({"by": (Dimension.PLAYER,)}, "by must be player,foot"),
        ({"target_width_m": 2.0}, "given together"),
        ({"target_width_m": 2.0, "distance_m": 0.0}, "distance_m must be above 0"),
        ({"level": 1.0}, "level must be above 0 and below 1"),
    ],
)
def test_bad_requests_are_refused_by_name(
    squad: SquadBuilder, one_a_day: OneADay, wrong: dict[str, Any], named: str
) -> None:
    one_a_day(squad, 1, 2, 1)
    with pytest.raises(ValueError, match=named):
        aim(squad.database, squad.scope, **wrong)
