"""One rate and its interval: hits k of n attempts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy import special

from tracker.domain.vocabulary import IntervalMethod
from tracker.stats.checks import FloatArray, checked_counts, checked_level


@dataclass(frozen=True, kw_only=True, slots=True)
class Proportion:
    """Rates with their intervals, arrays of one shape (zero-dimensional for one pair of numbers).

    ``k`` and ``n`` are the plain counts. ``effective_n`` is the number of independent attempts the interval rests on:
    ``n`` itself, unless a design effect was allowed for. Where ``n`` is 0, ``rate`` is NaN and the interval [0, 1].
    """

    k: FloatArray
    n: FloatArray
    effective_n: FloatArray
    rate: FloatArray
    low: FloatArray
    high: FloatArray
    level: float
    method: IntervalMethod


def proportion(
    k: ArrayLike, n: ArrayLike, *, level: float = 0.95, method: IntervalMethod = IntervalMethod.WILSON
) -> Proportion:
    """The rate k/n of each pair with a two-sided interval of the given level.

    ``k`` hits and ``n`` attempts broadcast together and need not be whole numbers. Limits lie in [0, 1]; the lower is
    exactly 0 at k = 0 and the upper exactly 1 at k = n. Raises ValueError for k > n, negative counts, NaN, or a level
    outside (0, 1).

    * ``WILSON``: score interval. Wilson 1927, J Am Stat Assoc 22:209; Newcombe 1998, Stat Med 17:857, method 3.
    * ``WILSON_CC``: the same with continuity correction, method 4 there.
    * ``CLOPPER_PEARSON``: Clopper & Pearson 1934, Biometrika 26:404; method 5 there.
    * ``JEFFREYS``: equal-tailed, lower limit 0 at k = 0 and upper limit 1 at k = n; Brown, Cai & DasGupta 2001,
      Stat Sci 16:101, section 4.1.
    * ``AGRESTI_COULL``: adds z²/2 hits and z² attempts; Agresti & Coull 1998, Am Stat 52:119.

    >>> estimate = proportion(13, 16)
    >>> round(float(estimate.low), 4), round(float(estimate.high), 4)
    (0.5699, 0.9341)
    """
    hits, attempts = checked_counts(k, n)
    low, high = interval(hits, attempts, level=level, method=method)
    return Proportion(
        k=hits,
        n=attempts,
        effective_n=attempts,
        rate=rate_of(hits, attempts),
        low=low,
        high=high,
        level=level,
        method=IntervalMethod(method),
    )


def rate_of(k: FloatArray, n: FloatArray) -> FloatArray:
    """k/n, NaN where n is 0."""
    with np.errstate(invalid="ignore"):
        return np.asarray(k / n)


def interval(k: FloatArray, n: FloatArray, *, level: float, method: IntervalMethod) -> tuple[FloatArray, FloatArray]:
    """Lower and upper limits for counts that were checked already; see `proportion`."""
    tail = (1.0 - checked_level(level)) / 2.0
    with np.errstate(invalid="ignore", divide="ignore"):
        low, high = map(np.asarray, _LIMITS[IntervalMethod(method)](k, n, tail))
    # Also the answer for n = 0, where k = 0 and k = n both hold.
    np.copyto(low, 0.0, where=k == 0)
    np.copyto(high, 1.0, where=k == n)
    return low, high


def _wilson(k: FloatArray, n: FloatArray, tail: float) -> tuple[FloatArray, FloatArray]:
    return wilson_limits(k, n, -special.ndtri(tail))


def wilson_limits(k: FloatArray, n: FloatArray, z: ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Wilson's limits for checked counts with n > 0 at normal quantiles z, which broadcast with the counts."""
    z = np.asarray(z)
    weight = n + z * z
    centre = (k + z * z / 2.0) / weight
    half = z * np.sqrt(k * (n - k) / n + z * z / 4.0) / weight
    return np.asarray(centre - half), np.asarray(centre + half)


def _wilson_cc(k: FloatArray, n: FloatArray, tail: float) -> tuple[FloatArray, FloatArray]:
    # The upper limit is one minus the lower limit of the misses.
    return _wilson_cc_lower(k, n, tail), 1.0 - _wilson_cc_lower(n - k, n, tail)


def _wilson_cc_lower(k: FloatArray, n: FloatArray, tail: float) -> FloatArray:
    z2 = special.ndtri(tail) ** 2
    # Below one whole hit (effective counts) the correction can overshoot: the root is then 0, the limit at most k/n.
    root = np.sqrt(z2 * np.maximum(z2 - 2.0 - 1.0 / n + 4.0 * (k / n) * (n - k + 1.0), 0.0))
    return np.asarray(np.clip((2.0 * k + z2 - 1.0 - root) / (2.0 * (n + z2)), 0.0, k / n))


def _clopper_pearson(k: FloatArray, n: FloatArray, tail: float) -> tuple[FloatArray, FloatArray]:
    return special.betaincinv(k, n - k + 1.0, tail), special.betainccinv(k + 1.0, n - k, tail)


def _jeffreys(k: FloatArray, n: FloatArray, tail: float) -> tuple[FloatArray, FloatArray]:
    return special.betaincinv(k + 0.5, n - k + 0.5, tail), special.betainccinv(k + 0.5, n - k + 0.5, tail)


def _agresti_coull(k: FloatArray, n: FloatArray, tail: float) -> tuple[FloatArray, FloatArray]:
    z = -special.ndtri(tail)
    weight = n + z * z
    centre = (k + z * z / 2.0) / weight
    half = z * np.sqrt(centre * (1.0 - centre) / weight)
    return np.maximum(centre - half, 0.0), np.minimum(centre + half, 1.0)


_LIMITS: dict[IntervalMethod, Callable[[FloatArray, FloatArray, float], tuple[FloatArray, FloatArray]]] = {
    IntervalMethod.WILSON: _wilson,
    IntervalMethod.WILSON_CC: _wilson_cc,
    IntervalMethod.CLOPPER_PEARSON: _clopper_pearson,
    IntervalMethod.JEFFREYS: _jeffreys,
    IntervalMethod.AGRESTI_COULL: _agresti_coull,
}
