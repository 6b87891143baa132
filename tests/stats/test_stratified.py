"""Like with like: differences within strata of equal difficulty."""

from __future__ import annotations

import numpy as np
import pytest
from statsmodels.stats.contingency_tables import StratifiedTable

from tracker.stats.difference import difference
from tracker.stats.stratified import stratified_difference

# Six strata of one comparison. The package `tern` (tests, checked there against the stratified Newcombe limits of SAS
# PROC FREQ) draws them in R with set.seed(1) and prints 0.25390590, 0.03467969, 0.44544132.
SIX_STRATA = {
    "k1": [8, 2, 6, 4, 5, 5],
    "n1": [9, 5, 7, 4, 7, 8],
    "k2": [3, 2, 3, 6, 3, 3],
    "n2": [6, 5, 8, 12, 4, 5],
}


def test_the_stratified_newcombe_interval_is_that_of_the_reference() -> None:
    gap = stratified_difference(*SIX_STRATA.values(), [0] * 6)
    np.testing.assert_allclose(
        [gap.difference[0], gap.low[0], gap.high[0]], [0.25390590, 0.03467969, 0.44544132], atol=5e-9
    )


def test_the_weights_are_those_of_mantel_and_haenszel() -> None:
    k1, n1, k2, n2 = map(np.array, SIX_STRATA.values())
    by_hand = np.average(k1 / n1 - k2 / n2, weights=n1 * n2 / (n1 + n2))
    assert stratified_difference(k1, n1, k2, n2, [0] * 6).difference[0] == pytest.approx(by_hand)
    # The Mantel-Haenszel test of the same tables points the same way.
    tables = [[[a, b - a], [c, d - c]] for a, b, c, d in zip(k1, n1, k2, n2, strict=True)]
    assert StratifiedTable(tables).oddsratio_pooled > 1


def test_one_stratum_gives_newcombes_interval() -> None:
    random = np.random.default_rng(2)
    n1, n2 = random.integers(1, 40, (2, 500))
    k1, k2 = random.binomial(n1, 0.6), random.binomial(n2, 0.4)
    stratified, plain = stratified_difference(k1, n1, k2, n2, np.arange(500)), difference(k1, n1, k2, n2)
    np.testing.assert_allclose(stratified.low, plain.low, atol=1e-12)
    np.testing.assert_allclose(stratified.high, plain.high, atol=1e-12)
    assert not stratified.disagrees.any()


def test_swapping_the_sides_swaps_and_negates_the_limits() -> None:
    k1, n1, k2, n2 = SIX_STRATA.values()
    there, back = stratified_difference(k1, n1, k2, n2, [0] * 6), stratified_difference(k2, n2, k1, n1, [0] * 6)
    np.testing.assert_allclose([there.low, there.high], [-back.high, -back.low], atol=1e-12)


def test_each_player_is_compared_with_no_one_else() -> None:
    k1, n1, k2, n2 = map(np.array, SIX_STRATA.values())
    player = np.array([0, 0, 1, 1, 3, 3])
    together = stratified_difference(k1, n1, k2, n2, player)
    for code in (0, 1, 3):
        own = player == code
        alone = stratified_difference(k1[own], n1[own], k2[own], n2[own], [0, 0])
        assert (together.low[code], together.high[code]) == (alone.low[0], alone.high[0])
    assert np.isnan(together.difference[2])  # no strikes of player 2
    assert (together.low[2], together.high[2], together.strata[2]) == (-1, 1, 0)


def test_strata_struck_with_one_foot_only_are_left_out() -> None:
    gap = stratified_difference([5, 9], [10, 10], [3, 0], [10, 0], [0, 0])
    alone = stratified_difference([5], [10], [3], [10], [0])
    assert (gap.low[0], gap.high[0]) == (alone.low[0], alone.high[0])
    assert (gap.strata[0], gap.compared1[0], gap.compared2[0]) == (1, 10, 10)
    assert gap.raw.n1[0] == 20


def test_strata_all_hits_on_one_side_and_all_misses_on_the_other_stay_within_bounds() -> None:
    gap = stratified_difference([5, 8], [5, 8], [0, 0], [6, 7], [0, 0])
    assert gap.difference[0] == pytest.approx(1)
    assert 0.4 < gap.low[0] < gap.high[0] <= 1


def test_design_effects_widen_the_interval() -> None:
    k1, n1, k2, n2 = SIX_STRATA.values()
    plain = stratified_difference(k1, n1, k2, n2, [0] * 6)
    clustered = stratified_difference(k1, n1, k2, n2, [0] * 6, deff1=1.5, deff2=1.5)
    assert clustered.difference == pytest.approx(plain.difference)
    assert clustered.low < plain.low < plain.high < clustered.high
    assert clustered.raw.low < plain.raw.low


def test_the_other_foot_striking_from_nearer_hides_a_gap_that_like_distances_show() -> None:
    # Preferred foot mostly from 20 m, other foot mostly from 12 m; at each distance the preferred foot is better.
    preferred_hits, preferred_tries = [34, 72], [40, 160]  # 0.85 at 12 m, 0.45 at 20 m
    other_hits, other_tries = [104, 10], [160, 40]  # 0.65 at 12 m, 0.25 at 20 m
    gap = stratified_difference(preferred_hits, preferred_tries, other_hits, other_tries, [0, 0])
    assert gap.raw.difference[0] == pytest.approx(-0.04)
    assert gap.raw.low[0] < 0 < gap.raw.high[0]
    assert gap.difference[0] == pytest.approx(0.20)
    assert gap.low[0] > 0
    assert gap.disagrees.tolist() == [True]


def test_a_raw_gap_that_is_only_distance_vanishes_at_like_distances() -> None:
    gap = stratified_difference([32, 64], [40, 160], [128, 16], [160, 40], [0, 0])
    assert gap.raw.high[0] < 0
    assert gap.difference[0] == pytest.approx(0)
    assert gap.disagrees.tolist() == [True]


def test_feet_equal_at_every_distance_do_not_disagree() -> None:
    gap = stratified_difference([20, 20], [40, 40], [20, 20], [40, 40], [0, 0])
    assert gap.disagrees.tolist() == [False]


def test_impossible_rows_are_refused_by_name() -> None:
    with pytest.raises(ValueError, match="k2 must be between 0 and n2"):
        stratified_difference([1], [2], [3], [2], [0])
    with pytest.raises(ValueError, match="subject must be a flat array of 1 codes"):
        stratified_difference([1], [2], [1], [2], [0, 1])
    with pytest.raises(ValueError, match="deff1 must be at least 1"):
        stratified_difference([1], [2], [1], [2], [0], deff1=0.5)
