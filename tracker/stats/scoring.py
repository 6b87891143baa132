"""How each strike of a whole squad is scored: by the line of its stage, and by the distance it was struck from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from tracker.stats.checks import FloatArray, IntArray
from tracker.stats.ready_line import ReadyLine, RevisitLine
from tracker.stats.score import ScoreLattice, probabilities_at


@dataclass(frozen=True, kw_only=True, slots=True)
class Scoring:
    """How each row is scored: signed weights of a hit and of a miss, the line, both in whole steps; each (rows,)."""

    hit_steps: IntArray
    miss_steps: IntArray
    line_steps: IntArray
    step: FloatArray


def scoring(
    lines: Sequence[ReadyLine] | Sequence[RevisitLine],
    which: ArrayLike,
    *,
    half_angle_deg: ArrayLike | None = None,
    stage_half_angle_deg: ArrayLike | None = None,
) -> Scoring:
    """The scoring of rows whose line is ``lines[which]``; ``which`` has shape (rows,).

    With the two angles, of the row and of its stage, in degrees, a strike from elsewhere counts by the rates it has
    there: p_not_yet and p_ready are carried over by ``probabilities_at`` and the weights follow, rounded to the stage's
    own step. The line stays that of the stage. So that its promise, made for a number of strikes, still holds, a strike
    that tells more than one at the stage does (from nearer, as a rule) has its weights shrunk until they vary no more
    than the stage's do for the player the line protects. NaN means the angle is not known: the stage's own weights.
    Raises ValueError when only one of the two angles is given.
    """
    if (half_angle_deg is None) != (stage_half_angle_deg is None):
        raise ValueError("half_angle_deg and stage_half_angle_deg are given together or not at all")
    index = np.asarray(which, dtype=np.intp)
    lattices = [line.lattice for line in lines]
    hit_steps = np.array([lattice.hit_steps for lattice in lattices], dtype=np.int64)[index]
    miss_steps = np.array([lattice.miss_steps for lattice in lattices], dtype=np.int64)[index]
    if half_angle_deg is not None and stage_half_angle_deg is not None:
        angle, stage_angle = (
            np.broadcast_to(np.asarray(x, dtype=np.float64), index.shape)
            for x in (half_angle_deg, stage_half_angle_deg)
        )
        elsewhere = np.flatnonzero(np.isfinite(angle) & np.isfinite(stage_angle) & (angle != stage_angle))
        # A set is struck from one place: what is like the row before need not be worked out again.
        alike = [np.diff(values[elsewhere], prepend=np.nan) == 0 for values in (index, angle, stage_angle)]
        is_new = ~np.logical_and.reduce(alike)
        first = elsewhere[is_new]
        hit, miss = _weights_elsewhere(lattices, index[first], angle[first], stage_angle[first])
        run = np.cumsum(is_new) - 1
        hit_steps[elsewhere], miss_steps[elsewhere] = hit[run], miss[run]
    return Scoring(
        hit_steps=hit_steps,
        miss_steps=miss_steps,
        line_steps=np.array([line.line_steps for line in lines], dtype=np.int64)[index],
        step=np.array([lattice.step for lattice in lattices], dtype=np.float64)[index],
    )


def _weights_elsewhere(
    lattices: Sequence[ScoreLattice], index: np.ndarray, angle: FloatArray, stage_angle: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Signed weights in steps of a hit and of a miss where the target shows another angle than at the stage."""
    p_not_yet, p_ready, step, direction = (
        np.array(values, dtype=np.float64)[index]
        for values in zip(*((x.p_not_yet, x.p_ready, x.step, np.sign(x.hit_steps)) for x in lattices), strict=True)
    )
    protected = np.where(direction > 0, p_not_yet, p_ready)
    not_yet, ready, held = (probabilities_at(angle, stage_angle, rate) for rate in (p_not_yet, p_ready, protected))
    hit, miss = np.log(ready / not_yet), np.log((1 - ready) / (1 - not_yet))
    spread_here = (hit - miss) * np.sqrt(held * (1 - held))
    stage_spread = np.log(p_ready * (1 - p_not_yet) / (p_not_yet * (1 - p_ready))) * np.sqrt(
        protected * (1 - protected)
    )
    share = np.minimum(1.0, stage_spread / np.maximum(spread_here, 1e-300)) * direction
    return np.rint(hit * share / step), np.rint(miss * share / step)
