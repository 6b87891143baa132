"""The difference of two independent rates: preferred minus other foot, one half of a season minus the other."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike
from scipy import special

from tracker.domain.vocabulary import IntervalMethod
from tracker.stats.checks import FloatArray, checked_counts, checked_level, checked_range
from tracker.stats.proportion import interval, rate_of

HALVINGS = 60


class DifferenceMethod(StrEnum):
    """Intervals for the difference of two rates, numbered as in Newcombe 1998, Stat Med 17:873."""

    NEWCOMBE = "newcombe"  # method 10
    NEWCOMBE_CC = "newcombe-cc"  # method 11
    MIETTINEN_NURMINEN = "miettinen-nurminen"  # method 6
    MEE = "mee"  # method 5


@dataclass(frozen=True, kw_only=True, slots=True)
class Difference:
    """Differences k₁/n₁ − k₂/n₂ with their intervals, arrays of one shape; the counts are the plain ones.

    Where n₁ or n₂ is 0, ``difference`` is NaN and the interval [−1, 1].
    """

    k1: FloatArray
    n1: FloatArray
    k2: FloatArray
    n2: FloatArray
    difference: FloatArray
    low: FloatArray
    high: FloatArray
    level: float
    method: DifferenceMethod


def difference(
    k1: ArrayLike,
    n1: ArrayLike,
    k2: ArrayLike,
    n2: ArrayLike,
    *,
    deff1: ArrayLike = 1.0,
    deff2: ArrayLike = 1.0,
    level: float = 0.95,
    method: DifferenceMethod = DifferenceMethod.NEWCOMBE,
) -> Difference:
    """The difference k₁/n₁ − k₂/n₂ of each pair with a two-sided interval of the given level.

    Counts broadcast together and need not be whole. ``deff1`` and ``deff2`` are design effects: the interval rests on
    counts divided by them. Where both sides share practices and a good day is good for both, it is a little too wide.
    Limits lie in [−1, 1], contain the difference, and change places and signs when the sides are swapped.

    * ``NEWCOMBE``: hybrid score, Newcombe 1998, Stat Med 17:873, method 10; ``NEWCOMBE_CC`` is method 11.
    * ``MIETTINEN_NURMINEN``: Miettinen & Nurminen 1985, Stat Med 4:213, with the variance factor N / (N − 1).
    * ``MEE``: the same without the factor; Mee 1984, Biometrics 40:1175.

    Raises ValueError for k > n, negative counts, NaN, a design effect below 1 or a level outside (0, 1).

    >>> gap = difference(56, 70, 48, 80)
    >>> round(float(gap.difference), 4), round(float(gap.low), 4), round(float(gap.high), 4)
    (0.2, 0.0524, 0.3339)
    """
    checked_level(level)
    sides = (
        *checked_counts(k1, n1, k_name="k1", n_name="n1"),
        *checked_counts(k2, n2, k_name="k2", n_name="n2"),
        checked_range(deff1, name="deff1", least=1.0),
        checked_range(deff2, name="deff2", least=1.0),
    )
    hits1, attempts1, hits2, attempts2, effect1, effect2 = np.broadcast_arrays(*sides)
    effective = (hits1 / effect1, attempts1 / effect1, hits2 / effect2, attempts2 / effect2)
    first, second = tuple(map(np.asarray, effective[:2])), tuple(map(np.asarray, effective[2:]))
    if method in (DifferenceMethod.NEWCOMBE, DifferenceMethod.NEWCOMBE_CC):
        low, high = _hybrid(*first, *second, level=level, method=method)
    else:
        low = _score_lower(*first, *second, level=level, method=DifferenceMethod(method))
        high = -_score_lower(*second, *first, level=level, method=DifferenceMethod(method))
    unknown = (attempts1 == 0) | (attempts2 == 0)
    return Difference(
        k1=hits1,
        n1=attempts1,
        k2=hits2,
        n2=attempts2,
        difference=np.asarray(rate_of(hits1, attempts1) - rate_of(hits2, attempts2)),
        low=np.asarray(np.where(unknown, -1.0, low)),
        high=np.asarray(np.where(unknown, 1.0, high)),
        level=level,
        method=DifferenceMethod(method),
    )


def _hybrid(
    k1: FloatArray, n1: FloatArray, k2: FloatArray, n2: FloatArray, *, level: float, method: DifferenceMethod
) -> tuple[FloatArray, FloatArray]:
    """Newcombe's square-and-add limits from the Wilson limits of each side."""
    one_rate = IntervalMethod.WILSON if method is DifferenceMethod.NEWCOMBE else IntervalMethod.WILSON_CC
    low1, high1 = interval(k1, n1, level=level, method=one_rate)
    low2, high2 = interval(k2, n2, level=level, method=one_rate)
    p1, p2 = rate_of(k1, n1), rate_of(k2, n2)
    low = p1 - p2 - np.hypot(p1 - low1, high2 - p2)
    high = p1 - p2 + np.hypot(high1 - p1, p2 - low2)
    return np.maximum(low, -1.0), np.minimum(high, 1.0)


def _score_lower(
    k1: FloatArray, n1: FloatArray, k2: FloatArray, n2: FloatArray, *, level: float, method: DifferenceMethod
) -> FloatArray:
    """The D below the observed difference d at which (d − D)² = z² V(D), by halving the stretch from −1 to d."""
    z2 = special.ndtri((1.0 - level) / 2.0) ** 2
    with np.errstate(invalid="ignore", divide="ignore"):
        if method is DifferenceMethod.MIETTINEN_NURMINEN:
            # Effective counts of one attempt or less in all know no such factor: the whole interval stays open.
            z2 = z2 * np.where(n1 + n2 > 1.0, (n1 + n2) / (n1 + n2 - 1.0), np.inf)
        observed = k1 / n1 - k2 / n2
        below, above = np.full_like(observed, -1.0), np.array(observed)
        for _ in range(HALVINGS):
            middle = (below + above) / 2.0
            excluded = (observed - middle) ** 2 > z2 * _restricted_variance(k1, n1, k2, n2, middle)
            below, above = np.where(excluded, middle, below), np.where(excluded, above, middle)
    return np.asarray(below)


def _restricted_variance(k1: FloatArray, n1: FloatArray, k2: FloatArray, n2: FloatArray, gap: FloatArray) -> FloatArray:
    """Variance of the difference at the likeliest rates whose difference is ``gap``.

    The rate of the second side is the root of a cubic in closed form: Miettinen & Nurminen 1985, appendix 1.
    """
    n, k = n1 + n2, k1 + k2
    l2 = ((n1 + 2.0 * n2) * gap - n - k) / (3.0 * n)
    l1 = (n2 * gap - n - 2.0 * k2) * gap + k
    l0 = k2 * gap * (1.0 - gap)
    q = l2**3 - l1 * l2 / (2.0 * n) + l0 / (2.0 * n)
    root = np.sqrt(np.maximum(l2**2 - l1 / (3.0 * n), 0.0))
    root = np.where(q > 0, root, -root)
    cosine = np.clip(np.where(root == 0, 1.0, q / root**3), -1.0, 1.0)
    p2 = 2.0 * root * np.cos((np.pi + np.arccos(cosine)) / 3.0) - l2
    p2 = np.clip(p2, np.maximum(0.0, -gap), np.minimum(1.0, 1.0 - gap))
    p1 = p2 + gap
    return np.asarray(p1 * (1.0 - p1) / n1 + p2 * (1.0 - p2) / n2)
