"""The likelihood of the aim model, for all subjects at once, with analytic first and second derivatives.

A strike's direction is normal with a *bias* and a *spread*. With ``precision`` = 1 / spread and ``shift`` =
bias / spread the ends of a target of half-angle a lie at ``u = a precision − shift`` and ``v = −a precision − shift``
standard deviations, and the log likelihood of hits and sided misses is concave in (precision, shift), so that Newton's
method finds the one maximum.

Source: Burridge 1981, JRSS B 43:41 (concavity of the likelihood of grouped normal data in these parameters).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import log_ndtr, ndtri

from tracker.stats.checks import BoolArray, FloatArray, IntArray, checked_codes, checked_range

ENOUGH = 1e-11
"""A Newton step that could gain less log likelihood than this is the last."""


@dataclass(frozen=True, kw_only=True, slots=True)
class AimTallies:
    """Counts by subject and distance, one row each; ``subject`` holds codes 0 … subjects − 1."""

    subject: IntArray
    half_angle: FloatArray
    left: FloatArray
    hit: FloatArray
    right: FloatArray
    unsided: FloatArray
    subjects: int

    def total(self, column: FloatArray) -> FloatArray:
        """The sum of a column for each subject; shape (subjects,)."""
        return np.bincount(self.subject, weights=column, minlength=self.subjects).astype(np.float64)

    def of(self, chosen: BoolArray) -> AimTallies:
        """The rows of the chosen subjects, numbered anew; ``chosen`` has shape (subjects,)."""
        rows = chosen[self.subject]
        return AimTallies(
            subject=(np.cumsum(chosen) - 1)[self.subject[rows]],
            half_angle=self.half_angle[rows],
            left=self.left[rows],
            hit=self.hit[rows],
            right=self.right[rows],
            unsided=self.unsided[rows],
            subjects=int(chosen.sum()),
        )


def aim_tallies(
    half_angle: ArrayLike,
    left: ArrayLike,
    hit: ArrayLike,
    right: ArrayLike,
    unsided: ArrayLike,
    *,
    subject: ArrayLike | None,
    subjects: int | None,
) -> AimTallies:
    """The rows as arrays of one length, checked.

    Raises ValueError for an angle outside (0, 180), a count below 0, or codes that do not fit.
    """
    angle = np.atleast_1d(checked_range(half_angle, name="half_angle_deg", least=1e-6, most=179.999999))
    counts = [
        np.broadcast_to(checked_range(column, name=name, least=0.0), angle.shape)
        for name, column in (("left", left), ("hit", hit), ("right", right), ("unsided_miss", unsided))
    ]
    codes = np.zeros(angle.size, dtype=np.int64) if subject is None else subject
    which = checked_codes(codes, name="subject", length=angle.size)
    known = int(which.max()) + 1 if which.size else 0
    if subjects is not None and subjects < known:
        raise ValueError(f"subjects must be at least {known}, but is {subjects}")
    return AimTallies(
        subject=which,
        half_angle=angle,
        left=counts[0],
        hit=counts[1],
        right=counts[2],
        unsided=counts[3],
        subjects=known if subjects is None else subjects,
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class EndDerivatives:
    """Log likelihood of each row and its derivatives by the ends u and v of the target; all (rows,)."""

    value: FloatArray
    u: FloatArray
    v: FloatArray
    uu: FloatArray
    uv: FloatArray
    vv: FloatArray


def log_hit_probability(u: FloatArray, v: FloatArray) -> FloatArray:
    """log(Phi(u) − Phi(v)) for u > v, without loss of digits in either tail."""
    flipped = u + v > 0
    upper, lower = log_ndtr(np.where(flipped, -v, u)), log_ndtr(np.where(flipped, -u, v))
    difference: FloatArray = upper + np.log(-np.expm1(lower - upper))
    return difference


def end_derivatives(tallies: AimTallies, u: FloatArray, v: FloatArray) -> EndDerivatives:
    """Log likelihood and derivatives of every row, its target reaching from v to u standard deviations."""
    log_left, log_right, log_hit = log_ndtr(v), log_ndtr(-u), log_hit_probability(u, v)
    log_miss = np.logaddexp(log_left, log_right)
    log_density_u, log_density_v = (-(x**2) / 2 - math.log(math.sqrt(2 * math.pi)) for x in (u, v))
    hit_u, hit_v = np.exp(log_density_u - log_hit), np.exp(log_density_v - log_hit)
    miss_u, miss_v = np.exp(log_density_u - log_miss), np.exp(log_density_v - log_miss)
    right_u, left_v = np.exp(log_density_u - log_right), np.exp(log_density_v - log_left)
    left, hit, right, unsided = tallies.left, tallies.hit, tallies.right, tallies.unsided
    return EndDerivatives(
        value=left * log_left + hit * log_hit + right * log_right + unsided * log_miss,
        u=hit * hit_u - right * right_u - unsided * miss_u,
        v=-hit * hit_v + left * left_v + unsided * miss_v,
        uu=-hit * hit_u * (u + hit_u) - right * right_u * (right_u - u) + unsided * miss_u * (u - miss_u),
        uv=hit * hit_u * hit_v + unsided * miss_u * miss_v,
        vv=hit * hit_v * (v - hit_v) - left * left_v * (v + left_v) - unsided * miss_v * (v + miss_v),
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class AimLikelihood:
    """Log likelihood of each subject with gradient and second derivatives by precision (p) and shift (s)."""

    value: FloatArray
    p: FloatArray
    s: FloatArray
    pp: FloatArray
    ps: FloatArray
    ss: FloatArray

    def of(self, chosen: BoolArray) -> AimLikelihood:
        """The values of the chosen subjects."""
        return AimLikelihood(**{name: getattr(self, name)[chosen] for name in ("value", "p", "s", "pp", "ps", "ss")})

    def where(self, better: BoolArray, other: AimLikelihood) -> AimLikelihood:
        """These values where ``better``, those of the other elsewhere."""
        pairs = {name: (getattr(self, name), getattr(other, name)) for name in ("value", "p", "s", "pp", "ps", "ss")}
        return AimLikelihood(**{name: np.where(better, *pair) for name, pair in pairs.items()})


def aim_likelihood(tallies: AimTallies, precision: FloatArray, shift: FloatArray) -> AimLikelihood:
    """The log likelihood of every subject at its precision and shift; arguments of shape (subjects,)."""
    angle = tallies.half_angle
    reach, moved = angle * precision[tallies.subject], shift[tallies.subject]
    ends = end_derivatives(tallies, reach - moved, -reach - moved)
    return AimLikelihood(
        value=tallies.total(ends.value),
        p=tallies.total(angle * (ends.u - ends.v)),
        s=tallies.total(-(ends.u + ends.v)),
        pp=tallies.total(angle**2 * (ends.uu - 2 * ends.uv + ends.vv)),
        ps=tallies.total(-angle * (ends.uu - ends.vv)),
        ss=tallies.total(ends.uu + 2 * ends.uv + ends.vv),
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class AimMaximum:
    """Where the likelihood of each subject is largest, and the derivatives there."""

    precision: FloatArray
    shift: FloatArray
    likelihood: AimLikelihood

    def of(self, chosen: BoolArray) -> AimMaximum:
        """The maxima of the chosen subjects."""
        return AimMaximum(
            precision=self.precision[chosen], shift=self.shift[chosen], likelihood=self.likelihood.of(chosen)
        )


def maximum_likelihood(tallies: AimTallies, *, shift_is_free: BoolArray, most_steps: int = 200) -> AimMaximum:
    """Newton's method with halved steps for every subject; ``shift`` stays 0 where it is not free.

    Every subject needs hits and misses, and misses on either side where its shift is free; the maximum then exists.
    Raises ValueError when it is not found in ``most_steps``.
    """
    precision, shift = _first_guess(tallies, shift_is_free)
    here = aim_likelihood(tallies, precision, shift)
    share = np.ones(tallies.subjects)
    for _ in range(most_steps):
        step_p, step_s = _newton_step(here, shift_is_free)
        gain = here.p * step_p + here.s * step_s
        if not np.any(moving := gain > ENOUGH):
            return AimMaximum(precision=precision, shift=shift, likelihood=here)
        next_precision = np.where(moving, np.maximum(precision + share * step_p, precision / 4), precision)
        next_shift = np.where(moving, shift + share * step_s, shift)
        there = aim_likelihood(tallies, next_precision, next_shift)
        better = there.value >= here.value - 1e-13 * np.abs(here.value)
        precision, shift = np.where(better, next_precision, precision), np.where(better, next_shift, shift)
        here = there.where(better, here)
        share = np.where(better, 1.0, share / 2)
    raise ValueError(f"no maximum of the likelihood found for {int(moving.sum())} subjects")


def _first_guess(tallies: AimTallies, shift_is_free: BoolArray) -> tuple[FloatArray, FloatArray]:
    """Precision and shift that would give each subject's shares of left, hit and right at its mean half-angle."""
    left, hit, right, unsided = (tallies.total(x) for x in (tallies.left, tallies.hit, tallies.right, tallies.unsided))
    attempts = left + hit + right + unsided
    angle = (
        tallies.total(tallies.half_angle * (tallies.left + tallies.hit + tallies.right + tallies.unsided)) / attempts
    )
    even = ~shift_is_free
    misses = attempts - hit
    right_share = np.where(even, misses / 2, misses * right / np.maximum(left + right, 1e-300)) / attempts
    left_share = np.where(even, misses / 2, misses * left / np.maximum(left + right, 1e-300)) / attempts
    u, v = -ndtri(right_share), ndtri(left_share)
    return (u - v) / (2 * angle), np.where(even, 0.0, -(u + v) / 2)


def _newton_step(here: AimLikelihood, shift_is_free: BoolArray) -> tuple[FloatArray, FloatArray]:
    """The step towards the maximum. Where the surface is not hollow downwards its second derivatives are bent so."""
    ps, ss = np.where(shift_is_free, here.ps, 0.0), np.where(shift_is_free, here.ss, -1.0)
    gradient_s = np.where(shift_is_free, here.s, 0.0)
    hollow = (here.pp < 0) & (ss < 0) & (here.pp * ss > ps**2)
    pp, ss, ps = (
        np.where(hollow, here.pp, -np.abs(here.pp)),
        np.where(hollow, ss, -np.abs(ss)),
        np.where(hollow, ps, 0.0),
    )
    determinant = pp * ss - ps**2
    return (-(ss * here.p - ps * gradient_s) / determinant, -(pp * gradient_s - ps * here.p) / determinant)
