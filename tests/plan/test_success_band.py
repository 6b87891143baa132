"""From how far a foot strikes: the aim model carried from one stage and distance to another."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.domain.ladder import Stage
from tracker.domain.ladder_file import shipped_ladders
from tracker.domain.vocabulary import LengthUnit
from tracker.plan.success_band import assumed_rate, best_distance_m, expected_rate, is_in_band
from tracker.stats.aim import hit_probability, target_half_angle_deg

STAGES = [stage for ladder in shipped_ladders() for stage in ladder.stages]
stages, rates, shares = st.sampled_from(STAGES), st.floats(0.06, 0.97), st.floats(0.5, 1.5)


@given(stages, rates)
def test_at_the_stages_own_distance_the_known_rate_is_expected(stage: Stage, rate: float) -> None:
    expected = expected_rate(known_at=stage, known_rate=rate, stage=stage, distance_m=stage.distance_m)
    assert expected == pytest.approx(rate, abs=1e-9)


@given(stages, stages)
def test_who_is_just_ready_at_one_stage_is_expected_just_ready_at_another(stage: Stage, other: Stage) -> None:
    expected = expected_rate(known_at=stage, known_rate=stage.p_ready, stage=other, distance_m=other.distance_m)
    assert expected == pytest.approx(other.p_ready, abs=1e-9)


@given(stages, rates, shares)
def test_from_another_distance_the_rate_is_that_of_the_aim_model(stage: Stage, rate: float, share: float) -> None:
    expected = expected_rate(known_at=stage, known_rate=rate, stage=stage, distance_m=stage.distance_m * share)
    here, there = (float(target_half_angle_deg(stage.target.width_m, stage.distance_m * one)) for one in (1.0, share))
    spread = spread_that_hits(here, rate)
    assert expected == pytest.approx(float(hit_probability(there, 0.0, spread)), abs=1e-6)


def spread_that_hits(half_angle_deg: float, rate: float) -> float:
    """The spread in degrees at which a target of a half-angle is hit at a rate, by halving."""
    low, high = 0.01, 1e4
    for _ in range(80):
        middle = (low * high) ** 0.5
        low, high = (middle, high) if float(hit_probability(half_angle_deg, 0.0, middle)) > rate else (low, middle)
    return low


@given(stages, stages, rates, st.sampled_from(LengthUnit))
def test_the_best_spot_is_in_the_band_whenever_one_of_its_own_spots_is(
    known_at: Stage, stage: Stage, rate: float, unit: LengthUnit
) -> None:
    distance, expected = best_distance_m(known_at=known_at, known_rate=rate, stage=stage, farthest_m=20.0, unit=unit)
    assert 0.5 * stage.distance_m - 1e-6 <= distance <= 1.5 * stage.distance_m + 1e-6
    own = expected_rate(known_at=known_at, known_rate=rate, stage=stage, distance_m=stage.distance_m)
    if is_in_band(own):
        assert distance == stage.distance_m
    elif is_in_band(expected):
        assert (distance < stage.distance_m) == (own < 0.5)


def test_a_foot_nothing_is_known_of_is_taken_to_be_halfway_between_not_yet_and_ready() -> None:
    assert all(assumed_rate(stage) == pytest.approx((stage.p_not_yet + stage.p_ready) / 2) for stage in STAGES)
    assert all(is_in_band(assumed_rate(stage)) for stage in STAGES)


def test_no_spot_is_so_far_that_a_wide_strike_would_leave_the_lane() -> None:
    served = STAGES[0]
    distance, _ = best_distance_m(
        known_at=served, known_rate=0.97, stage=served, farthest_m=served.distance_m, unit=LengthUnit.YARDS
    )
    assert distance <= served.distance_m
