"""Small samples borrow from the squad."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import approx_fprime
from scipy.stats import betabinom

from tracker.stats.pooling import GroupNorm, PoolingMethod, _minus_log_likelihood, fitted_prior, pooled_rates


def squad(random: np.random.Generator, *, players: int, mean: float, strength: float) -> tuple[np.ndarray, np.ndarray]:
    attempts = random.integers(20, 80, players)
    return attempts, random.binomial(attempts, random.beta(mean * strength, (1 - mean) * strength, players))


def test_the_spread_put_in_comes_out() -> None:
    attempts, on_target = squad(np.random.default_rng(1), players=4_000, mean=0.6, strength=16)
    prior = fitted_prior(attempts.astype(float), on_target.astype(float))
    assert prior.method is PoolingMethod.MAXIMUM_LIKELIHOOD
    assert prior.mean == pytest.approx(0.6, abs=0.01)
    assert prior.strength == pytest.approx(16, rel=0.1)


def test_the_standard_error_of_the_strength_is_about_the_spread_of_repeated_fits() -> None:
    random = np.random.default_rng(6)
    squads = [squad(random, players=100, mean=0.6, strength=16) for _ in range(150)]
    priors = [fitted_prior(attempts.astype(float), on_target.astype(float)) for attempts, on_target in squads]
    spread = np.std([np.log(prior.strength) for prior in priors])
    assert spread == pytest.approx(np.mean([prior.log_error for prior in priors]), rel=0.2)


@given(mean=st.floats(0.05, 0.95), strength=st.floats(0.5, 500))
def test_the_gradient_is_that_of_the_likelihood(mean: float, strength: float) -> None:
    n, k = np.array([10.0, 25.0, 3.5, 40.0]), np.array([9.0, 12.0, 0.5, 30.0])
    point = np.array([np.log(mean / (1 - mean)), np.log(strength)])
    numeric = approx_fprime(point, lambda at: _minus_log_likelihood(at, n, k)[0], 1e-6)
    np.testing.assert_allclose(_minus_log_likelihood(point, n, k)[1], numeric, rtol=1e-3, atol=1e-3)


def test_no_other_spread_is_likelier() -> None:
    attempts, on_target = squad(np.random.default_rng(2), players=12, mean=0.5, strength=10)
    prior = fitted_prior(attempts.astype(float), on_target.astype(float))
    mean, strength = prior.mean, prior.strength

    def log_likelihood(m: float, s: float) -> float:
        return float(betabinom.logpmf(on_target, attempts, m * s, (1 - m) * s).sum())

    best = log_likelihood(mean, strength)
    for m, s in [(mean + 0.01, strength), (mean - 0.01, strength), (mean, 1.05 * strength), (mean, 0.95 * strength)]:
        assert log_likelihood(m, s) < best


def test_shrunk_rates_lie_between_the_own_rate_and_the_squads() -> None:
    attempts, on_target = squad(np.random.default_rng(3), players=16, mean=0.6, strength=12)
    pooled = pooled_rates(attempts, on_target, np.zeros(16, dtype=int))
    own = on_target / attempts
    assert ((pooled.rate - own) * (pooled.mean[0] - own) >= 0).all()
    assert ((pooled.low < pooled.rate) & (pooled.rate < pooled.high)).all()


def test_a_player_nobody_has_seen_is_taken_for_the_squads_mean() -> None:
    attempts, on_target = squad(np.random.default_rng(4), players=16, mean=0.6, strength=12)
    pooled = pooled_rates([0, *attempts], [0, *on_target], [0] * 17)
    assert pooled.rate[0] == pytest.approx(pooled.mean[0])
    assert pooled.high[0] - pooled.low[0] > (pooled.high - pooled.low)[1:].max()


def test_a_small_squad_gets_the_default_strength_around_its_mean() -> None:
    pooled = pooled_rates([30] * 7, [15, 12, 18, 21, 9, 16, 14], [0] * 7)
    assert pooled.methods == (PoolingMethod.DEFAULT,)
    assert pooled.strength.tolist() == [16]
    assert pooled.mean[0] == pytest.approx(105.5 / 211)


def test_players_with_few_strikes_do_not_make_a_squad_large_enough() -> None:
    few = pooled_rates([19] * 12, [15, 8, 4] * 4, [0] * 12)
    enough = pooled_rates([20] * 12, [15, 8, 4] * 4, [0] * 12)
    assert few.methods == (PoolingMethod.DEFAULT,)
    assert enough.methods == (PoolingMethod.MAXIMUM_LIKELIHOOD,)


@pytest.mark.parametrize("hits", [0, 12, 20])
def test_players_all_alike_show_no_spread_so_the_default_stands(hits: int) -> None:
    pooled = pooled_rates([20] * 10, [hits] * 10, [0] * 10)
    assert pooled.methods == (PoolingMethod.DEFAULT,)
    assert ((pooled.low >= 0) & (pooled.low < pooled.high) & (pooled.high <= 1)).all()


def test_each_stage_and_foot_has_its_own_squad_mean() -> None:
    easy, hard = [18, 16, 14, 17, 19, 15, 12, 18], [4, 6, 8, 5, 2, 9, 7, 3]
    pooled = pooled_rates([20] * 17, [*easy, *hard, 10], [0] * 8 + [2] * 8 + [3])
    assert pooled.mean[0] > 0.75
    assert pooled.mean[2] < 0.35
    assert pooled.mean[1] == 0.5  # a group without strikes
    assert pooled.methods[3] is PoolingMethod.DEFAULT


def test_credible_intervals_hold_the_players_true_rates_as_often_as_they_say() -> None:
    random = np.random.default_rng(5)
    for strength in (10, 16, 38):
        squads, players = 100, 16
        group = np.repeat(np.arange(squads), players)
        true = random.beta(0.6 * strength, 0.4 * strength, group.size)
        attempts = random.integers(5, 60, group.size)
        pooled = pooled_rates(attempts, random.binomial(attempts, true), group)
        assert 0.78 <= np.mean((pooled.low <= true) & (true <= pooled.high)) <= 0.88


def test_bad_arguments_are_refused_by_name() -> None:
    with pytest.raises(ValueError, match="on_target must be between 0 and attempts"):
        pooled_rates([5], [6], [0])
    with pytest.raises(ValueError, match="default_strength must be at least"):
        pooled_rates([5], [3], [0], default_strength=0)
    with pytest.raises(ValueError, match="level must be above 0 and below 1"):
        pooled_rates([5], [3], [0], level=80)


def test_a_norm_stands_in_for_a_group_of_few_players_only() -> None:
    random = np.random.default_rng(8)
    tries, group = np.full(33, 25), np.repeat([0, 1], [30, 3])
    hits = random.binomial(tries, random.beta(6, 4, 33))
    norm = GroupNorm(mean=0.3, strength=12.0, squad_strength=50.0)
    plain, normed = (pooled_rates(tries, hits, group, norms=norms) for norms in (None, {0: norm, 1: norm}))
    assert normed.methods == (plain.methods[0], PoolingMethod.NORM)
    assert normed.mean[0] == plain.mean[0]
    assert normed.strength[1] == 12.0
    # Three players who differ by 1 / (12 + 1) count for 75 / (1 + 24 / 13) strikes against the 50 of the norm.
    effective = 75 / (1 + 24 / 13)
    own = hits[30:].sum() / 75
    assert normed.mean[1] == pytest.approx((own * effective + 0.3 * 50) / (effective + 50))
