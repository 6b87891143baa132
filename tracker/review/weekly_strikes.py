"""How often does each player strike in a week, and which weeks stand out? Information, no limit and no diagnosis."""

from __future__ import annotations

from datetime import date, timedelta

import polars as pl

from tracker.domain.cautions import Jump, WeekOfStrikes, jumps
from tracker.review.scope import Scope
from tracker.store.database import Database
from tracker.store.plans import count_weeks


def weekly_strikes(database: Database, scope: Scope) -> pl.DataFrame:
    """One row per player and week (its Monday) with strikes, in the order of shirts: player, week, strikes.

    Blocked strikes count too: they load the leg as well. Stage, surface and distances cut nothing here.
    """
    days = scope.strikes
    found = count_weeks(database, squad_id=days.squad_id, first_day=days.first_day, last_day=days.last_day)
    if scope.player is not None:
        found = found.filter(player_id=str(scope.player.player_id))
    return found.select("player", "week", "strikes")


def unusual_strikes(database: Database, scope: Scope, *, week: date | None = None) -> list[Jump]:
    """The weeks in which a player struck far more often than in those before; only the week of a day when named."""
    found = jumps([WeekOfStrikes(**row) for row in weekly_strikes(database, scope).iter_rows(named=True)])
    if week is None:
        return found
    monday = week - timedelta(days=week.weekday())
    return [one for one in found if one.week == monday]
