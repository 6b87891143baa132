"""Does a rate rise or fall along ordered scores? The simple check beside the regression in ``change``."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy import special

from tracker.stats.checks import FloatArray, checked_counts, checked_level, checked_range


@dataclass(frozen=True, kw_only=True, slots=True)
class Trend:
    """A Cochran-Armitage trend. ``slope`` is in rate per unit of the scores, with a Wald interval of ``level``.

    ``z`` is the test statistic, above 0 where the rate rises; ``z_conditional`` the same with fixed margins, smaller by
    √((N − 1)/N). ``p_value`` is two-sided, for further computing only. All are NaN where the test has nothing to say:
    one score only, or no attempt, no hit or no miss at all.
    """

    slope: float
    low: float
    high: float
    z: float
    z_conditional: float
    p_value: float
    level: float


def cochran_armitage(k: ArrayLike, n: ArrayLike, scores: ArrayLike, *, level: float = 0.95) -> Trend:
    """The trend of the rates k/n along ``scores`` (days since the first practice, say); flat arrays of one length.

    Sources: Cochran 1954, Biometrics 10:417; Armitage 1955, Biometrics 11:375; Mantel 1963, J Am Stat Assoc 58:690
    (conditional version). Raises ValueError for impossible counts, scores that are not finite, or a bad level.

    >>> trend = cochran_armitage([83, 90, 129, 70], [86, 93, 136, 82], [1, 2, 3, 4])
    >>> round(trend.z**2, 4), round(trend.p_value, 6)
    (8.2249, 0.004132)
    """
    quantile = -special.ndtri((1.0 - checked_level(level)) / 2.0)
    hits, tries = checked_counts(k, n)
    places = np.broadcast_to(checked_range(scores, name="scores"), tries.shape)
    seen = tries > 0
    hits, tries, places = hits[seen], tries[seen], places[seen]
    total = tries.sum()
    if not seen.any() or hits.sum() in (0.0, total) or np.ptp(places) == 0:
        nan = float("nan")
        return Trend(slope=nan, low=nan, high=nan, z=nan, z_conditional=nan, p_value=nan, level=level)
    slope, null_error, error = _slope(hits, tries, places)
    z = slope / null_error
    return Trend(
        slope=slope,
        low=slope - quantile * error,
        high=slope + quantile * error,
        z=z,
        z_conditional=z * float(np.sqrt((total - 1.0) / total)),
        p_value=float(2.0 * special.ndtr(-abs(z))),
        level=level,
    )


def _slope(k: FloatArray, n: FloatArray, scores: FloatArray) -> tuple[float, float, float]:
    """The least-squares slope, and its standard errors if there were no trend and as the rates are."""
    centred = scores - (n @ scores) / n.sum()
    squares = float(n @ centred**2)
    overall, rates = k.sum() / n.sum(), k / n
    error = np.sqrt((n * centred**2) @ (rates * (1.0 - rates))) / squares
    return float(k @ centred) / squares, float(np.sqrt(overall * (1.0 - overall) / squares)), float(error)
