"""Rules that look at the hits after given numbers of strikes and stop: what they decide and how long it takes, exactly.

A single look ("8 of 10"), a look cut short ("14 of 20, stop when it is settled"), several looks, and a sequential
probability ratio test are all such rules. Independent strikes.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from tracker.stats.checks import FloatArray, checked_range


@dataclass(frozen=True, kw_only=True, slots=True)
class StoppingProbabilities:
    """What a rule does by true rate; each of shape (rates,). ``high + low + undecided`` is 1."""

    rates: FloatArray
    high: FloatArray
    low: FloatArray
    undecided: FloatArray
    mean_strikes: FloatArray


def stopping_probabilities(
    looks: ArrayLike, upper: ArrayLike, lower: ArrayLike, rates: ArrayLike
) -> StoppingProbabilities:
    """The chance that hits are at ``upper`` or more, or at ``lower`` or fewer, at the first look where either holds.

    ``looks`` are the numbers of strikes after which is looked, rising; ``upper`` and ``lower`` have one limit a look
    (above the look, or below 0, means that side cannot stop there). Who is between them at the last look is undecided.
    Exact, by carrying the distribution of hits from strike to strike.
    Raises ValueError for looks that do not rise from 1, limits that cross, or rates outside [0, 1].

    >>> once = stopping_probabilities([10], [8], [7], [0.5])  # 8 of 10, one look
    >>> once.high.round(4)
    array([0.0547])
    """
    look_at, high_from, low_to = (np.asarray(x, dtype=np.int64) for x in (looks, upper, lower))
    p = np.atleast_1d(checked_range(rates, name="rates", least=0.0, most=1.0))
    if look_at.ndim != 1 or look_at.size == 0 or look_at[0] < 1 or np.any(np.diff(look_at) <= 0):
        raise ValueError("looks must be whole numbers that rise from at least 1")
    if not look_at.shape == high_from.shape == low_to.shape:
        raise ValueError("upper and lower must have one limit a look")
    if np.any(low_to >= high_from):
        raise ValueError("lower must be below upper at every look")
    hits = np.arange(look_at[-1] + 1)
    alive = np.zeros((p.size, hits.size))
    alive[:, 0] = 1.0
    high, low, mean = np.zeros(p.size), np.zeros(p.size), np.zeros(p.size)
    limits = dict(zip(look_at.tolist(), zip(high_from.tolist(), low_to.tolist(), strict=True), strict=True))
    for strike in range(1, int(look_at[-1]) + 1):
        mean += alive.sum(axis=1)
        moved = alive * (1 - p)[:, None]
        moved[:, 1:] += alive[:, :-1] * p[:, None]
        alive = moved
        if strike in limits:
            stop_high, stop_low = hits >= limits[strike][0], hits <= limits[strike][1]
            high += alive[:, stop_high].sum(axis=1)
            low += alive[:, stop_low].sum(axis=1)
            alive[:, stop_high | stop_low] = 0.0
    return StoppingProbabilities(rates=p, high=high, low=low, undecided=alive.sum(axis=1), mean_strikes=mean)
