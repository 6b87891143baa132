"""What a ready line does to players of every true rate: how often, how soon, and beside the rule of thumb "8 of 10"."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from tracker.stats.checks import BoolArray, FloatArray, IntArray, checked_range
from tracker.stats.readiness import readiness
from tracker.stats.ready_line import ReadyLine, passage_probabilities
from tracker.stats.scoring import scoring
from tracker.stats.stopping import stopping_probabilities

LONGEST_RECKONED = 500
"""Strikes followed; a quantile beyond them is inf."""

SEED = 20260901
LAST_STRIKES, LAST_HITS = 10, 8


@dataclass(frozen=True, kw_only=True, slots=True)
class OperatingCharacteristics:
    """What happens to a player of each true rate; arrays of shape (rates,).

    ``ready_within_horizon`` is a probability; ``mean_strikes``, ``median_strikes`` and ``ninety_percent_strikes`` count
    the strikes to ready (by the last, nine players in ten are ready), inf where that is beyond 500. A simulation keeps
    its ``seed`` and the number of ``runs``; both are None for exact figures.
    """

    line: ReadyLine
    rates: FloatArray
    correlation: float
    strikes_a_practice: int
    ready_within_horizon: FloatArray
    mean_strikes: FloatArray
    median_strikes: FloatArray
    ninety_percent_strikes: FloatArray
    runs: int | None = None
    seed: int | None = None


def operating_characteristics(
    line: ReadyLine, rates: ArrayLike, *, correlation: float = 0.0, strikes_a_practice: int = 10
) -> OperatingCharacteristics:
    """What the line does at each true rate, exactly, by the Markov chain behind it.

    The two-practice rule is left out; with practices too short to reach the line from 0 it changes nothing. The mean
    follows the chain for 500 strikes and from there as a geometric series, whose ratio has settled by then.
    Raises ValueError for a rate outside [0, 1].
    """
    true_rates = np.atleast_1d(checked_range(rates, name="rates", least=0.0, most=1.0))
    ready = np.cumsum(
        [
            passage_probabilities(
                line.lattice,
                line.line_steps,
                float(rate),
                horizon=max(LONGEST_RECKONED, line.horizon),
                correlation=correlation,
                strikes_a_practice=strikes_a_practice,
            )
            for rate in true_rates
        ],
        axis=1,
    )
    return OperatingCharacteristics(
        line=line,
        rates=true_rates,
        correlation=correlation,
        strikes_a_practice=strikes_a_practice,
        ready_within_horizon=ready[:, line.horizon - 1],
        mean_strikes=_mean_strikes(ready, strikes_a_practice),
        median_strikes=_strikes_until(ready, 0.5),
        ninety_percent_strikes=_strikes_until(ready, 0.9),
    )


def simulate_operating_characteristics(
    line: ReadyLine,
    rates: ArrayLike,
    *,
    correlation: float = 0.0,
    strikes_a_practice: int = 10,
    strikes_a_set: int = 1,
    runs: int = 2_000,
    seed: int = SEED,
) -> OperatingCharacteristics:
    """The same by simulation with a fixed seed, by the rule as it is used: the two-practice rule included.

    With ``strikes_a_set`` above 1 each set is called out as a whole, so that the order within it is not known; it must
    divide ``strikes_a_practice``. Mean strikes are inf unless every run was ready within 500 strikes.
    """
    true_rates = np.atleast_1d(checked_range(rates, name="rates", least=0.0, most=1.0))
    generator = np.random.default_rng(seed)
    ready = np.empty((true_rates.size, max(LONGEST_RECKONED, line.horizon)))
    mean = np.empty(true_rates.size)
    for row, rate in enumerate(true_rates):
        hits = simulated_hits(
            generator,
            float(rate),
            runs=runs,
            strikes=ready.shape[1],
            correlation=correlation,
            strikes_a_practice=strikes_a_practice,
        )
        at = _first_ready(line, hits, strikes_a_practice=strikes_a_practice, strikes_a_set=strikes_a_set)
        ready[row] = np.cumsum(np.bincount(at[at > 0], minlength=ready.shape[1] + 1)[1:]) / runs
        mean[row] = at.mean() if np.all(at > 0) else np.inf
    return OperatingCharacteristics(
        line=line,
        rates=true_rates,
        correlation=correlation,
        strikes_a_practice=strikes_a_practice,
        ready_within_horizon=ready[:, line.horizon - 1],
        mean_strikes=mean,
        median_strikes=_strikes_until(ready, 0.5),
        ninety_percent_strikes=_strikes_until(ready, 0.9),
        runs=runs,
        seed=seed,
    )


def simulated_hits(
    generator: np.random.Generator,
    rate: float,
    *,
    runs: int,
    strikes: int,
    correlation: float,
    strikes_a_practice: int,
) -> BoolArray:
    """Hits of ``runs`` players of one true rate whose practices have good and bad days; shape (runs, strikes)."""
    practices = -(-strikes // strikes_a_practice)
    of_the_day = np.full((runs, practices), rate)
    if correlation > 0 and 0 < rate < 1:
        size = 1 / correlation - 1
        of_the_day = generator.beta(rate * size, (1 - rate) * size, size=(runs, practices))
    return generator.random((runs, strikes)) < np.repeat(of_the_day, strikes_a_practice, axis=1)[:, :strikes]


def _first_ready(line: ReadyLine, hits: BoolArray, *, strikes_a_practice: int, strikes_a_set: int) -> IntArray:
    """The strike at which each run is ready by the rule in use, 0 where it is not; shape (runs,)."""
    if strikes_a_practice % strikes_a_set:
        raise ValueError(f"strikes_a_set must divide strikes_a_practice ({strikes_a_practice}), but is {strikes_a_set}")
    runs, strikes = hits.shape
    sets = strikes // strikes_a_set
    hits_a_set = hits[:, : sets * strikes_a_set].reshape(-1, strikes_a_set).sum(axis=1)
    standing = readiness(
        hits_a_set,
        strikes_a_set - hits_a_set,
        np.repeat(np.arange(runs), sets),
        np.tile(np.arange(sets) * strikes_a_set // strikes_a_practice, runs),
        rising=scoring([line], np.zeros(runs * sets, dtype=np.int64)),
    )
    return np.where(standing.ready_row >= 0, (standing.ready_row % sets + 1) * strikes_a_set, 0)


def _strikes_until(ready: FloatArray, share: float) -> FloatArray:
    """The first strike by which a share of players is ready, or inf."""
    reached = ready >= share
    return np.where(reached.any(axis=1), reached.argmax(axis=1) + 1.0, np.inf)


def _mean_strikes(ready: FloatArray, strikes_a_practice: int) -> FloatArray:
    """Mean strikes to ready from the chance to be ready by each strike, the rest of the series taken as geometric."""
    waiting = np.concatenate((np.ones((len(ready), 1)), 1 - ready), axis=1)[:, :-1]  # not ready before each strike
    settled = waiting.shape[1] // strikes_a_practice * strikes_a_practice
    last, before = (
        waiting[:, settled - n * strikes_a_practice : settled - (n - 1) * strikes_a_practice] for n in (1, 2)
    )
    ratio = np.divide(last.sum(axis=1), before.sum(axis=1), where=before.sum(axis=1) > 1e-12, out=np.zeros(len(ready)))
    rest = np.divide(last.sum(axis=1) * ratio, 1 - ratio, where=ratio < 1, out=np.full(len(ready), np.inf))
    mean: FloatArray = waiting[:, :settled].sum(axis=1) + rest
    return np.where(mean > LONGEST_RECKONED, np.inf, mean)


@dataclass(frozen=True, kw_only=True, slots=True)
class RuleComparison:
    """One true rate under four rules: the chance to be called ready.

    ``ready_line`` and ``ready_line_correlated`` are the ready line's within the horizon, with independent strikes and
    with the correlation the line was made for. ``one_look`` is "8 of 10" asked once; ``last_ten`` is "8 of the last 10"
    asked after every set within the horizon. ``median_strikes`` is the ready line's, inf beyond 500.
    """

    rate: float
    ready_line: float
    ready_line_correlated: float
    median_strikes: float
    one_look: float
    last_ten: float


def compare_with_last_ten(
    line: ReadyLine, rates: ArrayLike, *, strikes_a_set: int = 10, runs: int = 20_000, seed: int = SEED
) -> tuple[RuleComparison, ...]:
    """The ready line beside "8 of 10" asked once and "8 of the last 10" asked after every set, one row a true rate.

    The two figures of the ready line and the single look are exact, the repeated look is simulated with independent
    strikes and a fixed seed over the horizon of the line.
    """
    independent = operating_characteristics(line, rates, strikes_a_practice=line.strikes_a_practice)
    correlated = operating_characteristics(
        line, rates, correlation=line.correlation, strikes_a_practice=line.strikes_a_practice
    )
    once = stopping_probabilities([LAST_STRIKES], [LAST_HITS], [LAST_HITS - 1], rates)
    generator = np.random.default_rng(seed)
    rows = []
    for row, rate in enumerate(independent.rates.tolist()):
        repeated = _last_ten(generator, rate, strikes=line.horizon, strikes_a_set=strikes_a_set, runs=runs)
        rows.append(
            RuleComparison(
                rate=rate,
                ready_line=float(independent.ready_within_horizon[row]),
                ready_line_correlated=float(correlated.ready_within_horizon[row]),
                median_strikes=float(independent.median_strikes[row]),
                one_look=float(once.high[row]),
                last_ten=repeated,
            )
        )
    return tuple(rows)


def _last_ten(generator: np.random.Generator, rate: float, *, strikes: int, strikes_a_set: int, runs: int) -> float:
    """The share of runs with 8 hits in the last 10 strikes at the end of some set, independent strikes."""
    hits = np.cumsum(generator.random((runs, strikes)) < rate, axis=1)
    before = np.concatenate((np.zeros((runs, 1), dtype=hits.dtype), hits), axis=1)
    ends = np.arange(strikes_a_set, strikes + 1, strikes_a_set)
    ends = ends[ends >= LAST_STRIKES]
    in_the_last_ten: IntArray = before[:, ends] - before[:, ends - LAST_STRIKES]
    return float(np.mean(np.any(in_the_last_ten >= LAST_HITS, axis=1)))
