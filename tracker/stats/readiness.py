"""Who is ready for the next stage, who should come back to an earlier one: the two scores against their lines.

A *segment* is one player, foot, stage and stretch between two placements. Within it

* *ready* is reached when the rising score is at the ready line and the evidence, the strikes since that score was last
  0, comes from two practices or more;
* *revisit* is reached in the same way by the falling score, and only where it is watched.

What has been reached holds until a placement starts a new segment. The statuses, the first that fits:

====================================================== =========
the stage was passed and revisit is reached            revisit
the stage was passed                                   ready
ready is reached                                       ready
revisit is reached                                     revisit
fewer than ten strikes                                 gathering
anything else                                          working
====================================================== =========
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.linalg import solve_banded

from tracker.domain.vocabulary import ReadinessStatus
from tracker.stats.checks import BoolArray, FloatArray, IntArray
from tracker.stats.ready_line import ReadyLine
from tracker.stats.score import scores, segment_starts
from tracker.stats.scoring import Scoring

FEWEST_STRIKES = 10
"""Below this many strikes, and not ready, a player is still gathering evidence."""

LONGEST_EXPECTATION = 1000.0
"""Expected strikes to ready beyond this are given as infinity."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Readiness:
    """Where every segment stands, in ascending order of its code; all of shape (segments,) but the two paths.

    Scores and lines are in log units. ``ready_row`` and ``revisit_row`` are the rows at which the line was reached, or
    -1. ``status`` holds values of ReadinessStatus. ``path`` and ``falling_path`` are the two scores after each row,
    shape (rows,); what is not watched is NaN.
    """

    segment: IntArray
    attempts: IntArray
    hits: IntArray
    practices: IntArray
    score: FloatArray
    line: FloatArray
    falling_score: FloatArray
    revisit_line: FloatArray
    ready_row: NDArray[np.intp]
    revisit_row: NDArray[np.intp]
    status: NDArray[np.str_]
    path: FloatArray
    falling_path: FloatArray


def readiness(
    hits: ArrayLike,
    misses: ArrayLike,
    segment: ArrayLike,
    practice: ArrayLike,
    *,
    rising: Scoring,
    falling: Scoring | None = None,
    watched: ArrayLike = False,
    passed: ArrayLike = False,
) -> Readiness:
    """The standing of every segment, all players at once.

    Rows are as in ``scores``: counts of hits and misses of strikes whose order is not known, by segment and then time;
    ``practice`` is a whole-number code, rows of one practice together within a segment. ``watched`` says for each
    row, or for all, whether the falling score is looked at, and ``passed`` whether the player was moved on from this
    stage; both must be the same throughout a segment.
    Raises ValueError as ``scores`` does, and when something is watched but ``falling`` is missing.
    """
    hit_count, miss_count, codes, days = (np.asarray(x) for x in (hits, misses, segment, practice))
    is_watched, is_passed = (np.broadcast_to(np.asarray(x, dtype=bool), codes.shape) for x in (watched, passed))
    if days.shape != codes.shape:
        raise ValueError("practice must have one code a row")
    if falling is None and is_watched.any():
        raise ValueError("falling must be given when a segment is watched")
    rising_score = scores(hit_count, miss_count, codes, hit_steps=rising.hit_steps, miss_steps=rising.miss_steps)
    starts = segment_starts(codes)
    ends = np.append(starts, codes.size)[1:] - 1
    day_number = np.cumsum(np.concatenate(([0], (np.diff(days) != 0) | (np.diff(codes) != 0))))[: codes.size]
    ready_row = _first_row_reached(rising_score, rising.line_steps, day_number, starts)
    path = rising_score * rising.step
    falling_path, revisit_line = np.full(codes.size, np.nan), np.full(codes.size, np.nan)
    revisit_row = np.full(starts.size, -1, dtype=np.intp)
    if falling is not None:
        falling_score = scores(hit_count, miss_count, codes, hit_steps=falling.hit_steps, miss_steps=falling.miss_steps)
        reached = _first_row_reached(falling_score, falling.line_steps, day_number, starts)
        revisit_row = np.where(is_watched[starts], reached, -1)
        falling_path = np.where(is_watched, falling_score * falling.step, np.nan)
        revisit_line = np.where(is_watched, falling.line_steps * falling.step, np.nan)
    attempts = _segment_sums(hit_count + miss_count, starts)
    return Readiness(
        segment=codes[starts].astype(np.int64),
        attempts=attempts,
        hits=_segment_sums(hit_count, starts),
        practices=day_number[ends] - day_number[starts] + 1,
        score=path[ends],
        line=(rising.line_steps * rising.step)[starts],
        falling_score=falling_path[ends],
        revisit_line=revisit_line[starts],
        ready_row=ready_row,
        revisit_row=revisit_row,
        status=_statuses(attempts, ready_row=ready_row, revisit_row=revisit_row, passed=is_passed[starts]),
        path=path,
        falling_path=falling_path,
    )


def _segment_sums(counts: NDArray[np.integer], starts: NDArray[np.intp]) -> IntArray:
    """The sum of a whole-number column within each segment."""
    total = np.concatenate(([0], np.cumsum(counts, dtype=np.int64)))
    sums: IntArray = total[np.append(starts, counts.size)[1:]] - total[starts]
    return sums


def _first_row_reached(
    score: IntArray, line_steps: IntArray, day_number: IntArray, starts: NDArray[np.intp]
) -> NDArray[np.intp]:
    """The first row of each segment with the score at the line on evidence of two practices, or -1."""
    rows = np.arange(score.size)
    is_start = np.zeros(score.size, dtype=bool)
    is_start[starts] = True
    # Evidence begins at the start of the segment, or at the row after the score was last 0.
    begins = is_start | np.concatenate(([False], score[:-1] == 0))[: score.size]
    evidence_from = np.maximum.accumulate(np.where(begins, rows, 0))
    reached = (score >= line_steps) & (day_number > day_number[evidence_from])
    candidates = np.flatnonzero(reached)
    position = np.searchsorted(candidates, starts)
    first = np.append(candidates, score.size)[position]
    ends = np.append(starts, score.size)[1:]
    return np.where(first < ends, first, -1)


def _statuses(
    attempts: IntArray,
    *,
    ready_row: NDArray[np.intp],
    revisit_row: NDArray[np.intp],
    passed: BoolArray,
) -> NDArray[np.str_]:
    """The status of each segment, by the table on top of this module."""
    status: NDArray[np.str_] = np.select(
        [passed & (revisit_row >= 0), passed, ready_row >= 0, revisit_row >= 0, attempts < FEWEST_STRIKES],
        [
            ReadinessStatus.REVISIT.value,
            ReadinessStatus.READY.value,
            ReadinessStatus.READY.value,
            ReadinessStatus.REVISIT.value,
            ReadinessStatus.GATHERING.value,
        ],
        ReadinessStatus.WORKING.value,
    )
    return status


def expected_strikes_to_ready(rate: ArrayLike, score: ArrayLike, *, line: ReadyLine) -> FloatArray:
    """Mean number of further strikes until the score reaches the ready line, at a true rate; inf above 1,000.

    ``rate`` and ``score`` (log units) broadcast. Strikes are taken as independent and the two-practice rule is left
    out, so this is the least to reckon with. NaN where either is NaN; 0 where the score is at the line.
    Exact: mean first passage of the Markov chain on the lattice, one banded linear system for each distinct rate.
    Raises ValueError for a rate outside [0, 1] or a score below 0.

    >>> from tracker.stats.ready_line import ready_line
    >>> line = ready_line(0.60, 0.80)
    >>> expected_strikes_to_ready([0.8, 0.6, 0.3], 0.0, line=line).round(1)
    array([ 37.7, 769.9,   inf])
    """
    rates, now = np.broadcast_arrays(np.asarray(rate, dtype=np.float64), np.asarray(score, dtype=np.float64))
    if np.any((rates < 0) | (rates > 1)):
        raise ValueError("rate must lie between 0 and 1 everywhere")
    if np.any(now < 0):
        raise ValueError("score must not be below 0")
    known = np.isfinite(rates) & np.isfinite(now)
    answer = np.full(rates.shape, np.nan)
    distinct, which = np.unique(rates[known], return_inverse=True)
    if distinct.size:
        table = np.stack([_mean_passage(line, float(one)) for one in distinct])
        steps = np.minimum(np.rint(now[known] / line.lattice.step).astype(np.int64), line.line_steps)
        answer[known] = table[which, steps]
    return answer


def _mean_passage(line: ReadyLine, rate: float) -> FloatArray:
    """Mean strikes to the line from each score 0 … line; shape (line_steps + 1,), inf where above 1,000."""
    size, up, down = line.line_steps, line.lattice.hit_steps, -line.lattice.miss_steps
    if rate * LONGEST_EXPECTATION <= 1:  # one hit alone takes 1 / rate strikes on average
        return np.append(np.full(size, np.inf), 0.0)
    bands = np.zeros((up + down + 1, size))  # row `up + i - j` holds entry (i, j) of the matrix
    bands[up] = 1.0
    bands[0, up:] = -rate
    bands[up + down, : max(size - down, 0)] = -(1 - rate)
    to_zero = np.arange(min(down, size))  # from these scores a miss leads to 0
    bands[up + to_zero, 0] -= 1 - rate
    mean = solve_banded((down, up), bands, np.ones(size))
    return np.append(np.where((mean > 0) & (mean <= LONGEST_EXPECTATION), mean, np.inf), 0.0)
