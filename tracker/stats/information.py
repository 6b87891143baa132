"""Whom to watch next: what one more set of a player's foot is expected to tell.

Two things make a set worth watching. It may *decide*: carry the readiness score over the ready line. And it may
*narrow*: take away some of what is not known about the rate. Both come from one posterior, a beta distribution that
starts from the squad's spread of skill (``pooling``) and takes in the player's own strikes, old ones at a discount. So
a foot that was never seen, seen long ago, or is close to the line comes first, and one already watched today comes
late, without a rule of its own for each.

Sources: Raiffa & Schlaifer 1961, Applied Statistical Decision Theory (what a sample is expected to tell, before it is
taken); West & Harrison 1997, Bayesian Forecasting and Dynamic Models, chapter 6 (discounting old evidence).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from tracker.stats.checks import FloatArray, IntArray, checked_counts, checked_range
from tracker.stats.ready_line import passage_probabilities
from tracker.stats.score import ScoreLattice

HALF_LIFE_DAYS = 56.0
"""After eight weeks a strike tells half as much about today's rate: a finishing block's length, our own choice."""

DECISION_WEIGHT, NARROWING_WEIGHT = 1.0, 1.0
"""Our own choice: a set certain to decide is worth as much as learning all that the squad's spread leaves open."""


@dataclass(frozen=True, kw_only=True, slots=True)
class SetInformation:
    """What one more set is expected to tell about each player's foot; arrays of shape (feet,).

    ``decision`` is the chance that the set carries the score to the ready line. ``narrowing`` is the variance of the
    rate it is expected to take away, as a share of the variance of the squad's rates. ``information`` is their weighted
    sum, the larger the better worth watching.
    """

    decision: FloatArray
    narrowing: FloatArray
    information: FloatArray


@dataclass(frozen=True, kw_only=True, slots=True)
class SquadSpread:
    """The squad's rates at the stage of each foot: Beta(mean × strength, (1 − mean) × strength); arrays (feet,)."""

    mean: FloatArray
    strength: FloatArray


@dataclass(frozen=True, kw_only=True, slots=True)
class ScoreStanding:
    """How far each foot is from its ready line: whole steps of its lattice; arrays (feet,), one lattice a foot.

    ``can_decide`` is false where no set of today can: ready already, or no evidence from an earlier practice.
    """

    lattices: Sequence[ScoreLattice]
    score_steps: IntArray
    line_steps: IntArray
    can_decide: np.ndarray[tuple[int], np.dtype[np.bool_]]


def discounted(counts: ArrayLike, days_ago: ArrayLike, *, half_life_days: float = HALF_LIFE_DAYS) -> FloatArray:
    """Counts at what they still tell today: halved for every half-life that has passed.

    >>> discounted([20, 20, 20], [0, 56, 112]).tolist()
    [20.0, 10.0, 5.0]
    """
    age = checked_range(days_ago, name="days_ago", least=0.0)
    half_life = float(checked_range(half_life_days, name="half_life_days", least=1e-9))
    return np.asarray(checked_range(counts, name="counts", least=0.0) * 0.5 ** (age / half_life))


def set_information(
    attempts: ArrayLike,
    on_target: ArrayLike,
    spread: SquadSpread,
    *,
    set_sizes: ArrayLike,
    attempts_today: ArrayLike,
    correlation: ArrayLike,
    standing: ScoreStanding,
) -> SetInformation:
    """What a set of ``set_sizes`` strikes is expected to tell about each foot; all arrays of shape (feet,).

    ``attempts`` and ``on_target`` are effective and discounted counts at the stage; ``attempts_today`` plain strikes of
    this practice there, which are among them; ``correlation`` that between strikes of one practice. With a posterior
    Beta(a, b) a set worth m separate strikes is expected to take the share m / (a + b + m) of its variance away. The
    worth of n strikes of one practice is n / (1 + (n − 1) r), so that a second set of today tells less than the first.
    Raises ValueError for impossible counts.
    """
    tries, hits = checked_counts(on_target, attempts, k_name="on_target", n_name="attempts")[::-1]
    sizes = checked_range(set_sizes, name="set_sizes", least=1.0)
    today = checked_range(attempts_today, name="attempts_today", least=0.0)
    alike = checked_range(correlation, name="correlation", least=0.0, most=1.0)
    a = hits + spread.mean * spread.strength
    b = tries - hits + (1.0 - spread.mean) * spread.strength
    worth = worth_of_strikes(today + sizes, alike) - worth_of_strikes(today, alike)
    variance = a * b / ((a + b) ** 2 * (a + b + 1.0))
    of_the_squad = spread.mean * (1.0 - spread.mean) / (spread.strength + 1.0)
    narrowing = variance * worth / (a + b + worth) / of_the_squad
    decision = _decision(a, b, alike, sizes, standing)
    return SetInformation(
        decision=decision,
        narrowing=narrowing,
        information=DECISION_WEIGHT * decision + NARROWING_WEIGHT * narrowing,
    )


def worth_of_strikes(strikes: ArrayLike, correlation: ArrayLike) -> FloatArray:
    """How many separate strikes the strikes of one practice are worth.

    >>> worth_of_strikes([0, 1, 10, 20], 0.05).round(2).tolist()
    [0.0, 1.0, 6.9, 10.26]
    """
    n = np.asarray(strikes, dtype=np.float64)
    return np.asarray(n / (1.0 + np.maximum(n - 1.0, 0.0) * np.asarray(correlation, dtype=np.float64)))


def _decision(
    a: FloatArray, b: FloatArray, correlation: FloatArray, set_sizes: FloatArray, standing: ScoreStanding
) -> FloatArray:
    """The chance that each foot's next set reaches the line: exact, by the chain of the score.

    Before the set its rate is uncertain by the posterior, and that of the day by ``correlation`` on top. Both make the
    strikes of the set alike, by 1 / (a + b + 1) and r of what that leaves: an urn with the sum as its correlation.
    """
    unknown = 1.0 / (a + b + 1.0)
    alike = unknown + (1.0 - unknown) * correlation
    chance = np.zeros(a.size)
    for foot in np.flatnonzero(standing.can_decide).tolist():
        score, line, size = int(standing.score_steps[foot]), int(standing.line_steps[foot]), int(set_sizes[foot])
        if score >= line:
            chance[foot] = 1.0
            continue
        passage = passage_probabilities(
            standing.lattices[foot],
            line,
            float(a[foot] / (a[foot] + b[foot])),
            horizon=size,
            correlation=float(alike[foot]),
            strikes_a_practice=size,
            start_steps=score,
        )
        chance[foot] = passage.sum()
    return chance
