"""Small samples borrow from the squad: beta-binomial empirical Bayes.

A player's rate is taken to be drawn from Beta(mean × strength, (1 − mean) × strength), the squad's spread of skill. The
strength is in strikes: a player's own rate weighs n against it. Used for planning, never printed as "the" rate.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike
from scipy import special

from tracker.stats.checks import FloatArray, checked_codes, checked_level, checked_range, checked_tallies

# Twelve points between players of one squad: n / (n + 16) is then the reliability of a rate from n strikes.
DEFAULT_STRENGTH = 16.0
FEWEST_PLAYERS, FEWEST_ATTEMPTS = 8, 20
WEAKEST, STRONGEST = 0.1, 1e4  # a fit beyond the strongest found no spread in skill at all
# Standard error of the logarithm of a strength: of the default (squads range from 10 to 38), and the largest believed.
DEFAULT_LOG_ERROR, LARGEST_LOG_ERROR = 0.5, 3.0


class PoolingMethod(StrEnum):
    """How the squad's mean and strength were found."""

    MAXIMUM_LIKELIHOOD = "maximum likelihood"
    MOMENTS = "moments"
    NORM = "federation norm"
    DEFAULT = "default"


@dataclass(frozen=True, kw_only=True, slots=True)
class GroupNorm:
    """What is usual elsewhere for a group: the mean and strength of players' rates, and the strength of squads'."""

    mean: float
    strength: float
    squad_strength: float


@dataclass(frozen=True, kw_only=True, slots=True)
class PooledRates:
    """Shrunk rates and the squad they lean on.

    Per group, arrays of length ``group.max() + 1``: ``mean`` and ``strength`` (in strikes) of the squad, the
    ``methods`` they come from, and ``weaker_strength``, one standard error below on the logarithmic scale. Per row:
    ``rate`` = (on target + mean × strength) / (attempts + strength), and a credible interval of ``level`` that holds
    the equal-tailed intervals of both strengths.
    """

    mean: FloatArray
    strength: FloatArray
    weaker_strength: FloatArray
    methods: tuple[PoolingMethod, ...]
    rate: FloatArray
    low: FloatArray
    high: FloatArray
    level: float


def pooled_rates(
    attempts: ArrayLike,
    on_target: ArrayLike,
    group: ArrayLike,
    *,
    level: float = 0.80,
    norms: Mapping[int, GroupNorm] | None = None,
    default_strength: float = DEFAULT_STRENGTH,
    fewest_players: int = FEWEST_PLAYERS,
    fewest_attempts: float = FEWEST_ATTEMPTS,
) -> PooledRates:
    """Rates of players shrunk towards their group's (stage and foot), with the group's spread fitted to it.

    One row a player in a group: ``attempts`` and ``on_target`` are counts, plain or effective; ``group`` holds integer
    codes from 0. The fit is by maximum likelihood. Where it finds no spread, the moments are tried (Pearson's X² set
    equal to the players); where they find none either, or where fewer than ``fewest_players`` have at least
    ``fewest_attempts`` strikes, the strength is ``default_strength`` around the mean (Σ on target + ½) / (Σ attempts +
    1). A group of too few players that has one of the ``norms`` (by its code) takes the norm's strength instead, around
    (Σ on target / d + norm's mean × squad strength) / (Σ attempts / d + squad strength), where d is the design effect
    of its players differing as the norm says.

    An interval at the fitted strength alone would take it for known and hold too few of the true rates (0.74 for 0.80
    with squads of sixteen); that the weaker strength mends this is our own calibration, checked by simulation.

    Raises ValueError for impossible counts or codes, a level outside (0, 1) or a default strength that is not positive.
    Sources: Skellam 1948, J R Stat Soc B 10:257 (moments); Griffiths 1973, Biometrics 29:637 (maximum likelihood);
    Efron & Morris 1975, J Am Stat Assoc 70:311 (why shrink).

    >>> squad = pooled_rates([10, 40, 25], [9, 22, 14], [0, 0, 0])
    >>> squad.methods[0].value, squad.rate.round(2).tolist()
    ('default', [0.71, 0.56, 0.58])
    """
    tail = (1.0 - checked_level(level)) / 2.0
    tries, hits = checked_tallies(attempts, on_target)
    groups = checked_codes(group, name="group", length=tries.size)
    prior = float(checked_range(default_strength, name="default_strength", least=1e-9))
    fits = []
    for code in range(int(groups.max(initial=-1)) + 1):
        own = (groups == code) & (tries > 0)
        is_enough = int(np.count_nonzero(tries[own] >= fewest_attempts)) >= fewest_players
        norm = None if is_enough or norms is None else norms.get(code)
        if norm is not None:
            fits.append(_with_norm(norm, tries[own], hits[own]))
        else:
            fits.append(fitted_prior(tries[own], hits[own], default_strength=prior, is_enough=is_enough))
    mean, strength = np.array([fit.mean for fit in fits]), np.array([fit.strength for fit in fits])
    weaker = strength * np.exp([-fit.log_error for fit in fits])
    lows, highs = [], []
    for weight in (weaker, strength):
        a, b = hits + (mean * weight)[groups], tries - hits + ((1.0 - mean) * weight)[groups]
        lows.append(special.betaincinv(a, b, tail))
        highs.append(special.betainccinv(a, b, tail))
    return PooledRates(
        mean=mean,
        strength=strength,
        weaker_strength=weaker,
        methods=tuple(fit.method for fit in fits),
        rate=(hits + (mean * strength)[groups]) / (tries + strength[groups]),
        low=np.minimum(*lows),
        high=np.maximum(*highs),
        level=level,
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class SquadPrior:
    """One group's mean and strength, how they were found, and the standard error of the strength's logarithm."""

    mean: float
    strength: float
    method: PoolingMethod
    log_error: float


def fitted_prior(
    n: FloatArray, k: FloatArray, *, default_strength: float = DEFAULT_STRENGTH, is_enough: bool = True
) -> SquadPrior:
    """The prior of one group, from checked flat arrays of attempts n > 0 and on target k."""
    if is_enough:
        for method, fit in ((PoolingMethod.MAXIMUM_LIKELIHOOD, _likeliest), (PoolingMethod.MOMENTS, _moments)):
            mean, strength = fit(n, k)
            if 0.0 < mean < 1.0 and WEAKEST < strength < STRONGEST:
                error = _log_error(mean, strength, n, k)
                return SquadPrior(mean=mean, strength=strength, method=method, log_error=error)
    mean = (float(k.sum()) + 0.5) / (float(n.sum()) + 1.0)
    return SquadPrior(mean=mean, strength=default_strength, method=PoolingMethod.DEFAULT, log_error=DEFAULT_LOG_ERROR)


def _with_norm(norm: GroupNorm, n: FloatArray, k: FloatArray) -> SquadPrior:
    """The prior of a group too small to speak for itself: the norm, drawn towards what the group did."""
    effect = max(float(n @ (1.0 + (n - 1.0) / (norm.strength + 1.0))) / float(n.sum()), 1.0)
    tries, hits = float(n.sum()) / effect, float(k.sum()) / effect
    mean = (hits + norm.mean * norm.squad_strength) / (tries + norm.squad_strength)
    return SquadPrior(mean=mean, strength=norm.strength, method=PoolingMethod.NORM, log_error=DEFAULT_LOG_ERROR)


def _moments(n: FloatArray, k: FloatArray) -> tuple[float, float]:
    """(mean, strength) that give Pearson's X² its expectation; an infinite strength where there is no spread."""
    mean = float(k.sum() / n.sum())
    variance = mean * (1.0 - mean)
    spare = float(n.sum()) - n.size
    if variance == 0.0 or spare <= 0.0:
        return mean, np.inf
    correlation = (float(n @ (k / n - mean) ** 2) / variance - n.size) / spare
    return mean, 1.0 / correlation - 1.0 if correlation > 0.0 else np.inf


def _likeliest(n: FloatArray, k: FloatArray) -> tuple[float, float]:
    """(mean, strength) of maximum likelihood, NaN where the search fails."""
    from scipy.optimize import minimize  # a sixth of a second to import

    start_mean, start_strength = _moments(n, k)
    start_mean = min(max(start_mean, 0.01), 0.99)
    start = np.array([special.logit(start_mean), np.log(min(max(start_strength, 1.0), 1e3))])
    bounds = [(-15.0, 15.0), (np.log(WEAKEST), np.log(STRONGEST))]
    fit = minimize(
        _minus_log_likelihood,
        start,
        args=(n, k),
        jac=True,
        method="L-BFGS-B",
        bounds=bounds,
        options={"ftol": 1e-15, "gtol": 1e-9, "maxiter": 500},
    )
    logit_mean, log_strength = fit.x
    at_bound = abs(logit_mean) > 14.9 or log_strength > bounds[1][1] - 1e-3
    if at_bound or not np.isfinite(fit.fun):
        return float("nan"), float("nan")
    return float(special.expit(logit_mean)), float(np.exp(log_strength))


def _minus_log_likelihood(point: FloatArray, n: FloatArray, k: FloatArray) -> tuple[float, FloatArray]:
    """The beta-binomial's minus log-likelihood and its gradient in (logit mean, log strength), constants left out."""
    mean, strength = special.expit(point[0]), np.exp(point[1])
    a, b = mean * strength, (1.0 - mean) * strength
    value = np.sum(special.betaln(k + a, n - k + b) - special.betaln(a, b))
    common = special.digamma(strength) - special.digamma(n + strength)
    by_a = np.sum(special.digamma(k + a) - special.digamma(a) + common)
    by_b = np.sum(special.digamma(n - k + b) - special.digamma(b) + common)
    by_logit_mean = (by_a - by_b) * strength * mean * (1.0 - mean)
    return -float(value), -np.array([by_logit_mean, by_a * a + by_b * b])


def _log_error(mean: float, strength: float, n: FloatArray, k: FloatArray) -> float:
    """Standard error of the logarithm of the strength, from the curvature of the likelihood."""
    point, nudge = np.array([special.logit(mean), np.log(strength)]), 1e-4
    curvature = np.array(
        [
            (_minus_log_likelihood(point + step, n, k)[1] - _minus_log_likelihood(point - step, n, k)[1])
            / (2.0 * nudge)
            for step in nudge * np.eye(2)
        ]
    )
    determinant = float(np.linalg.det(curvature))
    if determinant <= 0.0 or curvature[0, 0] <= 0.0:
        return LARGEST_LOG_ERROR  # no maximum here: the moments' answer, of which the likelihood knows nothing
    return min(float(np.sqrt(curvature[0, 0] / determinant)), LARGEST_LOG_ERROR)
