"""Profile-likelihood limits of bias and spread, for all subjects at once.

A value belongs to the interval when the likelihood with that value held, the other parameter at its best, is within a
chi-squared quantile of the maximum. With the spread held the likelihood is concave in the shift, with the bias held in
the precision, so the inner maximum is found by Newton's method inside a bracket.

Source: Venzon & Moolgavkar 1988, Applied Statistics 37:87 (profile-likelihood intervals).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from scipy.special import log_ndtr

from tracker.stats.aim_likelihood import AimMaximum, AimTallies, end_derivatives, log_hit_probability
from tracker.stats.checks import BoolArray, FloatArray

MOST_ROUNDS = 60
CLOSE_ENOUGH = 1e-7  # of the square root of twice the log likelihood
NOTHING_TO_GAIN = 1e-10  # log likelihood

Line: TypeAlias = Callable[[FloatArray], tuple[FloatArray, FloatArray, FloatArray]]
"""Value, slope and curvature of each subject's log likelihood along one parameter."""


@dataclass(frozen=True, kw_only=True, slots=True)
class ProfileLimits:
    """Limits of one parameter; each (subjects,)."""

    low: FloatArray
    high: FloatArray


def spread_limits(tallies: AimTallies, best: AimMaximum, *, shift_is_free: BoolArray, drop: float) -> ProfileLimits:
    """Limits of the spread: where the profile log likelihood is ``drop`` below its maximum."""
    likelihood = best.likelihood
    ps, ss = np.where(shift_is_free, likelihood.ps, 0.0), np.where(shift_is_free, likelihood.ss, -1.0)
    information = ps**2 / ss - likelihood.pp
    unit = 1 / (best.precision * np.sqrt(information))  # standard error of log(spread)

    def profile(log_spread: FloatArray, start: FloatArray) -> tuple[FloatArray, FloatArray]:
        precision = np.exp(-log_spread)

        def along(shift: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
            shift = np.where(shift_is_free, shift, 0.0)
            reach, moved = tallies.half_angle * precision[tallies.subject], shift[tallies.subject]
            ends = end_derivatives(tallies, reach - moved, -reach - moved)
            slope = np.where(shift_is_free, -tallies.total(ends.u + ends.v), 0.0)
            return tallies.total(ends.value), slope, tallies.total(ends.uu + 2 * ends.uv + ends.vv)

        return _highest(along, start)

    centre = -np.log(best.precision)
    low, high = (
        _limit(profile, centre, side * unit, start=best.shift, top=likelihood.value, drop=drop) for side in (-1, 1)
    )
    return ProfileLimits(low=np.exp(low), high=np.exp(high))


def bias_limits(tallies: AimTallies, best: AimMaximum, *, drop: float) -> ProfileLimits:
    """Limits of the bias; the shift of every subject must be free."""
    likelihood = best.likelihood
    bias = best.shift / best.precision
    # By the chain rule: the variance of shift / precision from the information about both.
    determinant = likelihood.pp * likelihood.ss - likelihood.ps**2
    variance = -(likelihood.pp + 2 * bias * likelihood.ps + bias**2 * likelihood.ss) / determinant
    unit = np.sqrt(np.maximum(variance, 1e-12)) / best.precision

    def profile(held: FloatArray, start: FloatArray) -> tuple[FloatArray, FloatArray]:
        ends_at = held[tallies.subject]
        to_u, to_v = tallies.half_angle - ends_at, -tallies.half_angle - ends_at

        def along(log_precision: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
            precision = np.exp(log_precision)
            at = precision[tallies.subject]
            ends = end_derivatives(tallies, to_u * at, to_v * at)
            slope = tallies.total(to_u * ends.u + to_v * ends.v) * precision
            bend = tallies.total(to_u**2 * ends.uu + 2 * to_u * to_v * ends.uv + to_v**2 * ends.vv) * precision**2
            return tallies.total(ends.value), slope, bend + slope

        return _highest(along, start)

    low, high = (
        _limit(profile, bias, side * unit, start=np.log(best.precision), top=likelihood.value, drop=drop)
        for side in (-1, 1)
    )
    return ProfileLimits(low=low, high=high)


def one_sided_limit(tallies: AimTallies, *, drop: float, missed: bool) -> FloatArray:
    """The bound of the spread for subjects who always hit (an upper one) or always missed (a lower one), bias 0."""
    counts = tallies.left + tallies.right + tallies.unsided if missed else tallies.hit
    smallest, largest = np.full(tallies.subjects, -20.0), np.full(tallies.subjects, 20.0)
    for _ in range(MOST_ROUNDS):
        log_spread = (smallest + largest) / 2
        reach = tallies.half_angle * np.exp(-log_spread)[tallies.subject]
        log_chance = np.log(2) + log_ndtr(-reach) if missed else log_hit_probability(reach, -reach)
        inside = tallies.total(counts * log_chance) >= -drop
        grow = ~inside if missed else inside
        smallest, largest = np.where(grow, log_spread, smallest), np.where(grow, largest, log_spread)
    bound: FloatArray = np.exp((smallest + largest) / 2)
    return bound


def _highest(along: Line, start: FloatArray) -> tuple[FloatArray, FloatArray]:
    """The largest value along one parameter and where it is, by Newton's method kept inside a bracket."""
    here, low, high = start, np.full(start.shape, -np.inf), np.full(start.shape, np.inf)
    for _ in range(MOST_ROUNDS):
        value, slope, bend = along(here)
        low, high = np.where(slope > 0, here, low), np.where(slope < 0, here, high)
        newton = slope / np.maximum(-bend, np.abs(slope) + 1e-300)  # no step is longer than 1
        settled = np.abs(slope * newton) < NOTHING_TO_GAIN
        if settled.all():
            break
        there = here + newton
        outside = (there <= low) | (there >= high)
        bracketed = np.isfinite(low) & np.isfinite(high)
        middle = np.where(bracketed, np.where(bracketed, low, 0.0) / 2 + np.where(bracketed, high, 0.0) / 2, there)
        here = np.where(settled, here, np.where(outside, middle, there))
    return value, here


def _limit(
    profile: Callable[[FloatArray, FloatArray], tuple[FloatArray, FloatArray]],
    centre: FloatArray,
    unit: FloatArray,
    *,
    start: FloatArray,
    top: FloatArray,
    drop: float,
) -> FloatArray:
    """The distance from the maximum, along ``unit``, at which the profile has fallen by ``drop``.

    The square root of the fall is close to a straight line, so the secant through the bracket's ends, with the end that
    stays halved (Illinois rule), needs a few rounds only.
    """
    target = np.sqrt(2 * drop)
    near, near_miss = np.zeros(centre.shape), np.full(centre.shape, -target)
    far, far_miss = np.full(centre.shape, np.inf), np.full(centre.shape, np.inf)
    was_beyond = np.zeros(centre.shape, dtype=bool)
    now, nuisance = np.full(centre.shape, target), start
    for _ in range(MOST_ROUNDS):
        value, nuisance = profile(centre + now * unit, nuisance)
        miss = np.sqrt(2 * np.maximum(top - value, 0.0)) - target
        if np.all(np.abs(miss) < CLOSE_ENOUGH):
            break
        beyond = miss > 0
        again = beyond == was_beyond
        near_miss = np.where(beyond, np.where(again, near_miss / 2, near_miss), miss)
        far_miss = np.where(beyond, miss, np.where(again & np.isfinite(far), far_miss / 2, far_miss))
        near, far, was_beyond = np.where(beyond, near, now), np.where(beyond, now, far), beyond
        bracketed = np.isfinite(far)
        between = near - near_miss * np.where(bracketed, far - near, 0.0) / np.where(
            bracketed, far_miss - near_miss, 1.0
        )
        wider = now * np.clip(target / np.maximum(miss + target, 1e-3), 1.2, 3.0)
        now = np.where(np.abs(miss) < CLOSE_ENOUGH, now, np.where(bracketed, between, wider))
    return centre + now * unit
