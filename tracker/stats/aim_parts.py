"""Do the parts of a player's strikes, such as the stages, share one aim?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import chdtrc

from tracker.stats.aim import AimFit, fit_aim
from tracker.stats.aim_likelihood import aim_tallies
from tracker.stats.checks import FloatArray, IntArray, checked_codes


@dataclass(frozen=True, kw_only=True, slots=True)
class AimParts:
    """Likelihood ratio of one aim a part against one aim a subject; arrays of shape (subjects,).

    ``df`` is the number of parameters the parts have more; where that is none, ``p_value`` is NaN. A small one says
    that bias or spread differ between the parts.
    """

    x2: FloatArray
    df: IntArray
    p_value: FloatArray


def compared_parts(
    half_angle_deg: ArrayLike,
    left: ArrayLike,
    hit: ArrayLike,
    right: ArrayLike,
    unsided_miss: ArrayLike = 0,
    *,
    subject: ArrayLike,
    part: ArrayLike,
) -> AimParts:
    """Whether the parts of each subject's strikes ask for more than one bias and spread.

    Rows as for ``fit_aim``; ``part`` holds codes from 0, a part belonging to one subject. Twice the difference of the
    log likelihoods against chi-squared; rough where a part has few strikes. Raises ValueError as ``fit_aim`` does.
    Source: Wilks 1938, Ann Math Stat 9:60.

    >>> still, volley = [8, 84, 8], [30, 40, 30]
    >>> parts = compared_parts([7.8, 7.8], *zip(still, volley), subject=[0, 0], part=[0, 1])
    >>> parts.df.tolist(), bool(parts.p_value[0] < 0.001)
    ([2], True)
    """
    tallies = aim_tallies(half_angle_deg, left, hit, right, unsided_miss, subject=subject, subjects=None)
    parts = checked_codes(part, name="part", length=tallies.subject.size)
    counts = (tallies.half_angle, tallies.left, tallies.hit, tallies.right, tallies.unsided)
    together = fit_aim(*counts, subject=tallies.subject, subjects=tallies.subjects)
    apart = fit_aim(*counts, subject=parts)
    owner = np.zeros(apart.attempts.size, dtype=np.int64)
    owner[parts] = tallies.subject
    has_strikes = apart.attempts > 0
    likelihood, parameters = (
        np.bincount(owner[has_strikes], values[has_strikes], minlength=tallies.subjects)
        for values in (apart.log_likelihood, _parameters(apart))
    )
    x2 = np.maximum(2 * (likelihood - np.nan_to_num(together.log_likelihood)), 0.0)
    df = np.maximum(parameters.astype(np.int64) - _parameters(together), 0)
    return AimParts(x2=x2, df=df, p_value=np.where(df > 0, chdtrc(np.maximum(df, 1), x2), np.nan))


def _parameters(fit: AimFit) -> IntArray:
    """How many parameters were estimated of each subject."""
    known: IntArray = (fit.attempts > 0).astype(np.int64) + np.isfinite(fit.bias_deg)
    return known
