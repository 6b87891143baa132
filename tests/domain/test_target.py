"""The angle a target shows: worked cases computed three ways, and what must hold for every target."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tracker.domain.target import METRES_PER_FOOT, METRES_PER_YARD, Target, angular_width_deg

# Width, distance, sideways offset in metres, and the angle in degrees, worked by hand to four decimals.
# Full-size goal and penalty mark as printed in the IFAB Laws of the Game, Law 1; goal of 21 ft from 14 yd: US 9v9.
WORKED = {
    "a full-size goal from the penalty mark": (7.32, 11.0, 0.0, 36.8074),
    "a full-size goal from 16.5 m out and 10 m aside": (7.32, 16.5, 10.0, 18.6017),
    "a two-yard gate from ten yards": (1.8288, 9.144, 0.0, 11.4212),
    "a US 9v9 goal from the edge of the penalty area": (6.4008, 12.8016, 0.0, 28.0725),
    "a two-yard gate from ten yards and five aside": (1.8288, 9.144, 4.572, 9.1623),
    "a full-size goal from two metres, wider than a right angle": (7.32, 2.0, 0.0, 122.6914),
}

widths = st.floats(0.3, 15)
distances = st.floats(0.5, 40)
offsets = st.floats(-20, 20)


def by_difference_of_arctangents(width: float, distance: float, offset: float) -> float:
    return math.degrees(math.atan((offset + width / 2) / distance) - math.atan((offset - width / 2) / distance))


def by_vectors_to_both_posts(width: float, distance: float, offset: float) -> float:
    left, right = offset - width / 2, offset + width / 2
    cross, dot = distance * right - distance * left, left * right + distance * distance
    return math.degrees(math.atan2(abs(cross), dot))


@pytest.mark.parametrize("case", WORKED)
def test_the_worked_cases_agree_three_ways(case: str) -> None:
    width, distance, offset, degrees = WORKED[case]
    angle = angular_width_deg(width, distance, offset)
    assert round(angle, 4) == degrees
    assert angle == pytest.approx(by_difference_of_arctangents(width, distance, offset), abs=1e-9)
    assert angle == pytest.approx(by_vectors_to_both_posts(width, distance, offset), abs=1e-9)


@given(widths, distances, offsets)
def test_three_ways_agree_everywhere(width: float, distance: float, offset: float) -> None:
    angle = angular_width_deg(width, distance, offset)
    assert angle == pytest.approx(by_difference_of_arctangents(width, distance, offset), abs=1e-9)
    assert angle == pytest.approx(by_vectors_to_both_posts(width, distance, offset), abs=1e-9)
    assert 0 < angle < 180


@given(widths, distances)
def test_straight_in_front_it_is_twice_the_arctangent_of_half_width_over_distance(width: float, dist: float) -> None:
    assert angular_width_deg(width, dist) == pytest.approx(math.degrees(2 * math.atan(width / 2 / dist)), abs=1e-9)


@given(widths, distances, offsets)
def test_left_and_right_of_the_centre_are_alike(width: float, distance: float, offset: float) -> None:
    assert angular_width_deg(width, distance, offset) == angular_width_deg(width, distance, -offset)


@given(widths, distances, st.floats(0, 19), st.floats(0.1, 1))
def test_farther_aside_the_angle_is_smaller(width: float, distance: float, offset: float, step: float) -> None:
    assert angular_width_deg(width, distance, offset + step) < angular_width_deg(width, distance, offset)


@given(widths, st.floats(0.5, 39), st.floats(-1, 1), st.floats(0.1, 1))
def test_between_the_posts_the_angle_shrinks_with_distance(
    width: float, distance: float, share: float, step: float
) -> None:
    offset = share * width / 2
    assert angular_width_deg(width, distance + step, offset) < angular_width_deg(width, distance, offset)


@given(widths, st.floats(0.5, 20), st.floats(0.05, 0.95) | st.floats(1.05, 5))
def test_outside_the_posts_the_angle_peaks_where_distance_squared_is_offset_squared_less_half_width_squared(
    width: float, aside_of_post: float, share_of_peak: float
) -> None:
    offset = width / 2 + aside_of_post
    peak = math.sqrt(offset**2 - width**2 / 4)
    assert angular_width_deg(width, share_of_peak * peak, offset) < angular_width_deg(width, peak, offset)


def test_eleven_metres_aside_of_a_full_size_goal_the_angle_peaks_at_10_3733_metres() -> None:
    nearer, peak, farther = (angular_width_deg(7.32, distance, 11.0) for distance in (9.0, 10.3733, 12.0))
    assert nearer < peak > farther
    assert round(math.sqrt(11**2 - 3.66**2), 4) == 10.3733


@given(widths, distances, offsets, st.sampled_from([1 / METRES_PER_YARD, 1 / METRES_PER_FOOT, 100.0]))
def test_the_unit_does_not_matter(width: float, distance: float, offset: float, unit: float) -> None:
    angle = angular_width_deg(width, distance, offset)
    assert angular_width_deg(width * unit, distance * unit, offset * unit) == pytest.approx(angle, abs=1e-9)


@given(st.floats(0.3, 4), st.floats(400, 4000), offsets)
def test_from_far_away_it_is_width_times_distance_over_straight_distance_squared(
    width: float, distance: float, offset: float
) -> None:
    far = math.degrees(width * distance / (distance**2 + offset**2))
    assert angular_width_deg(width, distance, offset) == pytest.approx(far, rel=1e-4)


@given(widths, distances, st.floats(0.1, 5))
def test_the_same_width_for_its_distance_is_the_same_difficulty(width: float, distance: float, scale: float) -> None:
    assume(0.1 < width * scale < 50)
    angle = angular_width_deg(width * scale, distance * scale)
    assert angle == pytest.approx(angular_width_deg(width, distance), abs=1e-9)


@pytest.mark.parametrize(("width", "distance"), [(0.0, 5.0), (-1.0, 5.0), (3.0, 0.0), (3.0, -5.0), (math.nan, 5.0)])
def test_a_target_without_width_or_distance_has_no_angle(width: float, distance: float) -> None:
    with pytest.raises(ValueError, match="width_m and distance_m must be above 0"):
        angular_width_deg(width, distance)


def test_yard_and_foot_are_the_exact_ones_of_1959() -> None:
    assert (METRES_PER_YARD, METRES_PER_FOOT) == (0.9144, 0.3048)
    assert pytest.approx(3 * METRES_PER_FOOT) == METRES_PER_YARD


def test_a_gate_has_no_bar() -> None:
    assert Target(width_m=2.7432, height_m=None).is_gate
    assert not Target(width_m=7.32, height_m=2.44).is_gate
