"""The first set of the day against later sets: skill kept since last time against skill warmed up today."""

from __future__ import annotations

from numpy.typing import ArrayLike

from tracker.stats.stratified import StratifiedDifference, stratified_difference


def first_set_difference(
    first_on_target: ArrayLike,
    first_attempts: ArrayLike,
    later_on_target: ArrayLike,
    later_attempts: ArrayLike,
    subject: ArrayLike,
    *,
    level: float = 0.95,
) -> StratifiedDifference:
    """First set minus later sets for each subject, paired within practices.

    One row a practice of a subject (a player's foot, integer codes from 0) at one stage: on target and attempts of the
    first set, and of all later sets. A practice is a stratum, so that a good day helps both sides alike and cancels;
    practices with one set only are left out. Below 0 means that the first set of the day is the poorer one.
    Shapes, errors and sources are those of `stratified_difference`.

    >>> warmup = first_set_difference([4, 5, 3], [10, 10, 10], [14, 12, 0], [20, 20, 0], [0, 0, 0])
    >>> int(warmup.strata[0]), round(float(warmup.difference[0]), 2), bool(warmup.high[0] < 0)
    (2, -0.2, False)
    """
    return stratified_difference(first_on_target, first_attempts, later_on_target, later_attempts, subject, level=level)
