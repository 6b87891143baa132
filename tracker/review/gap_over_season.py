"""Is the other foot catching up? Both feet at the start, in the middle and at the end of a season."""

from __future__ import annotations

import math
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


class CatchingUp(StrEnum):
    """What became of the other foot beside the preferred one from start to end."""

    YES = "catching up"
    FALLING_BEHIND = "falling behind"
    NO_CLEAR_CHANGE = "no clear change"
    CANNOT_SAY = "cannot say"


def gap_over_season(database: Database, scope: Scope) -> pl.DataFrame:
    """One row per player who names one foot and part of the season with strikes: player, part (of ``SeasonPart``),
    first_day, last_day, practices, preferred_foot, preferred_rate, preferred_low, preferred_high, preferred_on_target,
    preferred_attempts, preferred_compared, preferred_like, preferred_like_low, preferred_like_high, the same of the
    other foot, gap, low, high, raw_gap, disagrees, preferred_distance_m, other_distance_m.

    A part is a third of the squad's days of practice in scope, so that each has about as much to tell. Rates are of all
    strikes; *like* rates and the gap are like with like (``review.gap``). With under three days there is no start
    and end to compare, and no row. Raises RequestError when the scope names no squad.
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


def catching_up(parts: pl.DataFrame) -> CatchingUp:
    """Whether one player's gap at the end differs clearly from that at the start; ``parts`` as above, of that player.

    Clear means that the 95% interval of the difference of the two gaps leaves out 0 (from the interval of each: Zou &
    Donner 2008, Stat Med 27:1693). The gap is preferred minus other foot, so a gap that falls is the other
    foot gaining.
    """
    ends = parts.filter(
        pl.col("part").is_in([SeasonPart.START.value, SeasonPart.END.value]) & pl.col("gap").is_not_null()
    )
    if ends.height < 2:
        return CatchingUp.CANNOT_SAY
    start, end = ends.rows(named=True)
    change = end["gap"] - start["gap"]
    low = change - math.hypot(end["gap"] - end["low"], start["high"] - start["gap"])
    high = change + math.hypot(end["high"] - end["gap"], start["gap"] - start["low"])
    if low <= 0 <= high:
        return CatchingUp.NO_CLEAR_CHANGE
    return CatchingUp.YES if change < 0 else CatchingUp.FALLING_BEHIND


def squad_catching_up(parts: pl.DataFrame) -> pl.DataFrame:
    """``catching_up`` of every player of a frame of ``gap_over_season``, in its order: player, preferred_foot, start,
    end (the gap there, null where the feet were never alike), verdict (of ``CatchingUp``).
    """
    rows = []
    for own in parts.partition_by("player", maintain_order=True):
        gaps = dict(own.select("part", "gap").iter_rows())
        ends = (gaps.get(part.value) for part in (SeasonPart.START, SeasonPart.END))
        rows.append((own["player"][0], own["preferred_foot"][0], *ends, catching_up(own).value))
    texts = dict.fromkeys(("player", "preferred_foot"), pl.String)
    gaps_at = dict.fromkeys(("start", "end"), pl.Float64)
    return pl.DataFrame(rows, schema={**texts, **gaps_at, "verdict": pl.String}, orient="row")


_TEXTS = ("player", "part", "preferred_foot")
_NUMBERS = (
    *(
        f"{side}_{name}"
        for side in ("preferred", "other")
        for name in (
            *("rate", "low", "high", "on_target", "attempts"),
            *("compared", "like", "like_low", "like_high", "distance_m"),
        )
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
