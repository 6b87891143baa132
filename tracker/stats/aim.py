"""Aim: where a player's strikes go, as a bias and a spread in degrees, and what that promises at another target.

The direction of a strike, seen from the ball and measured from the middle of the target, is normal with a *bias*
(above 0: to the right) and a *spread* (standard deviation). A target showing the half-angle a is hit with probability
``Phi((a − bias) / spread) − Phi((−a − bias) / spread)``. Strikes over or short miss for another reason than direction
and are left out.

Sources: Gelman & Nolan 2002, Teaching Statistics 24:93 (the model, for putting); Cox & Hinkley 1974, Theoretical
Statistics, section 9.3 (profile likelihood).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import chdtri, expit, log_ndtr, ndtr, ndtri

from tracker.stats.aim_likelihood import (
    AimMaximum,
    AimTallies,
    aim_tallies,
    log_hit_probability,
    maximum_likelihood,
)
from tracker.stats.aim_profile import bias_limits, one_sided_limit, spread_limits
from tracker.stats.checks import BoolArray, FloatArray, IntArray, checked_level

HALF_A_STRIKE = 0.5


class AimCase(StrEnum):
    """What a subject's strikes can tell. All but the first two give a bound, or nothing."""

    BIAS_AND_SPREAD = "bias and spread"
    """Misses on either side and hits: everything is estimated."""

    ONE_SIDE = "one side"
    """Sided misses on one side only. The other side is given half a strike, shared over the distances like the
    attempts; without it the likelihood rises without end towards a spread of 0 and a bias at the post."""

    SPREAD_ONLY = "spread only"
    """No miss has a side: the bias is taken as 0."""

    ALL_HIT = "all hit"
    """The likelihood is highest at a spread of 0: it has only an upper bound, and the bias is unknown."""

    NONE_HIT = "none hit"
    """The likelihood is highest at an endless spread: it has only a lower bound, and the bias is unknown."""

    NO_STRIKES = "no strikes"
    """Nothing to go by: every figure is NaN."""


@dataclass(frozen=True, kw_only=True, slots=True)
class AimPrediction:
    """The chance to hit a target, 0 to 1, with its interval; arrays of shape (subjects,)."""

    rate: FloatArray
    low: FloatArray
    high: FloatArray
    half_angle_deg: float
    level: float


@dataclass(frozen=True, kw_only=True, slots=True)
class AimFit:
    """Bias and spread of each subject in degrees, with profile-likelihood limits; arrays of shape (subjects,).

    ``case`` holds values of AimCase and says which figures exist. A bias that is not estimated is NaN with limits NaN;
    a spread of 0 or inf comes with one bound. ``covariance`` is that of (1 / spread, bias / spread), (subjects, 2, 2).
    """

    attempts: IntArray
    bias_deg: FloatArray
    bias_low: FloatArray
    bias_high: FloatArray
    spread_deg: FloatArray
    spread_low: FloatArray
    spread_high: FloatArray
    log_likelihood: FloatArray
    covariance: FloatArray
    case: NDArray[np.str_]
    level: float

    def predict(self, width_m: float, distance_m: float, offset_m: float = 0.0) -> AimPrediction:
        """The chance to hit a target of this width from this distance, all lengths in metres.

        ``distance_m`` is perpendicular to the line of the target and ``offset_m`` sideways from its centre; the player
        aims at the middle of the angle the target shows. Limits by the delta method on the logit scale; where only the
        spread is known or bounded (bias 0), by carrying its limits over.
        Raises ValueError for a width or distance not above 0.
        """
        angle = float(target_half_angle_deg(width_m, distance_m, offset_m))
        rate = hit_probability(angle, np.nan_to_num(self.bias_deg), self.spread_deg)
        low, high = (hit_probability(angle, 0.0, spread) for spread in (self.spread_high, self.spread_low))
        both = ~np.isnan(self.bias_deg)
        low[both], high[both] = self._delta_limits(angle, both)
        return AimPrediction(rate=rate, low=low, high=high, half_angle_deg=angle, level=self.level)

    def _delta_limits(self, angle: float, chosen: BoolArray) -> tuple[FloatArray, FloatArray]:
        """Limits of the hit probability of the chosen subjects, from the covariance of the two parameters."""
        precision, shift = 1 / self.spread_deg[chosen], self.bias_deg[chosen] / self.spread_deg[chosen]
        u, v = angle * precision - shift, -angle * precision - shift
        density_u, density_v = (np.exp(-(x**2) / 2) / np.sqrt(2 * np.pi) for x in (u, v))
        slope = np.stack([angle * (density_u + density_v), density_v - density_u], axis=-1)
        variance = np.einsum("ni,nij,nj->n", slope, self.covariance[chosen], slope)
        log_hit = log_hit_probability(u, v)
        log_miss = np.logaddexp(log_ndtr(v), log_ndtr(-u))
        logit, standard_error = log_hit - log_miss, np.sqrt(variance) * np.exp(-log_hit - log_miss)
        z = ndtri((1 + self.level) / 2)
        return expit(logit - z * standard_error), expit(logit + z * standard_error)


def target_half_angle_deg(width_m: ArrayLike, distance_m: ArrayLike, offset_m: ArrayLike = 0.0) -> FloatArray:
    """Half the angle in degrees that a target shows from the ball; arguments in metres, broadcast.

    Raises ValueError for a width or distance not above 0.

    >>> target_half_angle_deg([3.66], 12.0).round(3)
    array([8.671])
    """
    width, distance, offset = (np.asarray(x, dtype=np.float64) for x in (width_m, distance_m, offset_m))
    for name, values in (("width_m", width), ("distance_m", distance)):
        if not np.all(values > 0):
            raise ValueError(f"{name} must be above 0")
    angle: FloatArray = np.degrees(np.arctan2(width * distance, distance**2 + offset**2 - width**2 / 4)) / 2
    return angle


def hit_probability(half_angle: ArrayLike, bias_deg: ArrayLike, spread_deg: ArrayLike) -> FloatArray:
    """The chance to hit a target of a half-angle, all in degrees, broadcast. A spread of 0 or inf is allowed.

    >>> hit_probability([8.67, 8.67], 0.0, [5.0, 10.0]).round(3)
    array([0.917, 0.614])
    """
    angle, bias, spread = np.broadcast_arrays(
        *(np.asarray(x, dtype=np.float64) for x in (half_angle, bias_deg, spread_deg))
    )
    certain = np.where(np.abs(bias) < angle, 1.0, 0.0)
    divisor = np.where(spread == 0, 1.0, spread)
    chance = ndtr((angle - bias) / divisor) - ndtr((-angle - bias) / divisor)
    return np.where(spread == 0, certain, chance)


def fit_aim(
    half_angle_deg: ArrayLike,
    left: ArrayLike,
    hit: ArrayLike,
    right: ArrayLike,
    unsided_miss: ArrayLike = 0,
    *,
    subject: ArrayLike | None = None,
    subjects: int | None = None,
    level: float = 0.95,
) -> AimFit:
    """Bias and spread of every subject by maximum likelihood, with profile-likelihood intervals.

    One row a subject and distance, shape (rows,): the half-angle in degrees the target shows from there, strikes
    missed to the left, on target, missed to the right, and missed on a side nobody noted, which count with the
    probability of a miss. ``subject`` holds codes from 0 (a player's foot); without it all rows are one subject.
    What is done when strikes cannot tell both figures is said at AimCase.
    Raises ValueError for an angle outside (0, 180), a count below 0, or codes that do not fit.

    >>> fit = fit_aim([8.7], [12], [70], [18])
    >>> fit.bias_deg.round(2), fit.spread_deg.round(2)
    (array([1.08]), array([8.32]))
    """
    level = checked_level(level)
    tallies = aim_tallies(half_angle_deg, left, hit, right, unsided_miss, subject=subject, subjects=subjects)
    left_n, hit_n, right_n, unsided_n = (
        tallies.total(x) for x in (tallies.left, tallies.hit, tallies.right, tallies.unsided)
    )
    attempts, sided = left_n + hit_n + right_n + unsided_n, left_n + right_n
    case = np.select(
        [attempts == 0, hit_n == attempts, hit_n == 0, sided == 0, (left_n == 0) | (right_n == 0)],
        [AimCase.NO_STRIKES, AimCase.ALL_HIT, AimCase.NONE_HIT, AimCase.SPREAD_ONLY, AimCase.ONE_SIDE],
        AimCase.BIAS_AND_SPREAD,
    ).astype(np.str_)
    shape, drop = tallies.subjects, float(chdtri(1, 1 - level)) / 2
    figures = {name: np.full(shape, np.nan) for name in _FIGURES}
    covariance = np.full((shape, 2, 2), np.nan)
    fitted = np.isin(case, [AimCase.BIAS_AND_SPREAD, AimCase.ONE_SIDE, AimCase.SPREAD_ONLY])
    if fitted.any():
        chosen = _with_half_a_strike(tallies, attempts, case).of(fitted)
        shift_is_free = case[fitted] != AimCase.SPREAD_ONLY
        best = maximum_likelihood(chosen, shift_is_free=shift_is_free)
        for name, values in _estimates(chosen, best, shift_is_free=shift_is_free, drop=drop).items():
            figures[name][fitted] = values
        covariance[fitted] = _covariance(best, shift_is_free)
    for one_sided, missed in ((case == AimCase.ALL_HIT, False), (case == AimCase.NONE_HIT, True)):
        if one_sided.any():
            bound = one_sided_limit(tallies.of(one_sided), drop=drop, missed=missed)
            figures["spread_deg"][one_sided] = np.inf if missed else 0.0
            figures["spread_low"][one_sided] = bound if missed else 0.0
            figures["spread_high"][one_sided] = np.inf if missed else bound
            figures["log_likelihood"][one_sided] = 0.0
    return AimFit(attempts=np.rint(attempts).astype(np.int64), covariance=covariance, case=case, level=level, **figures)


_FIGURES = (
    "bias_deg", "bias_low", "bias_high", "spread_deg", "spread_low", "spread_high", "log_likelihood",
)  # fmt: skip


def _with_half_a_strike(tallies: AimTallies, attempts: FloatArray, case: NDArray[np.str_]) -> AimTallies:
    """The tallies with half a strike on the side that has none, shared over the rows like the attempts."""
    strikes = tallies.left + tallies.hit + tallies.right + tallies.unsided
    share = HALF_A_STRIKE * strikes / np.maximum(attempts, 1.0)[tallies.subject]
    lacking = case == AimCase.ONE_SIDE
    no_left = (lacking & (tallies.total(tallies.left) == 0))[tallies.subject]
    no_right = (lacking & (tallies.total(tallies.right) == 0))[tallies.subject]
    return AimTallies(
        subject=tallies.subject,
        half_angle=tallies.half_angle,
        left=tallies.left + share * no_left,
        hit=tallies.hit,
        right=tallies.right + share * no_right,
        unsided=tallies.unsided,
        subjects=tallies.subjects,
    )


def _estimates(
    tallies: AimTallies, best: AimMaximum, *, shift_is_free: BoolArray, drop: float
) -> dict[str, FloatArray]:
    """Estimates and limits in degrees, by the name of the field of AimFit."""
    spread = spread_limits(tallies, best, shift_is_free=shift_is_free, drop=drop)
    bias = {name: np.full(tallies.subjects, np.nan) for name in ("bias_deg", "bias_low", "bias_high")}
    if shift_is_free.any():
        limits = bias_limits(tallies.of(shift_is_free), best.of(shift_is_free), drop=drop)
        bias["bias_low"][shift_is_free], bias["bias_high"][shift_is_free] = limits.low, limits.high
        bias["bias_deg"][shift_is_free] = (best.shift / best.precision)[shift_is_free]
    return bias | {
        "spread_deg": 1 / best.precision,
        "spread_low": spread.low,
        "spread_high": spread.high,
        "log_likelihood": best.likelihood.value,
    }


def _covariance(best: AimMaximum, shift_is_free: BoolArray) -> FloatArray:
    """Covariance of (precision, shift) from the observed information; the shift's part is 0 where it is not free."""
    likelihood = best.likelihood
    information = np.stack(
        [
            np.stack([-likelihood.pp, -likelihood.ps * shift_is_free], axis=-1),
            np.stack([-likelihood.ps * shift_is_free, np.where(shift_is_free, -likelihood.ss, 1.0)], axis=-1),
        ],
        axis=-2,
    )
    covariance: FloatArray = np.linalg.inv(information)
    covariance[~shift_is_free, 1, 1] = 0.0
    return covariance
