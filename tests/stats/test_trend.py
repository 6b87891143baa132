"""The Cochran-Armitage trend."""

from __future__ import annotations

import numpy as np
import pytest
from statsmodels.stats.contingency_tables import Table

from tracker.stats.trend import cochran_armitage


def test_the_statistic_agrees_with_statsmodels() -> None:
    k, n, scores = np.array([8, 10, 11, 22, 6]), np.array([61, 58, 111, 124, 135]), np.array([1.0, 2, 4, 7, 9])
    trend = cochran_armitage(k, n, scores)
    theirs = Table(np.column_stack([n - k, k])).test_ordinal_association(row_scores=scores, col_scores=np.array([0, 1]))
    assert trend.z_conditional == pytest.approx(theirs.zscore, abs=1e-10)


def test_a_rising_rate_has_a_rising_slope() -> None:
    trend = cochran_armitage([2, 4, 6, 8], 10, [0, 7, 14, 21])
    assert trend.slope == pytest.approx(0.2 / 7)
    assert trend.low > 0
    assert cochran_armitage([8, 6, 4, 2], 10, [0, 7, 14, 21]).z == pytest.approx(-trend.z)


def test_the_unit_of_the_scores_does_not_change_the_test() -> None:
    days, weeks = cochran_armitage([2, 4, 9], 10, [0, 7, 14]), cochran_armitage([2, 4, 9], 10, [0, 1, 2])
    assert days.z == pytest.approx(weeks.z)
    assert 7 * days.slope == pytest.approx(weeks.slope)


@pytest.mark.parametrize(
    ("k", "n", "scores"),
    [([3, 4], [10, 10], [1, 1]), ([0, 0], [10, 10], [1, 2]), ([5, 5], [5, 5], [1, 2]), ([0, 0], [0, 0], [1, 2])],
)
def test_nothing_to_compare_gives_no_trend(k: list[int], n: list[int], scores: list[int]) -> None:
    assert np.isnan(cochran_armitage(k, n, scores).p_value)


def test_scores_must_be_numbers() -> None:
    with pytest.raises(ValueError, match="scores must be"):
        cochran_armitage([1, 2], [3, 3], [1, np.nan])
