"""How well the aim model follows the hits at each distance."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import chdtrc

from tracker.stats.aim import AimFit, hit_probability
from tracker.stats.aim_likelihood import aim_tallies
from tracker.stats.checks import FloatArray, IntArray


@dataclass(frozen=True, kw_only=True, slots=True)
class AimGoodness:
    """Pearson's X² of hits by distance against the fit; arrays of shape (subjects,), ``expected_rate`` (rows,).

    ``df`` is the number of distances less the parameters estimated; where that leaves none, ``p_value`` is NaN.
    """

    x2: FloatArray
    df: IntArray
    p_value: FloatArray
    expected_rate: FloatArray


def goodness_of_fit(
    fit: AimFit,
    half_angle_deg: ArrayLike,
    left: ArrayLike,
    hit: ArrayLike,
    right: ArrayLike,
    unsided_miss: ArrayLike = 0,
    *,
    subject: ArrayLike | None = None,
) -> AimGoodness:
    """How well the fitted rates follow the hits at each distance; the rows are those the fit was made from.

    A large X² for its degrees of freedom says that the spread changes with the distance, or that something other than
    direction decides. Raises ValueError as ``fit_aim`` does.
    """
    subjects = fit.attempts.size
    tallies = aim_tallies(half_angle_deg, left, hit, right, unsided_miss, subject=subject, subjects=subjects)
    which = tallies.subject
    rate = hit_probability(tallies.half_angle, np.nan_to_num(fit.bias_deg)[which], fit.spread_deg[which])
    strikes = tallies.left + tallies.hit + tallies.right + tallies.unsided
    variance = strikes * rate * (1 - rate)
    x2 = tallies.total(np.divide((tallies.hit - strikes * rate) ** 2, variance, where=variance > 0, out=0 * variance))
    parameters = np.isfinite(fit.bias_deg).astype(np.int64) + 1
    df = np.maximum(tallies.total((strikes > 0).astype(np.float64)).astype(np.int64) - parameters, 0)
    p_value = np.where(df > 0, chdtrc(np.maximum(df, 1), x2), np.nan)
    return AimGoodness(x2=x2, df=df, p_value=p_value, expected_rate=rate)
