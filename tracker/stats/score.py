"""The score that climbs as evidence gathers: Page's cumulative sum of log likelihood ratios, in whole steps.

A hit adds ``log(p_ready / p_not_yet)``, a miss takes away ``log((1 - p_not_yet) / (1 - p_ready))``, and the score never
falls below 0: bad days of long ago do not hold a player down. Both weights are whole multiples of one small step, so
the score moves on whole numbers and every probability about it is computed, not simulated.

Sources: Page 1954, Biometrika 41:100 (the cumulative sum); Biau & Porcher 2010, Statistics in Medicine 29:1984 (the
cumulative sum of a learning curve, which calls proficiency).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtr, ndtri

from tracker.stats.checks import FloatArray, IntArray

WEIGHT_TOLERANCE = 5e-4
"""How far, as a share, a weight on the lattice may be from the exact one."""

FEWEST_STEPS = 32
"""The larger weight has at least so many steps, so that weights of strikes from other distances round well too."""

LOWEST_RATE, HIGHEST_RATE = 0.02, 0.98
"""Rates carried over to another distance stay within these: from any distance some strikes are mis-hit."""


@dataclass(frozen=True, kw_only=True, slots=True)
class ScoreLattice:
    """Weights of a strike as whole numbers of ``step`` (log units, natural logarithm).

    ``hit_steps`` is above 0 and ``miss_steps`` below it; in the ``reversed`` lattice, which gathers evidence for
    ``p_not_yet``, the signs are the other way round.
    """

    p_not_yet: float
    p_ready: float
    step: float
    hit_steps: int
    miss_steps: int

    @property
    def hit_weight(self) -> float:
        """What a hit adds to the score, in log units."""
        return self.hit_steps * self.step

    @property
    def miss_weight(self) -> float:
        """What a miss adds to the score, in log units."""
        return self.miss_steps * self.step

    @property
    def reversed(self) -> ScoreLattice:
        """The lattice of the falling score: the same weights with their signs exchanged."""
        return replace(self, hit_steps=-self.hit_steps, miss_steps=-self.miss_steps)


def score_lattice(p_not_yet: float, p_ready: float) -> ScoreLattice:
    """The coarsest lattice whose two weights are within 0.05 % of the exact ones.

    Raises ValueError unless 0 < p_not_yet < p_ready < 1.

    >>> lattice = score_lattice(0.60, 0.80)
    >>> lattice.hit_steps, lattice.miss_steps, round(lattice.hit_weight, 3), round(lattice.miss_weight, 3)
    (22, -53, 0.288, -0.693)
    """
    if not 0 < p_not_yet < p_ready < 1:
        raise ValueError(
            f"p_not_yet and p_ready must be 0 < p_not_yet < p_ready < 1, but are {p_not_yet} and {p_ready}"
        )
    hit_weight, miss_weight = math.log(p_ready / p_not_yet), math.log((1 - p_not_yet) / (1 - p_ready))
    smaller, larger = sorted((hit_weight, miss_weight))
    for larger_steps in range(FEWEST_STEPS, 100_000):
        smaller_steps = max(1, round(larger_steps * smaller / larger))
        step = (smaller + larger) / (smaller_steps + larger_steps)
        if max(abs(smaller_steps * step / smaller - 1), abs(larger_steps * step / larger - 1)) <= WEIGHT_TOLERANCE:
            break
    hit_steps, miss_steps = (
        (smaller_steps, larger_steps) if hit_weight <= miss_weight else (larger_steps, smaller_steps)
    )
    return ScoreLattice(p_not_yet=p_not_yet, p_ready=p_ready, step=step, hit_steps=hit_steps, miss_steps=-miss_steps)


def probabilities_at(half_angle_deg: ArrayLike, stage_half_angle_deg: ArrayLike, p: ArrayLike) -> FloatArray:
    """The rate, where the target shows ``half_angle_deg``, of a player whose rate at the stage's own angle is ``p``.

    The arguments broadcast. The direction of a strike is taken as normal around the middle of the target, so that
    ``p = 2 Phi(angle / spread) - 1``; the spread that gives ``p`` at ``stage_half_angle_deg`` is carried over. Answers
    stay within 0.02 to 0.98, or within ``p`` and those where ``p`` lies outside them.
    Raises ValueError for an angle not above 0 or a ``p`` outside (0, 1).

    >>> probabilities_at([4.0, 8.0], 8.0, 0.70).round(3)  # half the angle, the same angle
    array([0.396, 0.7  ])
    """
    angle, stage_angle, rate = (np.asarray(x, dtype=np.float64) for x in (half_angle_deg, stage_half_angle_deg, p))
    for name, values in (("half_angle_deg", angle), ("stage_half_angle_deg", stage_angle)):
        if not np.all(values > 0):
            raise ValueError(f"{name} must be above 0 everywhere")
    if not np.all((rate > 0) & (rate < 1)):
        raise ValueError("p must lie between 0 and 1 everywhere")
    carried = 2 * ndtr(ndtri((1 + rate) / 2) * angle / stage_angle) - 1
    clipped: FloatArray = np.clip(carried, np.minimum(rate, LOWEST_RATE), np.maximum(rate, HIGHEST_RATE))
    return clipped


def scores(
    hits: ArrayLike,
    misses: ArrayLike,
    segment: ArrayLike,
    *,
    hit_steps: ArrayLike,
    miss_steps: ArrayLike,
    start: ArrayLike = 0,
) -> IntArray:
    """The score after each row, in whole steps, for all players at once; shape (rows,).

    A row is one or more strikes whose order among themselves is not known (``hits`` and ``misses`` are counts). Rows of
    one ``segment`` (a whole-number code of player, foot, stage and placement) stand together in order of time, and each
    segment starts from ``start``, the score that earlier strikes left (one a segment, or one for all). ``hit_steps``
    and ``miss_steps`` are signed weights of a strike, one a row or one for all.

    A row of several strikes is added as one sum and the floor at 0 is applied after it. That is never above the score
    which any order of the same strikes would give, so it errs towards "not yet".
    Raises ValueError for counts below 0, unequal lengths, or segments that are not in ascending order.
    """
    hit_count, miss_count, codes = (np.asarray(x) for x in (hits, misses, segment))
    if hit_count.ndim != 1 or not hit_count.shape == miss_count.shape == codes.shape:
        raise ValueError("hits, misses and segment must be one-dimensional and of one length")
    for name, counts in (("hits", hit_count), ("misses", miss_count)):
        if counts.size and not np.issubdtype(counts.dtype, np.integer):
            raise ValueError(f"{name} must be whole numbers, but are {counts.dtype}")
        if np.any(counts < 0):
            raise ValueError(f"{name} must not be below 0")
    if np.any(np.diff(codes) < 0):
        raise ValueError("segment must be in ascending order")
    weight = hit_count * np.asarray(hit_steps, dtype=np.int64) + miss_count * np.asarray(miss_steps, dtype=np.int64)
    weight, starts = weight.astype(np.int64), segment_starts(codes)
    weight[starts] += np.broadcast_to(np.asarray(start, dtype=np.int64), starts.shape)
    return _reflected_sums(weight, starts)


def segment_starts(segment: NDArray[np.integer]) -> NDArray[np.intp]:
    """The row each segment starts at; shape (segments,)."""
    if not segment.size:
        return np.empty(0, dtype=np.intp)
    return np.flatnonzero(np.concatenate(([True], segment[1:] != segment[:-1])))


def _reflected_sums(weight: IntArray, starts: NDArray[np.intp]) -> IntArray:
    """Running sums with a floor at 0: the sum less its lowest point so far, 0 included, within each segment."""
    if not weight.size:
        return weight
    lengths = np.diff(np.append(starts, weight.size))
    total = np.cumsum(weight)
    total -= np.repeat(total[starts] - weight[starts], lengths)
    # Each segment is shifted below the one before, so that a single running minimum never looks past a segment's start.
    shift = np.repeat(np.arange(starts.size, dtype=np.int64) * (2 * int(np.abs(total).max()) + 1), lengths)
    lowest = np.minimum.accumulate(total - shift) + shift
    reflected: IntArray = total - np.minimum(lowest, 0)
    return reflected
