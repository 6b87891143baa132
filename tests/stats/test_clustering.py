"""Strikes of one practice hang together."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.domain.vocabulary import IntervalMethod
from tracker.stats.clustering import clustered_proportion, design_effect, intraclass_correlation
from tracker.stats.proportion import proportion


def beta_binomial_practices(
    random: np.random.Generator, *, rates: np.ndarray, practices: int, strikes: int, correlation: float
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """(attempts, on_target, player), a row a practice."""
    player = np.repeat(np.arange(rates.size), practices)
    concentration = (1 - correlation) / correlation
    day = random.beta(rates[player] * concentration, (1 - rates[player]) * concentration)
    attempts = np.full(player.size, strikes)
    return attempts, random.binomial(attempts, day), player


def test_the_correlation_put_in_comes_out() -> None:
    random = np.random.default_rng(11)
    attempts, on_target, player = beta_binomial_practices(
        random, rates=random.uniform(0.3, 0.9, 500), practices=6, strikes=12, correlation=0.08
    )
    result = intraclass_correlation(attempts, on_target, np.zeros_like(player), subject=player, default=0.05)
    assert result.is_estimated.tolist() == [True]
    assert result.correlation[0] == pytest.approx(0.08, abs=3 * result.standard_error[0])
    assert result.correlation[0] < result.allowed[0] < result.correlation[0] + result.standard_error[0]


def test_players_of_unequal_skill_do_not_pass_for_practices_that_differ() -> None:
    random = np.random.default_rng(12)
    rates = np.repeat([0.3, 0.9], 40)
    player = np.repeat(np.arange(80), 4)
    attempts = np.full(player.size, 10)
    on_target = random.binomial(attempts, rates[player])
    squad = np.zeros_like(player)
    within = intraclass_correlation(attempts, on_target, squad, subject=player, default=0.05)
    plain = intraclass_correlation(attempts, on_target, squad, default=0.05)
    assert within.correlation[0] < 0.02
    assert plain.correlation[0] > 0.3


def test_the_standard_error_is_about_the_spread_of_repeated_estimates() -> None:
    random = np.random.default_rng(13)
    squads, players = 2_000, 12
    attempts, on_target, player = beta_binomial_practices(
        random, rates=np.tile(np.linspace(0.4, 0.8, players), squads), practices=5, strikes=10, correlation=0.15
    )
    result = intraclass_correlation(attempts, on_target, player // players, subject=player, default=0.05)
    assert np.std(result.correlation) == pytest.approx(np.mean(result.standard_error), rel=0.1)


def test_each_group_has_its_own_correlation() -> None:
    swinging, steady = [10, 0, 10, 0], [5, 5, 5, 5]
    result = intraclass_correlation([10] * 8, swinging + steady, [0] * 4 + [1] * 4, default=0.05, fewest_clusters=4)
    assert result.correlation.tolist() == [0.5, 0.0]  # clipped at both ends
    assert result.clusters.tolist() == [4, 4]


def test_too_few_practices_fall_back_to_the_default_and_say_so() -> None:
    result = intraclass_correlation([10] * 29, [5, *range(1, 8)] * 3 + [5] * 5, [0] * 29, default=0.05)
    assert result.is_estimated.tolist() == [False]
    assert result.correlation.tolist() == [0.05]
    assert result.allowed.tolist() == [0.125]
    assert np.isnan(result.standard_error).all()


def test_players_seen_once_do_not_make_the_practices_enough() -> None:
    once = intraclass_correlation([10] * 40, [5, 9] * 20, [0] * 40, subject=np.arange(40), default=0.05)
    twice = intraclass_correlation([10] * 40, [5, 9] * 20, [0] * 40, subject=np.arange(40) // 2, default=0.05)
    assert (once.clusters[0], bool(once.is_estimated[0])) == (0, False)
    assert (twice.clusters[0], bool(twice.is_estimated[0])) == (40, True)


def test_strikes_that_are_all_alike_tell_nothing_of_practices() -> None:
    result = intraclass_correlation([10] * 30, [10] * 30, [0] * 30, default=0.05)
    assert result.is_estimated.tolist() == [False]


def test_practices_without_attempts_are_passed_over() -> None:
    rows = ([10, 0, 10, 0, 10], [9, 0, 2, 0, 5])
    with_empty = intraclass_correlation(*rows, [0] * 5, default=0.05, fewest_clusters=3)
    without = intraclass_correlation([10] * 3, [9, 2, 5], [0] * 3, default=0.05, fewest_clusters=3)
    assert with_empty.correlation == without.correlation
    assert with_empty.clusters == without.clusters


def test_no_rows_give_no_groups() -> None:
    empty = np.array([], dtype=np.int64)
    assert intraclass_correlation(empty, empty, empty, default=0.05).correlation.size == 0
    assert design_effect(empty, empty, empty).size == 0


def test_a_design_effect_of_equal_practices_is_kishs() -> None:
    np.testing.assert_allclose(design_effect([10, 10, 30, 30], [0, 0, 1, 1], 0.05), [1.45, 2.45])


def test_single_strikes_cost_nothing() -> None:
    assert design_effect([1] * 12, [0] * 12, 0.5).tolist() == [1.0]


def test_a_subject_without_strikes_has_a_design_effect_of_one() -> None:
    np.testing.assert_allclose(design_effect([0, 20], [0, 2], 0.1), [1.0, 1.0, 2.9])


@given(
    sizes=st.lists(st.integers(1, 40), min_size=1, max_size=12),
    correlation=st.floats(0, 0.5),
)
def test_a_design_effect_lies_between_one_and_the_largest_practice(sizes: list[int], correlation: float) -> None:
    effect = design_effect(sizes, [0] * len(sizes), correlation)[0]
    assert 1 <= effect <= 1 + (max(sizes) - 1) * correlation + 1e-9


@pytest.mark.parametrize("method", IntervalMethod)
def test_without_clustering_the_interval_is_the_plain_one(method: IntervalMethod) -> None:
    k, n = np.array([0, 3, 10, 42]), np.array([5, 10, 10, 60])
    clustered, plain = clustered_proportion(k, n, 1.0, method=method), proportion(k, n, method=method)
    assert clustered.low.tolist() == plain.low.tolist()
    assert clustered.high.tolist() == plain.high.tolist()


def test_clustering_widens_the_interval_and_keeps_the_plain_counts() -> None:
    clustered, plain = clustered_proportion([0, 42, 60], 60, 1.45), proportion([0, 42, 60], 60)
    assert (clustered.low <= plain.low).all()
    assert (clustered.high >= plain.high).all()
    assert clustered.rate.tolist() == plain.rate.tolist()
    assert clustered.n.tolist() == [60, 60, 60]
    np.testing.assert_allclose(clustered.effective_n, 60 / 1.45)


def test_a_design_effect_below_one_is_refused() -> None:
    with pytest.raises(ValueError, match=r"deff must be at least 1, but is 0\.9"):
        clustered_proportion(1, 2, 0.9)


def test_impossible_rows_are_refused_by_name() -> None:
    with pytest.raises(ValueError, match="on_target must be between 0 and attempts"):
        intraclass_correlation([5], [6], [0], default=0.05)
    with pytest.raises(ValueError, match="group must be codes of at least 0"):
        intraclass_correlation([5], [5], [-1], default=0.05)
    with pytest.raises(ValueError, match="group must hold whole numbers"):
        intraclass_correlation([5], [5], [0.5], default=0.05)
    with pytest.raises(ValueError, match=r"subject must be a flat array of 1 codes"):
        intraclass_correlation([5], [5], [0], subject=[0, 1], default=0.05)
    with pytest.raises(ValueError, match=r"default must be between 0 and 0\.5, but is 0\.7"):
        intraclass_correlation([5], [5], [0], default=0.7)
