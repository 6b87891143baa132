"""What does *ready* promise, at one stage and over a whole ready board?"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import polars as pl

from tracker.domain.ladder import Ladder, Stage
from tracker.domain.vocabulary import ReadinessStatus
from tracker.stats.multiplicity import expected_wrong_ready_calls
from tracker.stats.operating import compare_with_last_ten
from tracker.stats.ready_line import ReadyLine, ready_line

TRUE_RATES = tuple(round(0.30 + 0.05 * number, 2) for number in range(14))
"""True rates at which the promise is shown: 0.30 to 0.95."""
RUNS = 4_000
"""Simulated players a true rate for "8 of the last 10": a standard error under 0.01."""


@dataclass(frozen=True, kw_only=True, slots=True)
class ReadyCalls:
    """How many of the feet judged by their score are called ready, and about how many of these to expect wrong."""

    ready: int
    judged: int
    expected_wrong: float
    risk: float


def ready_calls(board: pl.DataFrame) -> ReadyCalls:
    """The ready calls of a frame of ``review.readiness``: each row with strikes that no coach moved on from is judged.

    ``expected_wrong`` bounds what to expect on average while no foot has more strikes than the horizon.
    """
    judged = board.filter((pl.col("attempts") > 0) & ~pl.col("is_passed"))
    ready = judged.filter(pl.col("status") == ReadinessStatus.READY.value).height
    risk = float(np.max(judged["false_ready_risk"].to_numpy(), initial=0.0))
    return ReadyCalls(
        ready=ready,
        judged=judged.height,
        expected_wrong=float(expected_wrong_ready_calls(ready, judged.height, risk=risk)) if ready else 0.0,
        risk=risk,
    )


def move_on_calls(board: pl.DataFrame, *, last: Stage) -> ReadyCalls:
    """The same for the calls to move on: of the feet that practise a stage below ``last``, the last one."""
    has_way_on = pl.col("stage_position") < last.position
    return ready_calls(board.filter(pl.col("is_current") & has_way_on))


@lru_cache(maxsize=32)
def promise(ladder: Ladder, stage: Stage) -> pl.DataFrame:
    """What the ready line of a stage does to players of each true rate, beside two rules of thumb; one row a rate of
    ``TRUE_RATES`` and of the stage: rate, called_ready, called_ready_independent, median_strikes, eight_of_ten,
    eight_of_last_ten.

    ``called_ready`` is the chance to be called ready within the ladder's horizon when strikes of one practice hang
    together as the ladder assumes, ``called_ready_independent`` when they do not (both exact, the two-practice rule
    left out). ``median_strikes``: by then half of the players are ready, strikes independent; null beyond 500.
    ``eight_of_ten`` is asked once, ``eight_of_last_ten`` after every set within the horizon (simulated, fixed seed).
    """
    line = line_of(ladder, stage)
    rates = sorted({*TRUE_RATES, stage.p_not_yet, stage.p_ready})
    rows = compare_with_last_ten(line, rates, strikes_a_set=stage.set_size, runs=RUNS)
    return pl.DataFrame(
        [
            (
                row.rate,
                row.ready_line_correlated,
                row.ready_line,
                round(row.median_strikes) if math.isfinite(row.median_strikes) else None,
                row.one_look,
                row.last_ten,
            )
            for row in rows
        ],
        schema={
            "rate": pl.Float64,
            "called_ready": pl.Float64,
            "called_ready_independent": pl.Float64,
            "median_strikes": pl.Int64,
            "eight_of_ten": pl.Float64,
            "eight_of_last_ten": pl.Float64,
        },
        orient="row",
    )


def line_of(ladder: Ladder, stage: Stage) -> ReadyLine:
    """The ready line of a stage while the squad's own correlation is not known."""
    strikes_a_practice = min(max(5 * math.ceil(sum(stage.set_sizes) / 5), 5), 30)
    return ready_line(
        stage.p_not_yet,
        stage.p_ready,
        risk=ladder.false_ready_risk,
        horizon=ladder.horizon_strikes,
        correlation=ladder.correlation,
        strikes_a_practice=strikes_a_practice,
    )
