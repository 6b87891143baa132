"""What is a rate likely to be when there are few strikes? Players borrow from their squad."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import polars as pl

from tracker.review.cells import Codes, cells, codes, correlations, distinct
from tracker.review.like_for_like import FOOT_AT_STAGE, design_effects
from tracker.review.norms import norms_of_squad
from tracker.review.scope import Scope
from tracker.stats.pooling import GroupNorm, pooled_rates
from tracker.store.database import Database
from tracker.store.strikes import player_numbers


def pooled(database: Database, scope: Scope, *, level: float = 0.80) -> pl.DataFrame:
    """One row per player, foot and stage with strikes: attempts, on_target, rate, pooled_rate, low, high, level,
    squad_rate, squad_strength, squad_method, effective_attempts.

    The pooled rate lies between the player's own and that of the squad at this stage with this foot, the nearer to the
    squad's the fewer the strikes; low and high bound its credible interval. For planning, never to be told as the
    player's rate. ``squad_strength`` is how many strikes the squad counts for. Where too few players can tell the
    squad's spread, and a norm was taken in that fits its ladder, the norm stands in (``squad_method`` is then
    *federation norm*). Whatever player the scope names, the whole squad is borrowed from.
    Raises ValueError for a level outside (0, 1).
    """
    squad = replace(scope, player=None)
    counted = cells(database, squad)
    feet, foot = distinct(counted, FOOT_AT_STAGE)
    group = distinct(feet, ["stage", "foot"])[1]
    attempts = np.bincount(foot, counted["attempts"].to_numpy(), minlength=feet.height)
    on_target = np.bincount(foot, counted["on_target"].to_numpy(), minlength=feet.height)
    effect = design_effects(counted, foot, correlations(database, squad, own=counted))
    norms = _norms(database, scope, feet, group)
    result = pooled_rates(attempts / effect, on_target / effect, group, level=level, norms=norms)
    players = player_numbers(database)
    rows = feet.select(
        players["player_id"].gather(feet["player"]),
        players["player"].gather(feet["player"]),
        pl.col("foot", "stage").cast(pl.String),
        pl.Series("attempts", attempts.astype(np.int64)),
        pl.Series("on_target", on_target.astype(np.int64)),
        pl.Series("rate", on_target / attempts),
        pl.Series("pooled_rate", result.rate),
        pl.Series("low", result.low),
        pl.Series("high", result.high),
        pl.lit(level).alias("level"),
        pl.Series("squad_rate", result.mean[group]),
        pl.Series("squad_strength", result.strength[group]),
        pl.Series("squad_method", [result.methods[one].value for one in codes(pl.Series(group))], dtype=pl.String),
        pl.Series("effective_attempts", attempts / effect),
    )
    if scope.player is not None:
        rows = rows.filter(pl.col("player_id") == str(scope.player.player_id))
    return rows.drop("player_id")


def _norms(database: Database, scope: Scope, feet: pl.DataFrame, group: Codes) -> dict[int, GroupNorm]:
    """The norms that fit the squad's ladder, by the code of stage and foot.

    Where it is not known how clubs differ they are taken to differ as players do, so that the squad's own strikes soon
    count for more.
    """
    found = norms_of_squad(database, scope.squad) if scope.squad else {}
    if not found:
        return {}
    pairs = feet.select(pl.col("stage", "foot").cast(pl.String), code=group).unique()
    return {
        code: GroupNorm(mean=norm.mean, strength=norm.strength, squad_strength=norm.club_strength or norm.strength)
        for stage, foot, code in pairs.iter_rows()
        if (norm := found.get((stage, foot)))
    }
