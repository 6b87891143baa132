"""How a foot went over the season at like difficulty, as a line to draw through its practices."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

import numpy as np
import polars as pl

from tracker.domain.vocabulary import Foot

FEWEST_POINTS = 25


def season_line(change: Mapping[str, Any], days: Sequence[date]) -> pl.DataFrame:
    """The fitted season of one row of ``review.change``: day, rate, evenly spaced from the first day to the last.

    The logistic regression behind the row is straight on the logit scale, so its two ends give every point between.
    Empty without a verdict, with fewer than two days, or where an end is 0 or 1.
    """
    ends = [change["start_rate"], change["end_rate"]]
    if len(days) < 2 or any(end is None or not 0 < end < 1 for end in ends):
        return pl.DataFrame(schema={"day": pl.Date, "rate": pl.Float64})
    start, end = (np.log(rate / (1 - rate)) for rate in ends)
    share = np.linspace(0.0, 1.0, FEWEST_POINTS)
    first, last = min(days).toordinal(), max(days).toordinal()
    ordinals = np.rint(first + share * (last - first)).astype(int).tolist()
    return pl.DataFrame(
        {
            "day": [date.fromordinal(one) for one in ordinals],
            "rate": 1 / (1 + np.exp(-(start + share * (end - start)))),
        }
    )


def season_of_foot(changes: pl.DataFrame, by_practice: pl.DataFrame, *, foot: Foot) -> pl.DataFrame:
    """The season line of one player's foot, from frames of ``review.change`` and of ``review.accuracy`` by practice."""
    row = next(iter(changes.filter(foot=foot.value).iter_rows(named=True)), {"start_rate": None, "end_rate": None})
    days = by_practice.filter(foot=foot.value)["practice"].str.slice(0, 10).str.to_date()
    return season_line(row, days.to_list())
