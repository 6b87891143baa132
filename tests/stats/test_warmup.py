"""The first set of the day against later sets."""

from __future__ import annotations

import numpy as np
import pytest

from tracker.stats.warmup import first_set_difference


def test_a_cold_first_set_shows_even_when_days_swing() -> None:
    good_and_bad_days = np.tile([0.8, 0.3], 10)
    first, later = np.round(10 * (good_and_bad_days - 0.2)), np.round(20 * good_and_bad_days)
    warmup = first_set_difference(first, 10, later, 20, np.zeros(20, dtype=int))
    assert warmup.difference[0] == pytest.approx(-0.2)
    assert warmup.high[0] < 0


def test_a_day_with_one_set_tells_nothing() -> None:
    warmup = first_set_difference([7], [10], [0], [0], [0])
    assert np.isnan(warmup.difference[0])
    assert warmup.strata[0] == 0


def test_days_that_differ_in_length_do_not_pass_for_a_warm_up_effect() -> None:
    # Long practices happened to be good days: raw, later sets look better; within practices they are not.
    warmup = first_set_difference([8, 3, 3, 3], [10] * 4, [64, 3, 3, 3], [80, 10, 10, 10], [0] * 4)
    assert warmup.raw.high[0] < 0
    assert warmup.difference[0] == pytest.approx(0)
    assert warmup.disagrees.tolist() == [True]
