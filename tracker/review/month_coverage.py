"""How many strikes has each player's foot this month, and who has few?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

import polars as pl

from tracker.domain.vocabulary import Dimension, Foot
from tracker.review.accuracy import accuracy
from tracker.review.club import players
from tracker.review.logbook import practices
from tracker.review.scope import Scope
from tracker.store.database import Database

FEWEST_A_MONTH = 20
"""Strikes a foot should have in a month: fewer say hardly anything (common practice, no source)."""


@dataclass(frozen=True, kw_only=True, slots=True)
class MonthCoverage:
    """One month of a squad.

    ``month`` is "2026-05", or None before the first practice; ``feet`` has one row per active player and foot, in the
    order of shirts, left before right: player, foot, attempts (0 where there is none).
    """

    month: str | None
    feet: pl.DataFrame

    def few(self, foot: Foot) -> list[str]:
        """The players with fewer than ``FEWEST_A_MONTH`` strikes with a foot."""
        return self.feet.filter((pl.col("foot") == foot.value) & (pl.col("attempts") < FEWEST_A_MONTH))[
            "player"
        ].to_list()


def months(database: Database, scope: Scope) -> list[str]:
    """The months with a practice of the squad in scope, the latest first, such as "2026-05"; none still to come."""
    if scope.squad is None:
        return []
    chosen = scope.strikes
    today = datetime.now().astimezone().date()
    held = [
        one.held_on
        for one in practices(database, scope.squad)
        if one.held_on <= today
        and (chosen.first_day is None or one.held_on >= chosen.first_day)
        and (chosen.last_day is None or one.held_on <= chosen.last_day)
    ]
    return list(dict.fromkeys(f"{day:%Y-%m}" for day in held))


def month_coverage(database: Database, scope: Scope, *, month: str | None = None) -> MonthCoverage:
    """The strikes of each active player's feet in a month of the scope, which names a squad; else the latest month."""
    there = months(database, scope)
    chosen = month if month in there else next(iter(there), None)
    by = (Dimension.PLAYER, Dimension.FOOT, Dimension.MONTH)
    counted = accuracy(database, replace(scope, player=None), by=by, cluster=False).filter(
        pl.col("month").eq_missing(chosen)
    )
    everyone = _everyone(database, scope)
    feet = everyone.join(
        counted.select("player", "foot", "attempts"), on=["player", "foot"], how="left", maintain_order="left"
    ).with_columns(pl.col("attempts").fill_null(0))
    return MonthCoverage(month=chosen, feet=feet)


def _everyone(database: Database, scope: Scope) -> pl.DataFrame:
    names: Sequence[str] = (
        [one.display_name for one in players(database, scope.squad) if one.active and scope.player in (None, one)]
        if scope.squad
        else []
    )
    rows = [(name, foot.value) for name in names for foot in Foot]
    return pl.DataFrame(rows, schema={"player": pl.String, "foot": pl.String}, orient="row")
