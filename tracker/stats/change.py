"""Did a player's rate change over a season, judged at like difficulty?

A player who moves up a stage, or steps back from the target, looks worse on the raw rate. The regression of tallies on
time carries stage and distance, so that strikes are compared with strikes of the same kind.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike
from scipy import special

from tracker.stats.checks import FloatArray, IntArray, checked_codes, checked_level, checked_range, checked_tallies
from tracker.stats.logistic import LogisticFit, fit_logistic

FEWEST_PRACTICES = 3


class ChangeVerdict(StrEnum):
    """What may be said of a change."""

    UP = "clearly up"
    DOWN = "clearly down"
    NO_CLEAR_CHANGE = "no clear change"
    TOO_FEW_PRACTICES = "too few practices"
    NOT_SEPARABLE = "difficulty changed with time"  # every stage or distance belongs to a time of its own


@dataclass(frozen=True, kw_only=True, slots=True)
class ChangeEstimate:
    """Rates at the first and at the last practice and their difference, each with its interval.

    ``change`` is end minus start. ``dispersion`` is what the variance was multiplied by. ``p_value`` is two-sided, for
    adjusting many verdicts together and never to be shown. Without a verdict all are NaN and the interval [−1, 1].
    ``is_penalised``: hits and misses were separated, so Firth's likelihood was taken.
    """

    start_rate: float
    start_low: float
    start_high: float
    end_rate: float
    end_low: float
    end_high: float
    change: float
    low: float
    high: float
    dispersion: float
    p_value: float
    verdict: ChangeVerdict
    is_penalised: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class SeasonChange:
    """The change at like difficulty beside the raw one. ``disagrees``: their verdicts differ, so say why."""

    like_for_like: ChangeEstimate
    raw: ChangeEstimate
    disagrees: bool
    practices: int
    attempts: float
    level: float


def season_change(
    attempts: ArrayLike,
    on_target: ArrayLike,
    time: ArrayLike,
    *,
    practice: ArrayLike | None = None,
    stage: ArrayLike | None = None,
    distance_m: ArrayLike | None = None,
    offset: ArrayLike | None = None,
    least_dispersion: float = 1.0,
    level: float = 0.95,
) -> SeasonChange:
    """The change of one player's foot from the first to the last practice.

    One row a tally, flat arrays of one length: counts; ``time`` in days or any unit; ``practice`` integer codes (by
    default each time is a practice). What makes strikes unlike goes in as ``stage`` codes, ``distance_m`` in metres
    (its logarithm is used) and ``offset``, a predicted logit. Start and end are the rates at the difficulty of the
    average strike. Rows without attempts are passed over.

    The regression is quasi-binomial: variances are multiplied by the dispersion of practices around the fit, never
    below ``least_dispersion``; hand it the design effect of the squad's practices, since few practices say little of
    their own dispersion. The quantile is Student's where that dispersion is the player's own, else the normal one.
    Limits of the change combine those of start and end allowing for their correlation, and lie in [−1, 1].

    Fewer than three practices, or one time only: no verdict. Raises ValueError for impossible counts or codes,
    distances that are not positive, or a level outside (0, 1).
    Sources: McCullagh & Nelder 1989, Generalized Linear Models, section 4.5 (dispersion); Zou & Donner 2008, Stat Med
    27:1693 (limits of the difference).

    >>> result = season_change([20] * 4, [8, 10, 13, 15], [0, 14, 28, 42])
    >>> round(result.raw.start_rate, 2), round(result.raw.end_rate, 2), result.raw.verdict.value
    (0.39, 0.75, 'clearly up')
    """
    checked_level(level)
    tries, hits = checked_tallies(attempts, on_target)
    times = np.broadcast_to(checked_range(time, name="time"), tries.shape)
    floor = float(checked_range(least_dispersion, name="least_dispersion", least=1.0))
    codes = np.unique(times, return_inverse=True)[1] if practice is None else practice
    practices = checked_codes(codes, name="practice", length=tries.size)
    covariates, shift = _difficulty(tries, stage=stage, distance_m=distance_m, offset=offset)
    seen = tries > 0
    tries, hits, times = tries[seen], hits[seen], times[seen]
    tallies = _Tallies(attempts=tries, on_target=hits, time=times, practice=practices[seen])
    raw = _estimate(tallies, [], np.zeros_like(tries), floor=floor, level=level)
    like_for_like = raw
    if covariates or offset is not None:
        like_for_like = _estimate(
            tallies, [column[seen] for column in covariates], shift[seen], floor=floor, level=level
        )
    return SeasonChange(
        like_for_like=like_for_like,
        raw=raw,
        disagrees=like_for_like.verdict is not raw.verdict,
        practices=np.unique(tallies.practice).size,
        attempts=float(tries.sum()),
        level=level,
    )


def adjusted_verdict(verdict: ChangeVerdict, adjusted_p_value: float, *, level: float = 0.95) -> ChangeVerdict:
    """The verdict after allowing for many players: *up* and *down* stand only where the adjusted p-value ≤ 1 − level.

    ``adjusted_p_value`` is `benjamini_hochberg`'s.
    """
    is_clear = verdict in (ChangeVerdict.UP, ChangeVerdict.DOWN)
    return ChangeVerdict.NO_CLEAR_CHANGE if is_clear and not adjusted_p_value <= 1.0 - level else verdict


@dataclass(frozen=True, kw_only=True, slots=True)
class _Tallies:
    attempts: FloatArray
    on_target: FloatArray
    time: FloatArray
    practice: IntArray


def _difficulty(
    n: FloatArray, *, stage: ArrayLike | None, distance_m: ArrayLike | None, offset: ArrayLike | None
) -> tuple[list[FloatArray], FloatArray]:
    """(columns, offset) that describe difficulty, each centred on the average strike."""
    columns: list[FloatArray] = []
    if stage is not None:
        stages = checked_codes(stage, name="stage", length=n.size)
        columns += [(stages == one).astype(np.float64) for one in np.unique(stages[n > 0])]
    if distance_m is not None:
        columns.append(np.log(np.broadcast_to(checked_range(distance_m, name="distance_m", least=1e-6), n.shape)))
    shift = np.broadcast_to(checked_range(0.0 if offset is None else offset, name="offset"), n.shape)
    total = max(float(n.sum()), 1.0)
    return [column - (n @ column) / total for column in columns], shift - (n @ shift) / total


def _estimate(
    tallies: _Tallies, covariates: list[FloatArray], offset: FloatArray, *, floor: float, level: float
) -> ChangeEstimate:
    practices = np.unique(tallies.practice).size
    if practices < FEWEST_PRACTICES or np.ptp(tallies.time) == 0.0:
        return _no_verdict(ChangeVerdict.TOO_FEW_PRACTICES)
    elapsed = (tallies.time - tallies.time.min()) / np.ptp(tallies.time)
    ones = np.ones_like(elapsed)
    chosen = [ones]
    for column in covariates:  # a distance that belongs to its stage says nothing new
        chosen = [*chosen, column] if _adds(column, chosen) else chosen
    if not _adds(elapsed, chosen):
        return _no_verdict(ChangeVerdict.NOT_SEPARABLE)
    design = np.column_stack([ones, elapsed, *chosen[1:]])
    fit = fit_logistic(tallies.attempts, tallies.on_target, design, offset=offset)
    own, spare = _dispersion(tallies, fit, practices - design.shape[1])
    dispersion = max(own, floor)
    tail = (1.0 - level) / 2.0
    quantile = -float(special.stdtrit(spare, tail)) if own > floor else -float(special.ndtri(tail))
    return _with_limits(fit, dispersion, quantile, spare if own > floor else None)


def _adds(column: FloatArray, others: list[FloatArray]) -> bool:
    """Whether the column says something that the others do not."""
    scale = np.linalg.norm(column) or 1.0
    return int(np.linalg.matrix_rank(np.column_stack([*others, column / scale]), tol=1e-7)) > len(others)


def _dispersion(tallies: _Tallies, fit: LogisticFit, spare: int) -> tuple[float, int]:
    """Pearson's X² of practices around the fit over its degrees of freedom, and those; 0 where there are none."""
    if spare < 1:
        return 0.0, spare
    practice = np.unique(tallies.practice, return_inverse=True)[1]
    residual = np.bincount(practice, tallies.on_target - tallies.attempts * fit.fitted)
    variance = np.bincount(practice, tallies.attempts * fit.fitted * (1.0 - fit.fitted))
    return float(np.sum(residual**2 / np.maximum(variance, 1e-12))) / spare, spare


def _with_limits(fit: LogisticFit, dispersion: float, quantile: float, spare: int | None) -> ChangeEstimate:
    """Start, end and change from the intercept and the slope, the first two coefficients."""
    covariance = dispersion * fit.covariance[:2, :2]
    contrast = np.array([[1.0, 0.0], [1.0, 1.0]])
    logit = contrast @ fit.coefficients[:2]
    joint = contrast @ covariance @ contrast.T
    error = np.sqrt(np.diag(joint))
    correlation = joint[0, 1] / (error[0] * error[1])
    (start, end), (start_low, end_low), (start_high, end_high) = (
        special.expit(logit + shift * quantile * error) for shift in (0.0, -1.0, 1.0)
    )
    low = end - start - _root(end - end_low, start_high - start, correlation)
    high = end - start + _root(end_high - end, start - start_low, correlation)
    statistic = abs(fit.coefficients[1]) / np.sqrt(covariance[1, 1])
    beyond = special.ndtr(-statistic) if spare is None else special.stdtr(spare, -statistic)
    return ChangeEstimate(
        start_rate=float(start),
        start_low=float(start_low),
        start_high=float(start_high),
        end_rate=float(end),
        end_low=float(end_low),
        end_high=float(end_high),
        change=float(end - start),
        low=float(max(low, -1.0)),
        high=float(min(high, 1.0)),
        dispersion=dispersion,
        p_value=float(2.0 * beyond),
        verdict=_verdict(low, high),
        is_penalised=fit.is_penalised,
    )


def _root(first: float, second: float, correlation: float) -> float:
    """√(a² + b² − 2 r a b): how far a difference may stray whose two sides stray by a and b and correlate by r."""
    return float(np.sqrt(max(first**2 + second**2 - 2.0 * correlation * first * second, 0.0)))


def _verdict(low: float, high: float) -> ChangeVerdict:
    if low > 0.0:
        return ChangeVerdict.UP
    return ChangeVerdict.DOWN if high < 0.0 else ChangeVerdict.NO_CLEAR_CHANGE


def _no_verdict(verdict: ChangeVerdict) -> ChangeEstimate:
    nan = float("nan")
    return ChangeEstimate(
        start_rate=nan,
        start_low=nan,
        start_high=nan,
        end_rate=nan,
        end_low=nan,
        end_high=nan,
        change=nan,
        low=-1.0,
        high=1.0,
        dispersion=nan,
        p_value=nan,
        verdict=verdict,
        is_penalised=False,
    )
