"""The ladders that come with the program: published sizes, and stages neither too easy nor too hard."""

from __future__ import annotations

import math
import re
from statistics import NormalDist

import pytest

from tracker.domain.ladder import Ladder, Stage
from tracker.domain.ladder_file import shipped_ladders
from tracker.domain.vocabulary import BallArrival

YARD, FOOT = 0.9144, 0.3048  # metres, exact
U8_U10, U11_U12, U13_U18 = shipped_ladders()
EVERY_STAGE = [
    pytest.param(ladder, stage, id=f"{ladder.name} {stage.name}")
    for ladder in shipped_ladders()
    for stage in ladder.stages
]


def predicted_rate(stage: Stage) -> float:
    """P(on target) under the spread and the share of mis-hits that the stage's own source sentence states."""
    spread = re.search(r"strikes spread ([\d.]+)° \(one standard deviation\)", stage.source)
    assert spread is not None, stage.source
    lost = re.search(r"and 1 strike in (\d+) (?:is mis-hit|goes over)", stage.source)
    within = 2 * NormalDist().cdf(stage.angular_width_deg / 2 / float(spread[1])) - 1
    return within * (1 - 1 / int(lost[1])) if lost else within


def goals(ladder: Ladder) -> list[Stage]:
    return [stage for stage in ladder.stages if not stage.target.is_gate]


def assert_goals(ladder: Ladder, *, width_m: float, height_m: float) -> None:
    assert len(goals(ladder)) == 3
    for stage in goals(ladder):
        assert (stage.target.width_m, stage.target.height_m) == pytest.approx((width_m, height_m), abs=1e-9)


def test_there_is_one_ladder_for_each_age_band_youngest_first() -> None:
    assert [ladder.name for ladder in shipped_ladders()] == ["U8–U10", "U11–U12", "U13–U18"]
    assert [ladder.age_band for ladder in shipped_ladders()] == ["U8–U10", "U11–U12", "U13–U18"]


@pytest.mark.parametrize("ladder", shipped_ladders(), ids=lambda ladder: ladder.name)
def test_the_stages_follow_the_order_of_a_finishing_block(ladder: Ladder) -> None:
    assert [(stage.name, stage.ball_arrival) for stage in ladder.stages] == [
        ("Served volley", BallArrival.SERVED),
        ("Still ball through a gate", BallArrival.STILL),
        ("Rolling ball", BallArrival.ROLLING),
        ("Two-touch gate rally", BallArrival.PASSED),
        ("Carry and shoot", BallArrival.CARRIED),
        ("Lay-off and finish", BallArrival.PASSED),
        ("Small game", BallArrival.GAME),
    ]


@pytest.mark.parametrize(("ladder", "stage"), EVERY_STAGE)
def test_a_ready_player_succeeds_between_half_and_four_fifths_of_the_time(ladder: Ladder, stage: Stage) -> None:
    rate = predicted_rate(stage)
    print(f"{ladder.name} {stage.name}: {stage.angular_width_deg:.1f}° wide, predicted {rate:.3f}")  # noqa: T201
    assert 0.50 <= rate <= 0.80
    assert 0.65 <= stage.p_ready <= 0.80
    assert abs(rate - stage.p_ready) < 0.05
    assert f"about {round(100 * rate)} in 100" in stage.source


@pytest.mark.parametrize(("ladder", "stage"), EVERY_STAGE)
def test_ready_and_not_yet_lie_far_enough_apart_to_be_told_apart(ladder: Ladder, stage: Stage) -> None:
    assert stage.p_ready - stage.p_not_yet == pytest.approx(0.20)


@pytest.mark.parametrize("ladder", shipped_ladders(), ids=lambda ladder: ladder.name)
def test_gates_are_three_or_four_yards_wide_and_the_first_is_at_most_five_yards_away(ladder: Ladder) -> None:
    gates = [stage for stage in ladder.stages if stage.target.is_gate]
    assert all(round(stage.target.width_m / YARD, 9) in (3, 4) for stage in gates)
    assert gates[0].distance_m <= 5 * YARD
    assert all(stage.distance_m > gates[0].distance_m for stage in ladder.stages[1:])


@pytest.mark.parametrize("ladder", shipped_ladders(), ids=lambda ladder: ladder.name)
def test_no_later_stage_shows_a_wider_angle_than_the_first(ladder: Ladder) -> None:
    assert max(stage.angular_width_deg for stage in ladder.stages) == ladder.stages[0].angular_width_deg


def test_the_same_job_shows_an_older_player_a_narrower_angle() -> None:
    for youngest, middle, oldest in zip(U8_U10.stages, U11_U12.stages, U13_U18.stages, strict=True):
        assert youngest.angular_width_deg > middle.angular_width_deg > oldest.angular_width_deg


@pytest.mark.parametrize(("ladder", "stage"), EVERY_STAGE)
def test_sets_are_ten_then_five(ladder: Ladder, stage: Stage) -> None:
    assert stage.set_sizes == (10, 5)


@pytest.mark.parametrize(("ladder", "stage"), EVERY_STAGE)
def test_every_stage_has_points_and_the_safety_sentences(ladder: Ladder, stage: Stage) -> None:
    cautions = " ".join(stage.cautions)
    assert 2 <= len(stage.coaching_points) <= 3
    assert "Warm up" in cautions
    assert "Pain means stop" in cautions
    assert "Nobody stands behind a goal" in cautions
    assert ("Anchor every goal" in cautions) == (not stage.target.is_gate)
    assert ("no heading" in cautions.lower()) == (stage.ball_arrival in (BallArrival.SERVED, BallArrival.GAME))


@pytest.mark.parametrize(("ladder", "stage"), EVERY_STAGE)
def test_a_child_never_reads_of_a_weak_foot_or_of_talent(ladder: Ladder, stage: Stage) -> None:
    words = " ".join(stage.coaching_points).casefold()
    assert not re.search(r"\b(weak|weaker|talented|natural|worst|best|failed)\b", words)


# US Soccer Player Development Initiatives, small-sided standards (2016-17): the largest goals allowed.
def test_u8_u10_goals_are_the_7v7_goal_of_us_soccer() -> None:
    assert_goals(U8_U10, width_m=18.5 * FOOT, height_m=6.5 * FOOT)


def test_u11_u12_goals_are_the_9v9_goal_of_us_soccer() -> None:
    assert_goals(U11_U12, width_m=21 * FOOT, height_m=7 * FOOT)


def test_u13_u18_goals_are_the_full_size_goal_of_law_1() -> None:
    """IFAB Laws of the Game, Law 1: 8 yd × 8 ft, which it also prints, rounded, as 7.32 m × 2.44 m."""
    assert_goals(U13_U18, width_m=8 * YARD, height_m=8 * FOOT)


# Penalty-area depths: US Soccer 7v7 modified laws, US Youth Soccer U11-U12 (9v9), IFAB Laws of the Game, Law 1.
@pytest.mark.parametrize(("ladder", "depth_yd"), [(U8_U10, 12), (U11_U12, 14), (U13_U18, 18)])
def test_shots_come_from_the_edge_of_the_penalty_area_and_in_a_game_from_inside(ladder: Ladder, depth_yd: int) -> None:
    carry, lay_off, game = goals(ladder)
    assert math.isclose(carry.distance_m, depth_yd * YARD, abs_tol=1e-9)
    assert math.isclose(lay_off.distance_m, depth_yd * YARD)
    assert depth_yd / 2 * YARD < game.distance_m < depth_yd * YARD
    assert all(f"penalty area {depth_yd} yd deep" in stage.source for stage in goals(ladder))
