"""Two observers of the same strikes."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from statsmodels.stats.inter_rater import cohens_kappa

from tracker.stats.agreement import Trust, agreement_of_table, observer_agreement


def tables(least: int, most: int) -> st.SearchStrategy[list[list[int]]]:
    return st.lists(st.lists(st.integers(least, most), min_size=3, max_size=3), min_size=3, max_size=3)


@given(tables(0, 3))
def test_kappa_stays_within_its_range_or_is_undecided(table: list[list[int]]) -> None:
    result = agreement_of_table(table)
    assert (result.trust is Trust.UNDECIDED) == np.isnan(result.kappa)
    if result.trust is not Trust.UNDECIDED:
        assert -1 <= result.low <= result.kappa <= result.high <= 1


@given(tables(1, 40))
def test_kappa_and_its_interval_agree_with_statsmodels(table: list[list[int]]) -> None:
    ours, theirs = agreement_of_table(table), cohens_kappa(np.array(table))
    assert ours.kappa == pytest.approx(theirs.kappa, abs=1e-9)
    assert ours.standard_error == pytest.approx(theirs.std_kappa, abs=1e-7)
    assert ours.low == pytest.approx(max(theirs.kappa_low, -1), abs=1e-6)


def test_percent_agreement_stands_beside_kappa() -> None:
    result = agreement_of_table([[19, 10], [6, 256]])
    assert result.agreement.rate == pytest.approx(275 / 291)
    assert result.agreement.low == pytest.approx(0.9125621038)
    assert result.trust is Trust.TRUSTWORTHY


def test_many_alike_outcomes_do_not_make_poor_agreement_trustworthy() -> None:
    result = agreement_of_table([[1, 5], [5, 189]])
    assert result.agreement.rate == pytest.approx(0.95)
    assert result.kappa < 0.2
    assert result.trust is Trust.NOT_YET


def test_one_outcome_throughout_decides_nothing() -> None:
    result = observer_agreement([1] * 20, [1] * 20)
    assert result.agreement.rate == 1
    assert np.isnan(result.kappa)
    assert result.trust is Trust.UNDECIDED


def test_no_strike_seen_twice_decides_nothing() -> None:
    empty = np.array([], dtype=int)
    result = observer_agreement(empty, empty, categories=2)
    assert result.strikes_compared == 0
    assert (result.agreement.low, result.agreement.high) == (0, 1)
    assert result.trust is Trust.UNDECIDED


def test_perfect_agreement_has_kappa_one() -> None:
    result = observer_agreement([0, 1, 1, 0], [0, 1, 1, 0])
    assert (result.kappa, result.high) == (1, 1)


def test_bad_tables_and_codes_are_refused() -> None:
    with pytest.raises(ValueError, match="table must be square"):
        agreement_of_table([[1, 2, 3], [4, 5, 6]])
    with pytest.raises(ValueError, match="table must hold counts"):
        agreement_of_table([[1, -2], [3, 4]])
    with pytest.raises(ValueError, match="second must be a flat array of 2 codes"):
        observer_agreement([0, 1], [0, 1, 1])
    with pytest.raises(ValueError, match="categories must be at least 3"):
        observer_agreement([0, 2], [0, 1], categories=2)
