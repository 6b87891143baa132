"""The difference of two independent rates."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar
from scipy.stats import norm
from statsmodels.stats.proportion import confint_proportions_2indep

from tracker.stats.difference import DifferenceMethod, difference

counts = st.integers(0, 60).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))


@pytest.mark.parametrize("method", DifferenceMethod)
@given(first=counts, second=counts, level=st.floats(0.5, 0.999))
def test_swapping_the_sides_swaps_and_negates_the_limits(
    method: DifferenceMethod, first: tuple[int, int], second: tuple[int, int], level: float
) -> None:
    there = difference(*first, *second, level=level, method=method)
    back = difference(*second, *first, level=level, method=method)
    assert (there.low, there.high) == (-back.high, -back.low)


@pytest.mark.parametrize("method", DifferenceMethod)
def test_random_intervals_lie_within_bounds_and_contain_the_difference(method: DifferenceMethod) -> None:
    random = np.random.default_rng(5)
    n1, n2 = random.integers(1, 80, (2, 3_000))
    k1, k2 = random.binomial(n1, random.uniform(size=n1.size)), random.binomial(n2, random.uniform(size=n2.size))
    for level in (0.5, 0.95):
        gap = difference(k1, n1, k2, n2, level=level, method=method)
        assert ((gap.low >= -1) & (gap.high <= 1)).all()
        assert ((gap.low <= gap.difference) & (gap.difference <= gap.high)).all()


def test_newcombe_agrees_with_statsmodels() -> None:
    for pair in [(56, 70, 48, 80), (9, 10, 3, 10), (5, 56, 1, 29)]:
        gap = difference(*pair)
        theirs = confint_proportions_2indep(*pair, method="newcomb", compare="diff")
        np.testing.assert_allclose([gap.low, gap.high], theirs, atol=1e-12)


@pytest.mark.parametrize("pair", [(56, 70, 48, 80), (9, 10, 3, 10), (0, 10, 3, 20), (10, 10, 0, 20), (4, 7, 29, 31)])
@pytest.mark.parametrize("method", [DifferenceMethod.MEE, DifferenceMethod.MIETTINEN_NURMINEN])
def test_at_a_score_limit_the_likelihood_itself_gives_the_quantile(
    method: DifferenceMethod, pair: tuple[int, int, int, int]
) -> None:
    # statsmodels cannot referee here: its restricted rates are wrong (confint_proportions_2indep, method="score").
    k1, n1, k2, n2 = pair
    limit = float(difference(*pair, method=method).low)

    def minus_log_likelihood(p2: float) -> float:
        p = np.array([p2 + limit, p2])
        k, n = np.array([k1, k2]), np.array([n1, n2])
        return -float(np.sum(np.log(np.maximum(p, 1e-300)) * k + np.log(np.maximum(1 - p, 1e-300)) * (n - k)))

    p2 = minimize_scalar(
        minus_log_likelihood, bounds=(max(0, -limit), min(1, 1 - limit)), method="bounded", options={"xatol": 1e-10}
    ).x
    p1 = p2 + limit
    variance = p1 * (1 - p1) / n1 + p2 * (1 - p2) / n2
    if method is DifferenceMethod.MIETTINEN_NURMINEN:
        variance *= (n1 + n2) / (n1 + n2 - 1)
    score = (k1 / n1 - k2 / n2 - limit) / np.sqrt(variance)
    assert score == pytest.approx(norm.ppf(0.975), rel=1e-4)


@pytest.mark.parametrize("method", DifferenceMethod)
def test_a_foot_never_used_leaves_the_gap_open(method: DifferenceMethod) -> None:
    gap = difference([7, 0], [10, 0], [0, 3], [0, 5], method=method)
    assert np.isnan(gap.difference).all()
    assert gap.low.tolist() == [-1, -1]
    assert gap.high.tolist() == [1, 1]


@pytest.mark.parametrize("method", DifferenceMethod)
def test_design_effects_widen_the_interval_and_keep_the_plain_counts(method: DifferenceMethod) -> None:
    plain = difference(40, 60, 25, 50, method=method)
    clustered = difference(40, 60, 25, 50, deff1=1.6, deff2=1.3, method=method)
    by_hand = difference(40 / 1.6, 60 / 1.6, 25 / 1.3, 50 / 1.3, method=method)
    assert clustered.low < plain.low < plain.high < clustered.high
    assert (clustered.low, clustered.high) == (by_hand.low, by_hand.high)
    assert (clustered.k1, clustered.n1, clustered.difference) == (40, 60, plain.difference)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ((11, 10, 1, 2), r"k1 must be between 0 and n1 \(10\), but is 11"),
        ((1, 10, 3, 2), r"k2 must be between 0 and n2 \(2\), but is 3"),
        ((1, 10, 3, -2), "n2 must be .* but is -2"),
    ],
)
def test_impossible_counts_are_refused_by_name(arguments: tuple[int, int, int, int], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        difference(*arguments)


def test_an_impossible_level_is_refused() -> None:
    for method in DifferenceMethod:
        with pytest.raises(ValueError, match="level"):
            difference(1, 2, 1, 2, level=1.5, method=method)
