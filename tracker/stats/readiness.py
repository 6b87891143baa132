"""Who is ready for the next stage, who should come back to an earlier one: the two scores against their lines.

A *segment* is one player, foot, stage and stretch between two placements. Within it

* *ready* is reached when the rising score is at the ready line and the evidence, the strikes since that score was last
  0, comes from two practices or more;
* *revisit* is reached in the same way by the falling score, and only where it is watched.

What has been reached holds until a placement starts a new segment. Later strikes need not be taken with the earlier
ones: `readiness` goes on from the `Standing` they left, to the same answer. The statuses, the first that fits:

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

import functools
from dataclasses import dataclass, fields
from typing import Self

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
class Standing:
    """What strikes so far leave behind in each segment, for later strikes to go on from; all of shape (segments,).

    ``score`` and ``falling_score`` are whole steps, ``practice`` the code of the last one; ``is_older`` (for the rising
    score) and ``falling_is_older`` say whether the evidence reaches back beyond it.
    """

    attempts: IntArray
    hits: IntArray
    practices: IntArray
    practice: NDArray[np.integer]
    score: IntArray
    falling_score: IntArray
    is_older: BoolArray
    falling_is_older: BoolArray
    is_ready: BoolArray
    is_revisit: BoolArray

    @classmethod
    def fresh(cls, segments: int) -> Self:
        """No strikes yet."""
        none, no = np.zeros(segments, dtype=np.int64), np.zeros(segments, dtype=bool)
        return cls(
            attempts=none,
            hits=none,
            practices=none,
            practice=none,
            score=none,
            falling_score=none,
            is_older=no,
            falling_is_older=no,
            is_ready=no,
            is_revisit=no,
        )

    def of(self, chosen: NDArray[np.integer]) -> Standing:
        """That of some segments, by their places."""
        return Standing(**{one.name: getattr(self, one.name)[chosen] for one in fields(self)})


@dataclass(frozen=True, kw_only=True, slots=True)
class Readiness:
    """Where every segment stands, in ascending order of its code; all of shape (segments,) but the two paths.

    Scores and lines are in log units. ``ready_row`` and ``revisit_row`` are the rows at which the line was reached, or
    -1: never, or by the strikes before. ``status`` holds values of ReadinessStatus. ``path`` and ``falling_path`` are
    the two scores after each row, shape (rows,); what is not watched is NaN. ``standing`` is what to go on from.
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
    standing: Standing


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
    before: Standing | None = None,
) -> Readiness:
    """The standing of every segment, all players at once.

    Rows are as in ``scores``: counts of hits and misses of strikes whose order is not known, by segment and then time;
    ``practice`` is a whole-number code, rows of one practice together within a segment. ``watched`` says for each
    row, or for all, whether the falling score is looked at, and ``passed`` whether the player was moved on from this
    stage; both must be the same throughout a segment. ``before`` is what earlier strikes of each segment left; with it
    the answer is that of all strikes together, the paths being of the later ones.
    Raises ValueError as ``scores`` does, and when something is watched but ``falling`` is missing.
    """
    hit_count, miss_count, codes, days = (np.asarray(x) for x in (hits, misses, segment, practice))
    is_watched, is_passed = (np.broadcast_to(np.asarray(x, dtype=bool), codes.shape) for x in (watched, passed))
    if days.shape != codes.shape:
        raise ValueError("practice must have one code a row")
    if falling is None and is_watched.any():
        raise ValueError("falling must be given when a segment is watched")
    starts = segment_starts(codes)
    ends = np.append(starts, codes.size)[1:] - 1
    earlier = before or Standing.fresh(starts.size)
    day_number = np.cumsum(np.concatenate(([False], (days[1:] != days[:-1]) | (codes[1:] != codes[:-1])))[: codes.size])
    goes_on = (earlier.attempts > 0) & (earlier.practice == days[starts])
    rows = _Rows(hits=hit_count, misses=miss_count, segment=codes, starts=starts, ends=ends, day_number=day_number)
    rise = _climb(rows, rising, start=earlier.score, is_older=earlier.is_older | ~goes_on)
    path = rise.score * rising.step
    falling_path, revisit_line = np.full(codes.size, np.nan), np.full(codes.size, np.nan)
    fall = _Climb.none(rows)
    if falling is not None and is_watched.any():
        fall = _climb(rows, falling, start=earlier.falling_score, is_older=earlier.falling_is_older | ~goes_on)
        falling_path = np.where(is_watched, fall.score * falling.step, np.nan)
        revisit_line = np.where(is_watched, falling.line_steps * falling.step, np.nan)
    ready_row = np.where(earlier.is_ready, -1, rise.reached_row)
    revisit_row = np.where(is_watched[starts] & ~earlier.is_revisit, fall.reached_row, -1)
    standing = Standing(
        attempts=earlier.attempts + _segment_sums(hit_count + miss_count, starts),
        hits=earlier.hits + _segment_sums(hit_count, starts),
        practices=earlier.practices + day_number[ends] - day_number[starts] + 1 - goes_on,
        practice=days[ends],
        score=rise.score[ends],
        falling_score=fall.score[ends],
        is_older=rise.is_older,
        falling_is_older=fall.is_older,
        is_ready=earlier.is_ready | (ready_row >= 0),
        is_revisit=earlier.is_revisit | (revisit_row >= 0),
    )
    return Readiness(
        segment=codes[starts].astype(np.int64),
        attempts=standing.attempts,
        hits=standing.hits,
        practices=standing.practices,
        score=path[ends],
        line=(rising.line_steps * rising.step)[starts],
        falling_score=falling_path[ends],
        revisit_line=revisit_line[starts],
        ready_row=ready_row,
        revisit_row=revisit_row,
        status=_statuses(standing, passed=is_passed[starts]),
        path=path,
        falling_path=falling_path,
        standing=standing,
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class _Rows:
    """The rows as arrays (rows,), the first and last row of each segment, and the practices counted through."""

    hits: NDArray[np.integer]
    misses: NDArray[np.integer]
    segment: NDArray[np.integer]
    starts: NDArray[np.intp]
    ends: NDArray[np.intp]
    day_number: IntArray


@dataclass(frozen=True, kw_only=True, slots=True)
class _Climb:
    """One score after each row (rows,), the first row of each segment at the line, or -1, and whether the evidence at
    the end reaches back beyond the last practice (segments,)."""

    score: IntArray
    reached_row: NDArray[np.intp]
    is_older: BoolArray

    @classmethod
    def none(cls, rows: _Rows) -> Self:
        """Of a score that nobody looks at."""
        return cls(
            score=np.zeros(rows.segment.size, dtype=np.int64),
            reached_row=np.full(rows.starts.size, -1, dtype=np.intp),
            is_older=np.zeros(rows.starts.size, dtype=bool),
        )


def _climb(rows: _Rows, scoring: Scoring, *, start: IntArray, is_older: BoolArray) -> _Climb:
    """The score and where it is at the line on evidence of two practices.

    ``is_older`` says whether a score to start from rests on another practice than that of the segment's first row.
    """
    steps = {"hit_steps": scoring.hit_steps, "miss_steps": scoring.miss_steps, "start": start}
    score = scores(rows.hits, rows.misses, rows.segment, **steps)
    # Evidence begins at the start of the segment, or at the row after the score was last 0.
    is_begin = np.concatenate(([False], score[:-1] == 0))[: score.size]
    is_begin[rows.starts] = True
    begins = np.flatnonzero(is_begin)
    begins_on = rows.day_number[begins]
    begins_on[np.searchsorted(begins, rows.starts)] -= (start > 0) & is_older

    def spans_practices(at: NDArray[np.intp]) -> BoolArray:
        return rows.day_number[at] > begins_on[np.searchsorted(begins, at, side="right") - 1]

    candidates = np.flatnonzero(score >= scoring.line_steps)
    candidates = candidates[spans_practices(candidates)]
    first = np.append(candidates, score.size)[np.searchsorted(candidates, rows.starts)]
    return _Climb(score=score, reached_row=np.where(first <= rows.ends, first, -1), is_older=spans_practices(rows.ends))


def _segment_sums(counts: NDArray[np.integer], starts: NDArray[np.intp]) -> IntArray:
    """The sum of a whole-number column within each segment."""
    total = np.concatenate(([0], np.cumsum(counts, dtype=np.int64)))
    sums: IntArray = total[np.append(starts, counts.size)[1:]] - total[starts]
    return sums


def _statuses(standing: Standing, *, passed: BoolArray) -> NDArray[np.str_]:
    """The status of each segment, by the table on top of this module."""
    status: NDArray[np.str_] = np.select(
        [
            passed & standing.is_revisit,
            passed,
            standing.is_ready,
            standing.is_revisit,
            standing.attempts < FEWEST_STRIKES,
        ],
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


@functools.lru_cache(maxsize=8192)
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
