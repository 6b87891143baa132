"""Is the other foot catching up? Both feet at the start, in the middle and at the end of a season."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from enum import StrEnum

import polars as pl

from tracker.domain.vocabulary import Dimension
from tracker.errors import RequestError
from tracker.review.accuracy import accuracy
from tracker.review.gap import foot_gap
from tracker.review.logbook import practices
from tracker.review.scope import Scope
from tracker.store.database import Database


class SeasonPart(StrEnum):
    """A third of a season's practices."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


def gap_over_season(database: Database, scope: Scope) -> pl.DataFrame:
    """One row per player who names one foot and part of the season with strikes: player, part (of ``SeasonPart``),
    first_day, last_day, practices, preferred_foot, preferred_rate, preferred_low, preferred_high, preferred_on_target,
    preferred_attempts, the same of the other foot, gap, low, high, raw_gap, disagrees, preferred_distance_m,
    other_distance_m.

    A part is a third of the squad's days of practice in scope, so that each has about as much to tell. Rates are of all
    strikes; the gap is judged like with like (``review.gap``). With under three days there is no start and end to
    compare, and no row. Raises RequestError when the scope names no squad.
    """
    if scope.squad is None:
        raise RequestError("Say which squad.")
    parts = [
        _part(database, replace(scope, first_day=days[0], last_day=days[-1])).with_columns(
            pl.lit(part.value).alias("part"),
            pl.lit(days[0]).alias("first_day"),
            pl.lit(days[-1]).alias("last_day"),
            pl.lit(len(days), dtype=pl.Int64).alias("practices"),
        )
        for part, days in _thirds(_days(database, scope))
    ]
    if not parts:
        return pl.DataFrame(schema={name: pl.String for name in _TEXTS} | {name: pl.Float64 for name in _NUMBERS})
    order = accuracy(database, scope, by=[Dimension.PLAYER], cluster=False)["player"].to_list()
    rank = {name: place for place, name in enumerate(order)}
    found = pl.concat(parts)
    return found.sort(
        pl.col("player").replace_strict(rank, default=len(rank), return_dtype=pl.Int64), maintain_order=True
    ).select(*_TEXTS, "first_day", "last_day", "practices", *_NUMBERS, "disagrees")


_TEXTS = ("player", "part", "preferred_foot")
_NUMBERS = (
    *(
        f"{side}_{name}"
        for side in ("preferred", "other")
        for name in ("rate", "low", "high", "on_target", "attempts", "distance_m")
    ),
    *("gap", "low", "high", "raw_gap"),
)


def _days(database: Database, scope: Scope) -> list[date]:
    """The days of practice in scope, the earliest first."""
    assert scope.squad
    chosen = scope.strikes
    held = {one.held_on for one in practices(database, scope.squad)}
    return sorted(
        day
        for day in held
        if (chosen.first_day is None or day >= chosen.first_day) and (chosen.last_day is None or day <= chosen.last_day)
    )


def _thirds(days: list[date]) -> list[tuple[SeasonPart, list[date]]]:
    """The days in three runs as equal as can be; none with under three days."""
    if len(days) < len(SeasonPart):
        return []
    cuts = [round(number * len(days) / len(SeasonPart)) for number in range(len(SeasonPart) + 1)]
    return [(part, days[cuts[place] : cuts[place + 1]]) for place, part in enumerate(SeasonPart)]


def _part(database: Database, scope: Scope) -> pl.DataFrame:
    """Both feet of every player in one part, and the gap."""
    gaps = foot_gap(database, scope, by=[Dimension.PLAYER])
    rated = accuracy(database, scope, by=[Dimension.PLAYER, Dimension.FOOT]).select(
        "player", "foot", pl.col("rate", "low", "high", "on_target", "attempts").cast(pl.Float64)
    )
    sides = gaps.select("player", "preferred_foot").join(rated, on="player")
    is_preferred = pl.col("foot") == pl.col("preferred_foot")
    feet = gaps.drop("preferred_rate", "other_rate", "preferred_attempts", "other_attempts")
    for side, chosen in (("preferred", is_preferred), ("other", ~is_preferred)):
        figures = sides.filter(chosen).select(
            "player", pl.exclude("player", "preferred_foot", "foot").name.prefix(f"{side}_")
        )
        feet = feet.join(figures, on="player", how="left", maintain_order="left")
    return feet
