"""The line a score must reach, computed so that a promise about false calls holds.

The promise: a player whose rate is still ``p_not_yet`` is called ready within ``horizon`` strikes with probability
``risk`` at most. Strikes of one practice hang together: a day's own rate is drawn from a beta distribution around the
player's rate, with ``correlation`` between any two strikes of a day. Seen strike by strike that is Polya's urn: after
k hits in n strikes today the next is a hit with probability ``(alpha + k) / (alpha + beta + n)``. So the pair (score,
hits today) is a Markov chain, and the line is found from it without simulation.

Sources: Brook & Evans 1972, Biometrika 59:539 (a cumulative sum as a Markov chain); Johnson & Kotz 1977, Urn Models,
section 4.2 (the urn behind the beta-binomial distribution).
"""

from __future__ import annotations

import functools
import itertools
import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from tracker.stats.checks import FloatArray
from tracker.stats.score import ScoreLattice, score_lattice

DEFAULT_RISK, DEFAULT_HORIZON, DEFAULT_STRIKES_A_PRACTICE = 0.10, 100, 10


@dataclass(frozen=True, kw_only=True, slots=True)
class ReadyLine:
    """The ready line with all it was computed from.

    ``false_ready_risk`` is the probability achieved, at or just under ``risk``; ``line_steps`` the line in whole steps
    of ``lattice``. The two-practice rule is left out of the reckoning; it can only lower the risk.
    """

    p_not_yet: float
    p_ready: float
    risk: float
    horizon: int
    correlation: float
    strikes_a_practice: int
    lattice: ScoreLattice
    line_steps: int
    false_ready_risk: float

    @property
    def line(self) -> float:
        """The ready line in log units."""
        return self.line_steps * self.lattice.step


@dataclass(frozen=True, kw_only=True, slots=True)
class RevisitLine:
    """The line of the falling score: a player who keeps a rate of ``p_kept`` crosses it with ``false_revisit_risk``."""

    p_lost: float
    p_kept: float
    risk: float
    horizon: int
    correlation: float
    strikes_a_practice: int
    lattice: ScoreLattice
    line_steps: int
    false_revisit_risk: float

    @property
    def line(self) -> float:
        """The revisit line in log units."""
        return self.line_steps * self.lattice.step


def ready_line(
    p_not_yet: float,
    p_ready: float,
    *,
    risk: float = DEFAULT_RISK,
    horizon: int = DEFAULT_HORIZON,
    correlation: float = 0.0,
    strikes_a_practice: int = DEFAULT_STRIKES_A_PRACTICE,
) -> ReadyLine:
    """The lowest line that a player at p_not_yet reaches within ``horizon`` strikes with probability ``risk`` at most.

    ``correlation`` is that between two strikes of one practice and ``strikes_a_practice`` how many a player makes there
    with one foot at one stage. Raises ValueError naming the argument that cannot be. Answers are remembered.

    >>> round(ready_line(0.60, 0.80).line, 2), round(ready_line(0.60, 0.80, correlation=0.05).line, 2)
    (4.07, 4.96)
    """
    _check(risk=risk, horizon=horizon, correlation=correlation, strikes_a_practice=strikes_a_practice)
    lattice = score_lattice(float(p_not_yet), float(p_ready))
    line_steps, achieved = _lowest_line(
        lattice, lattice.p_not_yet, float(risk), int(horizon), float(correlation), int(strikes_a_practice)
    )
    return ReadyLine(
        p_not_yet=lattice.p_not_yet,
        p_ready=lattice.p_ready,
        risk=float(risk),
        horizon=int(horizon),
        correlation=float(correlation),
        strikes_a_practice=int(strikes_a_practice),
        lattice=lattice,
        line_steps=line_steps,
        false_ready_risk=achieved,
    )


def revisit_line(
    p_lost: float,
    p_kept: float,
    *,
    risk: float = DEFAULT_RISK,
    horizon: int = DEFAULT_HORIZON,
    correlation: float = 0.0,
    strikes_a_practice: int = DEFAULT_STRIKES_A_PRACTICE,
) -> RevisitLine:
    """The lowest line that the falling score of a player at ``p_kept`` reaches with probability ``risk`` at most.

    The falling score adds what the ready score takes away. It is watched in two places:

    * at a stage the player was moved on from, with ``p_kept`` the stage's p_ready and ``p_lost`` its p_not_yet:
      has the skill gone?
    * at the stage the player was moved on to, with ``p_kept`` the stage's p_not_yet and ``p_lost`` from
      ``too_hard_rate``: has it proved far too hard?

    Raises ValueError naming the argument that cannot be.
    """
    _check(risk=risk, horizon=horizon, correlation=correlation, strikes_a_practice=strikes_a_practice)
    lattice = score_lattice(float(p_lost), float(p_kept)).reversed
    line_steps, achieved = _lowest_line(
        lattice, lattice.p_ready, float(risk), int(horizon), float(correlation), int(strikes_a_practice)
    )
    return RevisitLine(
        p_lost=lattice.p_not_yet,
        p_kept=lattice.p_ready,
        risk=float(risk),
        horizon=int(horizon),
        correlation=float(correlation),
        strikes_a_practice=int(strikes_a_practice),
        lattice=lattice,
        line_steps=line_steps,
        false_revisit_risk=achieved,
    )


def too_hard_rate(p_not_yet: float, p_ready: float) -> float:
    """The rate at which a stage is far too hard: as far below p_not_yet as p_ready is above, but at least half of it.

    >>> round(too_hard_rate(0.50, 0.70), 2)
    0.3
    """
    return max(2 * p_not_yet - p_ready, p_not_yet / 2)


def passage_probabilities(
    lattice: ScoreLattice,
    line_steps: int,
    rate: float,
    *,
    horizon: int,
    correlation: float = 0.0,
    strikes_a_practice: int = DEFAULT_STRIKES_A_PRACTICE,
    start_steps: int = 0,
) -> FloatArray:
    """The probability, at a true rate, that the score first reaches the line at strike 1, 2, … horizon; (horizon,).

    The score starts from ``start_steps``, below the line, at the start of a practice. Exact: no simulation, no rounding
    beyond floating point.
    """
    rises_on_hit = lattice.hit_steps > 0
    up, down = (lattice.hit_steps, -lattice.miss_steps) if rises_on_hit else (lattice.miss_steps, -lattice.hit_steps)
    chance = rate if rises_on_hit else 1 - rate
    urn_size = math.inf if correlation == 0 else 1 / correlation - 1
    memory = 0 if correlation == 0 else strikes_a_practice  # how many rises of today the chain must remember
    rises = np.arange(memory + 1, dtype=np.float64)[:, None]
    state = np.zeros((memory + 1, line_steps))
    state[0, start_steps] = 1.0
    reached = np.empty(horizon)
    for strike in range(horizon):
        today = strike % strikes_a_practice
        if memory and today == 0:
            state[0] = state.sum(axis=0)
            state[1:] = 0.0
        rise = np.minimum((urn_size * chance + rises) / (urn_size + today), 1.0) if memory else np.array([[chance]])
        reached[strike], state = _strike(state, rise, up=up, down=down)
    return reached


def _strike(state: FloatArray, rise: FloatArray, *, up: int, down: int) -> tuple[float, FloatArray]:
    """One strike of the chain: the probability that leaves over the line, and the state (rises today, score) after."""
    rising, falling = state * rise, state * (1 - rise)
    width = state.shape[1]
    after = np.zeros_like(state)
    if up < width:
        if len(state) == 1:
            after[:, up:] = rising[:, :-up]
        else:
            after[1:, up:] = rising[:-1, :-up]
    if down < width:
        after[:, :-down] += falling[:, down:]
    after[:, 0] += falling[:, :down].sum(axis=1)
    return float(rising[:, max(width - up, 0) :].sum()), after


@functools.lru_cache(maxsize=4096)
def _lowest_line(
    lattice: ScoreLattice, rate: float, risk: float, horizon: int, correlation: float, strikes_a_practice: int
) -> tuple[int, float]:
    """The lowest line in steps whose crossing probability at ``rate`` is at most ``risk``, and that probability."""

    @functools.cache
    def crossing(line_steps: int) -> float:
        passage = passage_probabilities(
            lattice,
            line_steps,
            rate,
            horizon=horizon,
            correlation=correlation,
            strikes_a_practice=strikes_a_practice,
        )
        return float(passage.sum())

    guess = max(1, round(math.log(horizon / risk) / 1.7 / lattice.step))
    line_steps = _first_at_most(crossing, risk, guess=guess, fall=lattice.step)
    return line_steps, crossing(line_steps)


def _first_at_most(crossing: Callable[[int], float], risk: float, *, guess: int, fall: float) -> int:
    """The smallest whole number at which the falling function ``crossing`` is at most ``risk``.

    It falls nearly exponentially, by about ``fall`` in its logarithm a step, so the last two looks tell where to look
    next; where that does not close in, the bracket is halved.
    """
    low, high, before = 0, math.inf, (0, math.nan)
    here = guess
    for look in itertools.count():
        excess = math.log(max(crossing(here), 1e-300) / risk)
        low, high = (here, high) if excess > 0 else (low, here)
        if high - low == 1:
            return int(high)
        if look and excess != before[1]:
            fall = max((before[1] - excess) / (here - before[0]), fall / 8)
        before = (here, excess)
        nearest = here + math.ceil(excess / fall) if look < 8 or math.isinf(high) else int(low + high) // 2
        here = int(min(max(nearest, low + 1), high - 1))
    raise AssertionError  # the look-up above ends


def _check(*, risk: float, horizon: int, correlation: float, strikes_a_practice: int) -> None:
    """Refuses values that cannot be, naming the argument."""
    if not 0 < risk < 1:
        raise ValueError(f"risk must lie between 0 and 1, but is {risk}")
    if horizon < 1 or horizon != int(horizon):
        raise ValueError(f"horizon must be a whole number of strikes from 1, but is {horizon}")
    if not 0 <= correlation < 1:
        raise ValueError(f"correlation must be from 0 to below 1, but is {correlation}")
    if strikes_a_practice < 1 or strikes_a_practice != int(strikes_a_practice):
        raise ValueError(f"strikes_a_practice must be a whole number from 1, but is {strikes_a_practice}")
