"""Did two people who logged the same strikes write down the same?"""

from __future__ import annotations

from itertools import combinations

import numpy as np
import polars as pl

from tracker.domain.practice import Practice
from tracker.domain.vocabulary import Outcome
from tracker.stats.agreement import Agreement, observer_agreement
from tracker.stats.checks import IntArray
from tracker.stats.pairing import paired_in_time
from tracker.store.database import Database
from tracker.store.strikes import strikes_by_logger

SAME_STRIKE_WITHIN_S = 8.0
"""Two records of one foot at one stage at most this far apart may be one strike: one pair strikes about every ten
seconds (common practice, no source)."""

TOGETHER = ["player_id", "foot", "stage"]


def agreement(database: Database, practice: Practice, *, level: float = 0.95) -> pl.DataFrame:
    """One row: strikes_compared, agreement, kappa, low, high, trust, seen_by_one, observers.

    Strikes of the same player, foot and stage that two loggers wrote down within eight seconds are one strike; of all
    ways to pair them the one with the most pairs, then the least time between, is taken. What is compared is the
    outcome: on target, off target or blocked. ``agreement`` is the share alike, ``kappa`` Cohen's with its limits
    ``low`` and ``high``, ``trust`` a word of ``stats.agreement.Trust``, ``seen_by_one`` strikes that only one of two
    loggers at the same foot wrote down. Called sets, whose order is not known, are left out. With nothing to compare
    the figures are null.
    """
    result, seen_by_one, observers = compared(database, practice, level=level)
    figures = {
        "agreement": float(result.agreement.rate),
        "kappa": result.kappa,
        "low": result.low,
        "high": result.high,
    }
    return pl.DataFrame(
        {
            "strikes_compared": [result.strikes_compared],
            **{name: pl.Series([value], dtype=pl.Float64).fill_nan(None) for name, value in figures.items()},
            "trust": [result.trust.value],
            "seen_by_one": [seen_by_one],
            "observers": [", ".join(observers)],
        }
    )


def compared(database: Database, practice: Practice, *, level: float = 0.95) -> tuple[Agreement, int, list[str]]:
    """The agreement over all strikes seen twice, how many only one of two observers saw, and who observed together."""
    written = strikes_by_logger(database, practice.practice_id).with_columns(
        pl.col("outcome").cast(pl.String).cast(pl.Enum(Outcome)).to_physical().cast(pl.Int64)
    )
    first, second = [np.empty(0, dtype=np.int64)], [np.empty(0, dtype=np.int64)]
    seen_by_one, observers = 0, set()
    for _, strikes in written.group_by(TOGETHER, maintain_order=True):
        for one, other in combinations(sorted(strikes["logger"].unique()), 2):
            ours, theirs = (strikes.filter(logger=logger) for logger in (one, other))
            rows, columns = paired_in_time(ours["seconds"], theirs["seconds"], within=SAME_STRIKE_WITHIN_S)
            first.append(_outcomes(ours, rows))
            second.append(_outcomes(theirs, columns))
            if rows.size:
                observers |= {one, other}
                seen_by_one += ours.height + theirs.height - 2 * rows.size
    result = observer_agreement(np.concatenate(first), np.concatenate(second), categories=len(Outcome), level=level)
    return result, seen_by_one, sorted(observers)


def _outcomes(strikes: pl.DataFrame, rows: IntArray) -> IntArray:
    outcomes: IntArray = strikes["outcome"].to_numpy()[rows]
    return outcomes
