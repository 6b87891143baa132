"""Many players looked at together."""

from __future__ import annotations

import numpy as np
import pytest
from statsmodels.stats.multitest import multipletests

from tracker.stats.multiplicity import benjamini_hochberg, expected_wrong_ready_calls


def test_adjusted_p_values_agree_with_statsmodels() -> None:
    p_values = np.random.default_rng(1).uniform(size=60) ** 3
    np.testing.assert_allclose(benjamini_hochberg(p_values), multipletests(p_values, method="fdr_bh")[1])


def test_players_without_a_test_do_not_count() -> None:
    with_gaps = benjamini_hochberg([0.01, np.nan, 0.04, np.nan])
    assert with_gaps[[0, 2]].tolist() == benjamini_hochberg([0.01, 0.04]).tolist()
    assert np.isnan(with_gaps[[1, 3]]).all()


def test_nobody_tested_gives_nothing() -> None:
    assert benjamini_hochberg([]).size == 0
    assert np.isnan(benjamini_hochberg([np.nan])).all()


def test_a_p_value_beyond_one_is_refused() -> None:
    with pytest.raises(ValueError, match=r"p_values must be between 0 and 1, but one is 1\.2"):
        benjamini_hochberg([0.5, 1.2])


@pytest.mark.parametrize("truly_ready", [10, 25, 40])
def test_the_expected_wrong_calls_bound_the_wrong_calls_of_many_squads(truly_ready: int) -> None:
    random = np.random.default_rng(4)
    squads, judged, risk, power = 20_000, 40, 0.10, 0.85
    wrong = random.binomial(judged - truly_ready, risk, squads)
    right = random.binomial(truly_ready, power, squads)
    bound = expected_wrong_ready_calls(wrong + right, judged, risk=risk)
    assert wrong.mean() <= bound.mean() + 0.05


def test_where_nobody_is_ready_in_truth_most_calls_are_said_to_be_wrong() -> None:
    calls = np.random.default_rng(4).binomial(40, 0.10, 20_000)  # all of them wrong
    assert expected_wrong_ready_calls(calls, 40, risk=0.10).mean() > 0.75 * calls.mean()


def test_no_ready_call_is_no_wrong_call() -> None:
    assert expected_wrong_ready_calls([0, 30], 30, risk=0.1).tolist() == [0, 0]


def test_more_ready_calls_than_pairs_judged_are_refused() -> None:
    with pytest.raises(ValueError, match="ready must be between 0 and judged"):
        expected_wrong_ready_calls(31, 30, risk=0.1)
    with pytest.raises(ValueError, match="risk must be above 0 and below 1"):
        expected_wrong_ready_calls(1, 30, risk=0)
