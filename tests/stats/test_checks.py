"""Checks of arguments name what is wrong."""

from __future__ import annotations

import numpy as np
import pytest

from tracker.stats.checks import checked_codes, checked_counts, checked_level, checked_range, checked_tallies


def test_counts_broadcast_and_become_floats() -> None:
    k, n = checked_counts([1, 2, 3], 4)
    assert (k.dtype, n.dtype) == (np.float64, np.float64)
    assert n.tolist() == [4, 4, 4]


def test_effective_counts_pass() -> None:
    k, n = checked_counts(0.7, 1.4)
    assert (float(k), float(n)) == (0.7, 1.4)


def test_the_names_of_the_arguments_stand_in_the_message() -> None:
    with pytest.raises(ValueError, match=r"^hits must be between 0 and shots \(3\), but is 4$"):
        checked_counts(4, 3, k_name="hits", n_name="shots")


def test_shapes_that_do_not_match_are_refused() -> None:
    with pytest.raises(ValueError, match="broadcast"):
        checked_counts([1, 2], [3, 3, 3])


def test_a_level_is_a_share_not_a_percentage() -> None:
    assert checked_level(0.95) == 0.95
    with pytest.raises(ValueError, match="level must be above 0 and below 1, but is 95"):
        checked_level(95)


def test_infinite_numbers_are_out_of_range() -> None:
    with pytest.raises(ValueError, match="weight must be at least 0, but is inf"):
        checked_range([1.0, np.inf], name="weight", least=0.0)


def test_codes_are_whole_numbers_from_zero() -> None:
    assert checked_codes([2, 0], name="group", length=2).tolist() == [2, 0]
    with pytest.raises(ValueError, match="group must be a flat array of 3 codes"):
        checked_codes([2, 0], name="group", length=3)


def test_tallies_are_flat() -> None:
    with pytest.raises(ValueError, match="attempts must be a flat array, but has 2 dimensions"):
        checked_tallies([[10]], [[5]])
