"""How accurate is each player, with which foot? Rates whose intervals allow for strikes of a day hanging together."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import polars as pl

from tracker.domain.vocabulary import Dimension, IntervalMethod
from tracker.review.cells import (
    CELL,
    Codes,
    cells,
    codes,
    correlations,
    default_correlation,
    distinct,
    group_of_cells,
)
from tracker.review.scope import Scope
from tracker.stats.clustering import clustered_proportion, design_effect, intraclass_correlation
from tracker.store.database import Database
from tracker.store.strikes import player_numbers, practice_numbers

FEWEST_PLAYERS = 8
"""Players a group must have before its own spread between players is used instead of the default."""


def accuracy(
    database: Database,
    scope: Scope,
    *,
    by: Sequence[Dimension] = (Dimension.PLAYER, Dimension.FOOT),
    level: float = 0.95,
    method: IntervalMethod = IntervalMethod.WILSON,
    cluster: bool = True,
) -> pl.DataFrame:
    """One row per combination of ``by``: attempts, on_target, rate, low, high, level, method, practices,
    effective_attempts, correlation, correlation_source.

    Rates are 0..1. Split by player, the interval allows for the practices of a player hanging together; otherwise for
    the players of a group differing. With ``cluster=False`` strikes count as independent. ``correlation_source`` is
    *estimated* (from the squad), *default* (the ladder's; too few practices yet) or *none*.
    Raises ValueError for a level outside (0, 1).
    """
    keys = [Dimension(one).value for one in by]
    split = {"by_surface": Dimension.SURFACE in by, "by_distance": Dimension.DISTANCE in by}
    counted = cells(database, scope, **split)
    practices = practice_numbers(database)
    if Dimension.MONTH in by:
        months = practices["month"].cast(pl.Enum(practices["month"].unique().sort()))
        counted = counted.with_columns(months.gather(counted["practice"]).alias("month"))
    groups, group = distinct(counted, keys)
    if not cluster:
        spread = pl.DataFrame({"design_effect": 1.0, "correlation": 0.0, "correlation_source": "none"})
        spread = spread.select(pl.all().repeat_by(groups.height).explode())
    elif Dimension.PLAYER in by:
        spread = _spread_between_practices(database, scope, counted, group, is_split=any(split.values()))
    else:
        spread = _spread_between_players(counted, group, default=default_correlation(database, scope))
    totals = (
        counted.select("attempts", "on_target", "practice", group=group)
        .group_by("group")
        .agg(pl.col("attempts", "on_target").sum(), pl.col("practice").n_unique().cast(pl.Int64).alias("practices"))
        .sort("group")
        .drop("group")
    )
    rated = with_interval(pl.concat([groups, totals, spread], how="horizontal"), level=level, method=method)
    if Dimension.PLAYER in by:
        rated = rated.with_columns(player_numbers(database)["player"].gather(rated["player"]))
    if Dimension.PRACTICE in by:
        rated = rated.with_columns(practices["practice"].gather(rated["practice"]))
    return rated.select(
        *(pl.col(key) if key == "distance" else pl.col(key).cast(pl.String) for key in keys),
        *("attempts", "on_target", "rate", "low", "high", "level", "method", "practices"),
        *("effective_attempts", "correlation", "correlation_source"),
    )


def with_interval(counts: pl.DataFrame, *, level: float, method: IntervalMethod) -> pl.DataFrame:
    """Adds rate, low, high, effective_attempts, level and method to attempts, on_target and design_effect."""
    estimate = clustered_proportion(
        counts["on_target"].to_numpy(),
        counts["attempts"].to_numpy(),
        counts["design_effect"].to_numpy(),
        level=level,
        method=method,
    )
    return counts.with_columns(
        pl.Series("rate", estimate.rate),
        pl.Series("low", estimate.low),
        pl.Series("high", estimate.high),
        pl.Series("effective_attempts", estimate.effective_n),
        pl.lit(level).alias("level"),
        pl.lit(method.value).alias("method"),
    )


def _spread_between_practices(
    database: Database, scope: Scope, counted: pl.DataFrame, group: Codes, *, is_split: bool
) -> pl.DataFrame:
    """Design effect per group from its cells, each with the correlation of its foot and stage."""
    clusters = counted.select(*CELL, "attempts", group=group)
    if is_split:
        merged, code = distinct(clusters, ["group", *CELL])
        attempts = np.bincount(code, clusters["attempts"].to_numpy())
        clusters = merged.with_columns(pl.Series("attempts", attempts))
    known = correlations(database, scope, own=None if is_split else counted)
    place, group = group_of_cells(clusters, known), codes(clusters["group"])
    attempts = clusters["attempts"].to_numpy()
    weight = np.bincount(group, attempts)
    is_known = np.bincount(group, ~known.is_estimated[place]) == 0
    return pl.DataFrame(
        {
            "design_effect": design_effect(attempts, group, known.allowed[place]),
            "correlation": np.bincount(group, attempts * known.correlation[place]) / weight,
            "correlation_source": np.where(is_known, "estimated", "default"),
        }
    )


def _spread_between_players(counted: pl.DataFrame, group: Codes, *, default: float) -> pl.DataFrame:
    """Design effect per group from its players, who differ more than practices do."""
    clusters, code = distinct(counted.select("player", group=group), ["group", "player"])
    attempts = np.bincount(code, counted["attempts"].to_numpy())
    on_target = np.bincount(code, counted["on_target"].to_numpy())
    of_group = codes(clusters["group"])
    estimate = intraclass_correlation(attempts, on_target, of_group, default=default, fewest_clusters=FEWEST_PLAYERS)
    return pl.DataFrame(
        {
            "design_effect": design_effect(attempts, of_group, estimate.allowed[of_group]),
            "correlation": estimate.correlation,
            "correlation_source": np.where(estimate.is_estimated, "estimated", "default"),
        }
    )
