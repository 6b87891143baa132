"""Which strike in one record is which in the other's."""

from __future__ import annotations

from itertools import combinations, permutations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.stats.pairing import paired_in_time

MOMENTS = st.lists(st.integers(0, 40), max_size=5)


def pairs(first: list[float], second: list[float], *, within: float = 8.0) -> list[tuple[int, int]]:
    ours, theirs = paired_in_time(first, second, within=within)
    return list(zip(ours.tolist(), theirs.tolist(), strict=True))


def test_records_a_little_apart_pair_one_by_one() -> None:
    assert pairs([0, 10, 20], [1, 12, 19]) == [(0, 0), (1, 1), (2, 2)]


def test_a_strike_only_one_observer_saw_stays_alone() -> None:
    assert pairs([0, 10, 20, 30], [1, 21, 31]) == [(0, 0), (2, 1), (3, 2)]


def test_a_lag_of_half_the_time_between_strikes_does_not_lose_one() -> None:
    # Nearest neighbours alone would pair 6 with 4 and 12 with 10, and leave two strikes over.
    assert pairs([0, 6, 12], [4, 10, 16]) == [(0, 0), (1, 1), (2, 2)]


def test_farther_apart_than_allowed_is_no_pair() -> None:
    assert pairs([0], [8]) == [(0, 0)]
    assert pairs([0], [8.001]) == []


def test_the_order_in_which_moments_stand_does_not_matter() -> None:
    assert pairs([20, 0, 10], [12, 19, 1]) == [(1, 2), (2, 0), (0, 1)]


def test_an_empty_record_has_no_pairs() -> None:
    assert pairs([], [1, 2]) == pairs([1, 2], []) == []


def best_by_hand(first: list[int], second: list[int], *, within: int) -> tuple[int, int]:
    """(most pairs, least time between) over every way to pair two short records."""
    ways = [
        (size, sum(abs(a - b) for a, b in zip(chosen, other, strict=True)))
        for size in range(min(len(first), len(second)) + 1)
        for chosen in combinations(first, size)
        for other in permutations(second, size)
        if all(abs(a - b) <= within for a, b in zip(chosen, other, strict=True))
    ]
    most = max(size for size, _ in ways)
    return most, min(time for size, time in ways if size == most)


@given(MOMENTS, MOMENTS, st.integers(0, 12))
def test_no_other_way_makes_more_pairs_or_as_many_in_less_time(
    first: list[int], second: list[int], within: int
) -> None:
    ours, theirs = paired_in_time(first, second, within=within)
    one, other = np.array(first, dtype=float)[ours], np.array(second, dtype=float)[theirs]
    assert (ours.size, np.abs(one - other).sum()) == best_by_hand(first, second, within=within)
    assert len(set(ours.tolist())) == len(set(theirs.tolist())) == ours.size
    assert np.all(np.abs(one - other) <= within)
    assert np.all(np.diff(one) >= 0)
    assert np.all(np.diff(other) >= 0)


def test_bad_arguments_are_refused_by_name() -> None:
    with pytest.raises(ValueError, match="first must be"):
        paired_in_time([np.nan], [1], within=8)
    with pytest.raises(ValueError, match="within must be at least 0"):
        paired_in_time([1], [1], within=-1)
