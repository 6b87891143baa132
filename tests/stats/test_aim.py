"""Aim: closed forms, degenerate strikes, recovery of what was put in, coverage, speed of a batch."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.optimize import brentq, minimize
from scipy.special import ndtr, ndtri

from tracker.domain.target import angular_width_deg
from tracker.stats.aim import AimCase, fit_aim, hit_probability, target_half_angle_deg
from tracker.stats.aim_goodness import goodness_of_fit
from tracker.stats.aim_likelihood import aim_likelihood, aim_tallies

ANGLES = np.array([12.0, 8.7, 6.5, 4.4])


def expected_counts(
    bias: float, spread: float, *, strikes: float = 1000.0
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Left, hit and right as they would come out on average at each of ANGLES."""
    left, right = ndtr((-ANGLES - bias) / spread), ndtr((bias - ANGLES) / spread)
    return strikes * left, strikes * (1 - left - right), strikes * right


def log_likelihood(bias: float, spread: float, left: np.ndarray, hit: np.ndarray, right: np.ndarray) -> float:
    to_left, to_right = ndtr((-ANGLES - bias) / spread), ndtr((bias - ANGLES) / spread)
    return float(left @ np.log(to_left) + hit @ np.log(1 - to_left - to_right) + right @ np.log(to_right))


def test_one_distance_with_misses_on_either_side_has_a_closed_form() -> None:
    fit = fit_aim([8.0], [12], [70], [18])
    u, v = -ndtri(0.18), ndtri(0.12)

    assert fit.spread_deg[0] == pytest.approx(16 / (u - v), rel=1e-8)
    assert fit.bias_deg[0] == pytest.approx(-fit.spread_deg[0] * (u + v) / 2, rel=1e-7)


def test_hits_and_unsided_misses_at_one_distance_give_the_spread_that_makes_the_rate() -> None:
    fit = fit_aim([8.0], 0, [70], 0, [30])

    assert fit.case[0] == AimCase.SPREAD_ONLY
    assert hit_probability(8.0, 0.0, fit.spread_deg[0]) == pytest.approx(0.70, rel=1e-8)
    assert np.isnan(fit.bias_deg[0])


@settings(deadline=None)
@given(bias=st.floats(-6, 6), spread=st.floats(2.5, 15))
def test_what_was_put_in_comes_out(bias: float, spread: float) -> None:
    fit = fit_aim(ANGLES, *expected_counts(bias, spread))

    assert fit.bias_deg[0] == pytest.approx(bias, abs=1e-4)
    assert fit.spread_deg[0] == pytest.approx(spread, rel=1e-5)
    assert fit.bias_low[0] < bias < fit.bias_high[0]
    assert fit.spread_low[0] < spread < fit.spread_high[0]


def test_half_of_the_misses_without_a_side_do_not_move_the_estimate() -> None:
    left, hit, right = expected_counts(1.5, 7.0)
    fit = fit_aim(ANGLES, left / 2, hit, right / 2, (left + right) / 2)

    assert fit.bias_deg[0] == pytest.approx(1.5, abs=1e-4)
    assert fit.spread_deg[0] == pytest.approx(7.0, rel=1e-5)


def test_gradient_and_second_derivatives_agree_with_differences() -> None:
    tallies = aim_tallies(ANGLES, [3, 4, 6, 9], [20, 15, 9, 5], [1, 2, 5, 4], [2, 1, 0, 3], subject=None, subjects=None)
    at, step = (np.array([0.13]), np.array([0.2])), 1e-5
    here = aim_likelihood(tallies, *at)
    more_p, less_p = (aim_likelihood(tallies, at[0] + sign * step, at[1]) for sign in (1, -1))
    more_s, less_s = (aim_likelihood(tallies, at[0], at[1] + sign * step) for sign in (1, -1))

    assert_allclose(here.p, (more_p.value - less_p.value) / (2 * step), rtol=1e-6)
    assert_allclose(here.s, (more_s.value - less_s.value) / (2 * step), rtol=1e-6)
    assert_allclose(here.pp, (more_p.p - less_p.p) / (2 * step), rtol=1e-6)
    assert_allclose(here.ps, (more_s.p - less_s.p) / (2 * step), rtol=1e-6)
    assert_allclose(here.ss, (more_s.s - less_s.s) / (2 * step), rtol=1e-6)


def test_profile_limits_are_where_the_best_of_the_rest_is_two_log_units_lower() -> None:
    left, hit, right = (np.array(x, dtype=float) for x in ([2, 3, 4, 6], [20, 14, 10, 6], [1, 2, 5, 7]))
    fit = fit_aim(ANGLES, left, hit, right)
    drop = 3.841458820694124 / 2

    def held_spread(spread: float) -> float:
        best = minimize(lambda x: -log_likelihood(x[0], spread, left, hit, right), [0.0], tol=1e-12).fun
        return float(fit.log_likelihood[0] + best - drop)

    def held_bias(bias: float) -> float:
        best = minimize(lambda x: -log_likelihood(bias, np.exp(x[0]), left, hit, right), [2.0], tol=1e-12).fun
        return float(fit.log_likelihood[0] + best - drop)

    middle_spread, middle_bias = fit.spread_deg[0], fit.bias_deg[0]
    assert fit.spread_low[0] == pytest.approx(brentq(held_spread, 3.0, middle_spread), rel=1e-5)
    assert fit.spread_high[0] == pytest.approx(brentq(held_spread, middle_spread, 30.0), rel=1e-5)
    assert fit.bias_low[0] == pytest.approx(brentq(held_bias, -8.0, middle_bias), rel=1e-4)
    assert fit.bias_high[0] == pytest.approx(brentq(held_bias, middle_bias, 8.0), rel=1e-4)


def test_mirrored_strikes_mirror_the_bias() -> None:
    fit = fit_aim(np.tile(ANGLES, 2), [4, 3, 5, 9, 1, 1, 2, 3], [30, 9, 8, 7] * 2, [1, 1, 2, 3, 4, 3, 5, 9],
                  subject=np.repeat([0, 1], 4))  # fmt: skip

    assert fit.bias_deg[0] == pytest.approx(-fit.bias_deg[1])
    assert fit.bias_low[0] == pytest.approx(-fit.bias_high[1])
    assert fit.spread_deg[0] == pytest.approx(fit.spread_deg[1])
    assert fit.spread_high[0] == pytest.approx(fit.spread_high[1])


def test_all_hits_bound_the_spread_from_above_only() -> None:
    fit = fit_aim([8.0], [0], [20], [0])
    chance = hit_probability(8.0, 0.0, fit.spread_high[0])

    assert fit.case[0] == AimCase.ALL_HIT
    assert (fit.spread_deg[0], fit.spread_low[0]) == (0.0, 0.0)
    assert -2 * 20 * np.log(chance) == pytest.approx(3.841458820694124)
    assert fit.predict(2.0, 10.0).rate[0] == 1.0
    assert 0 < fit.predict(2.0, 10.0).low[0] < fit.predict(2.0, 10.0).high[0] == 1.0


def test_no_hits_bound_the_spread_from_below_only() -> None:
    fit = fit_aim([8.0], [6], [0], [4])

    assert fit.case[0] == AimCase.NONE_HIT
    assert fit.spread_deg[0] == fit.spread_high[0] == np.inf
    assert -2 * 10 * np.log(1 - hit_probability(8.0, 0.0, fit.spread_low[0])) == pytest.approx(3.841458820694124)
    assert fit.predict(2.0, 10.0).rate[0] == fit.predict(2.0, 10.0).low[0] == 0.0


def test_misses_on_one_side_only_still_give_a_cautious_bias() -> None:
    fit = fit_aim([8.0], [5], [15], [0])

    assert fit.case[0] == AimCase.ONE_SIDE
    assert fit.bias_low[0] < fit.bias_deg[0] < 0
    assert 0 < fit.spread_low[0] < fit.spread_deg[0] < fit.spread_high[0] < np.inf
    assert fit.attempts[0] == 20


@pytest.mark.parametrize(
    ("left", "hit", "right", "unsided", "case"),
    [
        (0, 1, 0, 0, AimCase.ALL_HIT),
        (1, 0, 0, 0, AimCase.NONE_HIT),
        (0, 0, 0, 1, AimCase.NONE_HIT),
        (0, 0, 0, 0, AimCase.NO_STRIKES),
        (1, 1, 0, 0, AimCase.ONE_SIDE),
        (1, 1, 1, 0, AimCase.BIAS_AND_SPREAD),
        (0, 1, 0, 1, AimCase.SPREAD_ONLY),
    ],
)
def test_a_strike_or_two_are_told_apart_and_never_fail(
    left: int, hit: int, right: int, unsided: int, case: AimCase
) -> None:
    fit = fit_aim([6.0], [left], [hit], [right], [unsided])
    prediction = fit.predict(3.0, 12.0)

    assert fit.case[0] == case
    if case is AimCase.NO_STRIKES:
        assert np.isnan([fit.spread_deg[0], fit.spread_low[0], prediction.rate[0], prediction.low[0]]).all()
    else:
        assert fit.spread_low[0] <= fit.spread_deg[0] <= fit.spread_high[0]
        assert 0 <= prediction.low[0] <= prediction.rate[0] <= prediction.high[0] <= 1


@settings(max_examples=60, deadline=None)
@given(
    counts=st.lists(
        st.tuples(st.integers(0, 9), st.integers(0, 40), st.integers(0, 9), st.integers(0, 5)), min_size=12, max_size=12
    )
)
def test_any_counts_give_ordered_limits(counts: list[tuple[int, int, int, int]]) -> None:
    left, hit, right, unsided = np.array(counts).T
    fit = fit_aim(np.tile(ANGLES, 3), left, hit, right, unsided, subject=np.repeat([0, 1, 2], 4))
    prediction = fit.predict(2.0, 9.0)
    known, biased = fit.attempts > 0, np.isfinite(fit.bias_deg)

    assert np.all((fit.spread_low <= fit.spread_deg)[known] & (fit.spread_deg <= fit.spread_high)[known])
    assert np.all((fit.bias_low <= fit.bias_deg)[biased] & (fit.bias_deg <= fit.bias_high)[biased])
    assert np.all((prediction.low <= prediction.rate)[known] & (prediction.rate <= prediction.high)[known])


def test_intervals_cover_what_they_promise_for_a_batch_of_players() -> None:
    rng = np.random.default_rng(11)
    players = 3000
    bias, spread = rng.normal(0, 3, players), rng.uniform(4, 12, players)
    subject, angle = np.repeat(np.arange(players), 4), np.tile(ANGLES, players)
    left, right = ndtr((-angle - bias[subject]) / spread[subject]), ndtr((bias[subject] - angle) / spread[subject])
    strikes = rng.multinomial(15, np.stack([left, 1 - left - right, right], axis=-1))
    fit = fit_aim(angle, *strikes.T, subject=subject)
    prediction = fit.predict(3.0, 10.0)
    truth = hit_probability(prediction.half_angle_deg, bias, spread)
    told = fit.case == AimCase.BIAS_AND_SPREAD

    assert told.sum() > 2500
    assert np.mean(((fit.bias_low <= bias) & (bias <= fit.bias_high))[told]) == pytest.approx(0.95, abs=0.015)
    assert np.mean(((fit.spread_low <= spread) & (spread <= fit.spread_high))[told]) == pytest.approx(0.95, abs=0.015)
    assert np.mean((prediction.low <= truth) & (truth <= prediction.high)) == pytest.approx(0.95, abs=0.015)


def test_a_batch_gives_each_player_what_the_player_alone_would_get() -> None:
    rng = np.random.default_rng(5)
    subject, counts = np.repeat(np.arange(30), 4), rng.integers(0, 12, (120, 4))
    together = fit_aim(np.tile(ANGLES, 30), *counts.T, subject=subject)

    for player in range(30):
        alone = fit_aim(ANGLES, *counts[subject == player].T)
        assert_allclose(alone.bias_deg[0], together.bias_deg[player], rtol=1e-5)
        assert_allclose(alone.spread_high[0], together.spread_high[player], rtol=1e-5)


def test_a_spread_that_grows_with_distance_shows_in_the_goodness_of_fit() -> None:
    rng = np.random.default_rng(8)
    strikes = np.full(4, 200)
    steady = rng.binomial(strikes, hit_probability(ANGLES, 0.0, 7.0))
    growing = rng.binomial(strikes, hit_probability(ANGLES, 0.0, np.array([4.0, 6.0, 8.0, 10.0])))
    for hits, fits in ((steady, True), (growing, False)):
        fit = fit_aim(ANGLES, 0, hits, 0, strikes - hits)
        goodness = goodness_of_fit(fit, ANGLES, 0, hits, 0, strikes - hits)
        assert goodness.df[0] == 3
        assert (goodness.p_value[0] > 0.01) is np.bool_(fits)


def test_one_distance_leaves_nothing_to_judge_the_fit_by() -> None:
    fit = fit_aim([8.0], 0, [7], 0, [3])
    goodness = goodness_of_fit(fit, [8.0], 0, [7], 0, [3])

    assert goodness.df[0] == 0
    assert np.isnan(goodness.p_value[0])


@given(width=st.floats(0.5, 8), distance=st.floats(1, 30), offset=st.floats(-10, 10))
def test_half_angle_is_half_the_angle_of_the_target(width: float, distance: float, offset: float) -> None:
    assert 2 * target_half_angle_deg(width, distance, offset) == pytest.approx(
        angular_width_deg(width, distance, offset)
    )


@pytest.mark.parametrize(
    ("arguments", "named"),
    [
        (([0.0], [1], [1], [1]), "half_angle_deg"),
        (([200.0], [1], [1], [1]), "half_angle_deg"),
        (([8.0], [-1], [1], [1]), "left"),
        (([8.0], [1], [np.nan], [1]), "hit"),
    ],
)
def test_strikes_that_cannot_be_are_refused_by_name(arguments: tuple[list[float], ...], named: str) -> None:
    with pytest.raises(ValueError, match=named):
        fit_aim(*arguments)


def test_codes_levels_and_targets_that_cannot_be_are_refused_by_name() -> None:
    with pytest.raises(ValueError, match="subject"):
        fit_aim([8.0, 8.0], [1, 1], [1, 1], [1, 1], subject=[0])
    with pytest.raises(ValueError, match="subjects"):
        fit_aim([8.0], [1], [1], [1], subject=[3], subjects=2)
    with pytest.raises(ValueError, match="level"):
        fit_aim([8.0], [1], [1], [1], level=95)
    with pytest.raises(ValueError, match="distance_m"):
        fit_aim([8.0], [1], [1], [1]).predict(3.0, 0.0)
