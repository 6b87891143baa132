"""The score: its lattice, its floor at 0, unordered strikes, strikes from another distance."""

from __future__ import annotations

import math
from itertools import permutations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal

from tracker.stats.score import WEIGHT_TOLERANCE, probabilities_at, score_lattice, scores

RATES = st.floats(0.02, 0.97)
WEIGHTS = {"hit_steps": 2, "miss_steps": -3}


@given(p_not_yet=RATES, gap=st.floats(0.02, 0.5))
def test_lattice_weights_are_within_a_twentieth_of_a_percent_of_the_likelihood_ratio(
    p_not_yet: float, gap: float
) -> None:
    p_ready = min(p_not_yet + gap, 0.99)
    lattice = score_lattice(p_not_yet, p_ready)

    assert lattice.hit_weight == pytest.approx(math.log(p_ready / p_not_yet), rel=WEIGHT_TOLERANCE)
    assert lattice.miss_weight == pytest.approx(math.log((1 - p_ready) / (1 - p_not_yet)), rel=WEIGHT_TOLERANCE)


def test_rates_that_mirror_each_other_weigh_hits_and_misses_alike() -> None:
    lattice = score_lattice(0.4, 0.6)

    assert lattice.hit_weight == -lattice.miss_weight == pytest.approx(math.log(1.5))
    assert (lattice.reversed.hit_steps, lattice.reversed.miss_steps) == (lattice.miss_steps, lattice.hit_steps)


@pytest.mark.parametrize(("p_not_yet", "p_ready"), [(0.8, 0.6), (0.6, 0.6), (0.0, 0.5), (0.5, 1.0), (math.nan, 0.5)])
def test_rates_out_of_order_are_refused(p_not_yet: float, p_ready: float) -> None:
    with pytest.raises(ValueError, match="p_not_yet"):
        score_lattice(p_not_yet, p_ready)


def test_score_climbs_on_hits_and_never_falls_below_zero() -> None:
    hits = np.array([1, 0, 0, 1, 1])

    assert_array_equal(scores(hits, 1 - hits, np.zeros(5, int), **WEIGHTS), [2, 0, 0, 2, 4])


def test_every_segment_starts_from_zero() -> None:
    hits, segment = np.array([1, 1, 0, 1, 1]), np.array([4, 4, 9, 9, 12])

    assert_array_equal(scores(hits, 1 - hits, segment, **WEIGHTS), [2, 4, 0, 2, 2])


def test_every_row_may_have_weights_of_its_own() -> None:
    answer = scores([1, 1, 0], [0, 0, 1], [0, 0, 0], hit_steps=[2, 5, 2], miss_steps=[-3, -9, -1])

    assert_array_equal(answer, [2, 7, 6])


def test_no_rows_have_no_scores() -> None:
    nothing = np.empty(0, dtype=np.int64)

    assert scores(nothing, nothing, nothing, **WEIGHTS).shape == (0,)


@given(
    rows=st.lists(st.tuples(st.integers(0, 3), st.integers(0, 10), st.integers(0, 10)), max_size=60),
    hit_steps=st.integers(1, 50),
    miss_steps=st.integers(-50, -1),
)
def test_all_players_at_once_score_as_each_would_alone(
    rows: list[tuple[int, int, int]], hit_steps: int, miss_steps: int
) -> None:
    rows.sort(key=lambda row: row[0])
    expected, score, before = [], 0, None
    for segment, hits, misses in rows:
        score = max(0, (score if segment == before else 0) + hits * hit_steps + misses * miss_steps)
        before = segment
        expected.append(score)
    segments, all_hits, all_misses = np.array(rows, dtype=np.int64).reshape(-1, 3).T

    assert_array_equal(scores(all_hits, all_misses, segments, hit_steps=hit_steps, miss_steps=miss_steps), expected)


def test_a_set_called_out_never_scores_above_any_order_of_its_strikes() -> None:
    before = [1, 0]
    for hits in range(7):
        outcomes = [1] * hits + [0] * (6 - hits)
        whole = scores([*before, hits], [0, 1, 6 - hits], [0, 0, 0], **WEIGHTS)[-1]
        for order in set(permutations(outcomes)):
            strikes = np.array([*before, *order])
            assert whole <= scores(strikes, 1 - strikes, np.zeros(len(strikes), int), **WEIGHTS)[-1]


@pytest.mark.parametrize(
    ("hits", "misses", "segment", "named"),
    [
        ([-1], [0], [0], "hits"),
        ([1], [-2], [0], "misses"),
        ([0.5], [0], [0], "hits"),
        ([1, 1], [0, 0], [1, 0], "segment"),
        ([1, 1], [0], [0, 0], "misses"),
    ],
)
def test_rows_that_cannot_be_are_refused_by_name(
    hits: list[int], misses: list[int], segment: list[int], named: str
) -> None:
    with pytest.raises(ValueError, match=named):
        scores(hits, misses, segment, **WEIGHTS)


def test_a_strike_from_the_same_angle_keeps_the_rates_of_the_stage() -> None:
    assert_allclose(probabilities_at(6.5, 6.5, [0.5, 0.7]), [0.5, 0.7], rtol=1e-12)


def test_rates_fall_with_the_angle_the_target_shows() -> None:
    rates = probabilities_at([8.0, 6.0, 4.0, 2.0], 6.0, 0.7)

    assert np.all(np.diff(rates) < 0)
    assert rates[1] == pytest.approx(0.7)


def test_no_distance_is_so_near_or_far_that_a_strike_is_certain() -> None:
    assert_allclose(probabilities_at([60.0, 0.01], 6.0, 0.7), [0.98, 0.02])


@pytest.mark.parametrize(
    ("angle", "stage_angle", "p", "named"), [(0, 6, 0.5, "half_angle"), (6, -1, 0.5, "stage_half"), (6, 6, 1, "p must")]
)
def test_angles_and_rates_that_cannot_be_are_refused(angle: float, stage_angle: float, p: float, named: str) -> None:
    with pytest.raises(ValueError, match=named):
        probabilities_at(angle, stage_angle, p)
