"""One rate and its interval."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest
from statsmodels.stats.proportion import proportion_confint

from tracker.domain.vocabulary import IntervalMethod
from tracker.stats.proportion import proportion

LIBRARY_NAMES = {
    IntervalMethod.WILSON: "wilson",
    IntervalMethod.CLOPPER_PEARSON: "beta",
    IntervalMethod.JEFFREYS: "jeffreys",
    IntervalMethod.AGRESTI_COULL: "agresti_coull",
}


@st.composite
def counts(draw: st.DrawFn) -> tuple[int, int]:
    n = draw(st.integers(1, 400))
    return draw(st.integers(0, n)), n


@pytest.mark.parametrize("method", LIBRARY_NAMES)
def test_ten_thousand_intervals_agree_with_statsmodels(method: IntervalMethod) -> None:
    random = np.random.default_rng(3)
    n = random.integers(1, 300, 10_000)
    k = random.binomial(n, random.uniform(size=n.size))
    k, n = k[(k > 0) & (k < n)], n[(k > 0) & (k < n)]  # at the edges Jeffreys follows Brown, Cai & DasGupta instead
    for level in (0.5, 0.8, 0.95, 0.999):
        ours = proportion(k, n, level=level, method=method)
        low, high = proportion_confint(k, n, alpha=1 - level, method=LIBRARY_NAMES[method])
        np.testing.assert_allclose(ours.low, np.clip(low, 0, 1), atol=1e-12)
        np.testing.assert_allclose(ours.high, np.clip(high, 0, 1), atol=1e-12)


def test_the_continuity_correction_agrees_with_scipy() -> None:
    for k, n in [(0, 20), (1, 29), (15, 148), (20, 20), (1, 1)]:
        ours = proportion(k, n, method=IntervalMethod.WILSON_CC)
        theirs = binomtest(k, n).proportion_ci(method="wilsoncc")
        assert (ours.low, ours.high) == (pytest.approx(theirs.low, abs=1e-12), pytest.approx(theirs.high, abs=1e-12))


@pytest.mark.parametrize("method", IntervalMethod)
def test_ten_thousand_random_intervals_keep_their_promises(method: IntervalMethod) -> None:
    random = np.random.default_rng(7)
    n = random.integers(0, 500, 10_000)
    k = random.binomial(n, random.uniform(size=n.size))
    for level in random.uniform(0.5, 0.999, 5):
        estimate = proportion(k, n, level=level, method=method)
        assert (estimate.low >= 0).all()
        assert (estimate.high <= 1).all()
        seen = n > 0
        assert (estimate.low[seen] <= estimate.rate[seen]).all()
        assert (estimate.rate[seen] <= estimate.high[seen]).all()


@pytest.mark.parametrize("method", IntervalMethod)
@given(n=st.integers(1, 200), level=st.floats(0.01, 0.9999))
def test_one_more_hit_never_lowers_a_limit(method: IntervalMethod, n: int, level: float) -> None:
    estimate = proportion(np.arange(n + 1), n, level=level, method=method)
    assert (np.diff(estimate.low) >= -1e-12).all()
    assert (np.diff(estimate.high) >= -1e-12).all()


@pytest.mark.parametrize("method", IntervalMethod)
@given(count=counts(), level=st.floats(0.01, 0.9999))
def test_hits_and_misses_mirror_each_other(method: IntervalMethod, count: tuple[int, int], level: float) -> None:
    k, n = count
    hits = proportion(k, n, level=level, method=method)
    misses = proportion(n - k, n, level=level, method=method)
    assert hits.low == pytest.approx(1 - misses.high, abs=1e-10)


@pytest.mark.parametrize("method", IntervalMethod)
def test_no_hit_and_no_miss_close_the_interval_exactly(method: IntervalMethod) -> None:
    estimate = proportion([0, 7, 0, 1e5], [7, 7, 1e5, 1e5], method=method)
    assert estimate.low[[0, 2]].tolist() == [0.0, 0.0]
    assert estimate.high[[1, 3]].tolist() == [1.0, 1.0]


@pytest.mark.parametrize("method", IntervalMethod)
def test_nothing_seen_leaves_everything_open(method: IntervalMethod) -> None:
    estimate = proportion(0, 0, method=method)
    assert np.isnan(estimate.rate)
    assert (estimate.low, estimate.high) == (0.0, 1.0)


@pytest.mark.parametrize("method", IntervalMethod)
def test_effective_counts_need_not_be_whole(method: IntervalMethod) -> None:
    estimate = proportion([0.3, 4.5, 6.9], [0.7, 6.9, 6.9], method=method)
    assert ((estimate.low >= 0) & (estimate.low < estimate.high) & (estimate.high <= 1)).all()


def test_the_result_keeps_counts_level_and_method() -> None:
    estimate = proportion([7, 3], 10, level=0.8, method=IntervalMethod.JEFFREYS)
    assert estimate.k.tolist() == [7, 3]
    assert estimate.n.tolist() == estimate.effective_n.tolist() == [10, 10]
    assert (estimate.level, estimate.method) == (0.8, IntervalMethod.JEFFREYS)


@pytest.mark.parametrize(
    ("k", "n", "message"),
    [
        (11, 10, r"k must be between 0 and n \(10\), but is 11"),
        (-1, 10, r"k must be between 0 and n \(10\), but is -1"),
        (float("nan"), 10, "k must be .* but is nan"),
        (0, -1, "n must be .* but is -1"),
        (0, float("nan"), "n must be .* but is nan"),
        (0, float("inf"), "n must be .* but is inf"),
        ([1, 2, 9], [3, 3, 3], r"k must be between 0 and n \(3\), but is 9"),
    ],
)
def test_impossible_counts_are_refused_by_name(k: float, n: float, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        proportion(k, n)


@pytest.mark.parametrize("level", [0.0, 1.0, -0.5, 95.0, float("nan")])
def test_an_impossible_level_is_refused_by_name(level: float) -> None:
    with pytest.raises(ValueError, match="level must be above 0 and below 1"):
        proportion(1, 2, level=level)


def test_an_unknown_method_is_refused() -> None:
    with pytest.raises(ValueError, match="wald"):
        proportion(1, 2, method="wald")  # type: ignore[arg-type]
