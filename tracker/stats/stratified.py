"""Like with like: the difference of two rates within strata of equal difficulty, combined.

A raw difference misleads where one side was struck from nearer, or at easier stages, than the other.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy import special

from tracker.stats.checks import (
    BoolArray,
    FloatArray,
    IntArray,
    checked_codes,
    checked_counts,
    checked_level,
    checked_range,
)
from tracker.stats.difference import Difference, difference
from tracker.stats.proportion import wilson_limits


@dataclass(frozen=True, kw_only=True, slots=True)
class SideRate:
    """One side's rate over the strata struck on both sides, weighted as their difference is, with its interval.

    The interval is the stratified Wilson interval at the full level (Yan & Su 2010). NaN, 0 and 1 without any strata.
    """

    rate: FloatArray
    low: FloatArray
    high: FloatArray


@dataclass(frozen=True, kw_only=True, slots=True)
class StratifiedDifference:
    """Like-for-like differences of two rates, one a subject; arrays of length ``subject.max() + 1``.

    ``strata`` counts the strata struck on both sides: the only ones that can be compared. ``compared1`` and
    ``compared2`` are the attempts in them. Without any, ``difference`` is NaN and the interval [−1, 1].
    ``side1`` and ``side2`` are the weighted rates whose difference it is.
    ``raw`` is the difference of the plain rates over all strata. ``disagrees`` says that the two tell another story:
    one is clear (its interval excludes 0) and the other is not or points the other way.
    """

    difference: FloatArray
    low: FloatArray
    high: FloatArray
    strata: IntArray
    compared1: FloatArray
    compared2: FloatArray
    side1: SideRate
    side2: SideRate
    raw: Difference
    disagrees: BoolArray
    level: float


def stratified_difference(
    k1: ArrayLike,
    n1: ArrayLike,
    k2: ArrayLike,
    n2: ArrayLike,
    subject: ArrayLike,
    *,
    deff1: ArrayLike = 1.0,
    deff2: ArrayLike = 1.0,
    level: float = 0.95,
) -> StratifiedDifference:
    """The Mantel-Haenszel weighted difference k₁/n₁ − k₂/n₂ of each subject over its strata, with its interval.

    One row a stratum of a subject (stage × distance, say); ``subject`` holds integer codes from 0. ``deff1`` and
    ``deff2`` are design effects, one number or one a row: intervals and weights rest on counts divided by them.
    Stratum weights are n₁n₂/(n₁ + n₂) (Mantel & Haenszel 1959); the interval is the stratified Newcombe interval of
    Yan & Su 2010, Stat Biopharm Res 2:329, which for one stratum is Newcombe's. Where every stratum of one side is all
    hits or all misses, which leaves their critical value open, that of equal variances is taken.

    Raises ValueError for impossible counts or codes, a design effect below 1, or a level outside (0, 1).

    >>> gap = stratified_difference([6, 1], [10, 10], [14, 2], [30, 30], [0, 0])
    >>> round(float(gap.difference[0]), 4), round(float(gap.low[0]), 4), round(float(gap.high[0]), 4)
    (0.0833, -0.1318, 0.3224)
    """
    z = -special.ndtri((1.0 - checked_level(level)) / 2.0)
    hits1, tries1 = map(np.atleast_1d, checked_counts(k1, n1, k_name="k1", n_name="n1"))
    hits2, tries2 = map(np.atleast_1d, checked_counts(k2, n2, k_name="k2", n_name="n2"))
    effect1, effect2 = checked_range(deff1, name="deff1", least=1.0), checked_range(deff2, name="deff2", least=1.0)
    columns = np.broadcast_arrays(hits1, tries1, hits2, tries2, effect1, effect2)
    hits1, tries1, hits2, tries2, effect1, effect2 = columns
    codes = checked_codes(subject, name="subject", length=tries1.size)
    length = int(codes.max(initial=-1)) + 1

    def per_subject(values: FloatArray) -> FloatArray:
        return np.bincount(codes, values, minlength=length).astype(np.float64)

    raw = difference(
        *map(per_subject, (hits1, tries1, hits2, tries2)),
        deff1=_mean_effect(per_subject(tries1), per_subject(tries1 * effect1)),
        deff2=_mean_effect(per_subject(tries2), per_subject(tries2 * effect2)),
        level=level,
    )
    both = (tries1 > 0) & (tries2 > 0)
    first = (hits1[both] / effect1[both], tries1[both] / effect1[both])
    second = (hits2[both] / effect2[both], tries2[both] / effect2[both])
    middle, low, high, side1, side2 = _newcombe(first, second, codes[both], z=z, length=length)
    return StratifiedDifference(
        difference=middle,
        low=low,
        high=high,
        strata=np.bincount(codes[both], minlength=length).astype(np.int64),
        compared1=per_subject(np.where(both, tries1, 0.0)),
        compared2=per_subject(np.where(both, tries2, 0.0)),
        side1=side1,
        side2=side2,
        raw=raw,
        disagrees=np.isfinite(middle) & (clear_direction(low, high) != clear_direction(raw.low, raw.high)),
        level=level,
    )


def clear_direction(low: FloatArray, high: FloatArray) -> IntArray:
    """1 where the whole interval is above 0, −1 where it is below, 0 where it contains 0."""
    return np.asarray((low > 0).astype(np.int64) - (high < 0))


def _mean_effect(attempts: FloatArray, inflated: FloatArray) -> FloatArray:
    """Design effects averaged over attempts; 1 where there are none."""
    return np.asarray(np.where(attempts > 0, inflated / np.where(attempts > 0, attempts, 1.0), 1.0)).clip(1.0)


def _newcombe(
    first: tuple[FloatArray, FloatArray],
    second: tuple[FloatArray, FloatArray],
    codes: IntArray,
    *,
    z: float,
    length: int,
) -> tuple[FloatArray, FloatArray, FloatArray, SideRate, SideRate]:
    """(difference, low, high) a subject and its two sides, from effective counts of strata struck on both sides."""

    def per_subject(values: FloatArray) -> FloatArray:
        return np.bincount(codes, values, minlength=length).astype(np.float64)

    (k1, n1), (k2, n2) = first, second
    weight = n1 * n2 / (n1 + n2)
    weight = weight / per_subject(weight)[codes]
    middle = per_subject(weight * (k1 / n1 - k2 / n2))
    low1, high1 = _stratified_wilson(k1, n1, weight, codes, z=z, length=length)
    low2, high2 = _stratified_wilson(k2, n2, weight, codes, z=z, length=length)
    spread1, spread2 = per_subject(weight**2 / n1), per_subject(weight**2 / n2)
    down = z * np.sqrt(spread1 * low1 * (1.0 - low1) + spread2 * high2 * (1.0 - high2))
    up = z * np.sqrt(spread1 * high1 * (1.0 - high1) + spread2 * low2 * (1.0 - low2))
    seen = np.bincount(codes, minlength=length) > 0
    sides = [
        SideRate(
            rate=np.where(seen, per_subject(weight * k / n), np.nan),
            low=np.where(seen, low, 0.0),
            high=np.where(seen, high, 1.0),
        )
        for k, n, low, high in ((k1, n1, low1, high1), (k2, n2, low2, high2))
    ]
    return (
        np.where(seen, middle, np.nan),
        np.where(seen, np.maximum(middle - down, -1.0), -1.0),
        np.where(seen, np.minimum(middle + up, 1.0), 1.0),
        sides[0],
        sides[1],
    )


def _stratified_wilson(
    k: FloatArray, n: FloatArray, weight: FloatArray, codes: IntArray, *, z: float, length: int
) -> tuple[FloatArray, FloatArray]:
    """Limits of the weighted rate of each subject: Yan & Su 2010, section 2."""

    def relative(variance: FloatArray) -> FloatArray:
        total = np.bincount(codes, weight**2 * variance, minlength=length)
        apart = np.bincount(codes, weight * np.sqrt(variance), minlength=length)
        with np.errstate(invalid="ignore"):
            return np.asarray(np.sqrt(total) / apart)

    p = k / n
    ratio = relative(p * (1.0 - p) / n)
    ratio = np.where(np.isfinite(ratio), ratio, relative(1.0 / n))
    low, high = wilson_limits(k, n, z * ratio[codes])
    limits = (np.bincount(codes, weight * limit, minlength=length).clip(0.0, 1.0) for limit in (low, high))
    lowest, highest = limits
    return lowest, highest
