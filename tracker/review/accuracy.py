"""How accurate is each player, with which foot? Rates whose intervals allow for strikes of a day hanging together."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import polars as pl

from tracker.domain.vocabulary import Dimension, IntervalMethod
from tracker.review.cells import CELL, cells, codes, correlation_columns, correlations, default_correlation
from tracker.review.scope import Scope
from tracker.stats.clustering import clustered_proportion, design_effect, intraclass_correlation
from tracker.store.database import Database
from tracker.store.squads import players

FEWEST_PLAYERS = 8
"""Players a group must have before its own spread between players is used instead of the default."""


_COLUMN = {Dimension.PLAYER: "player_id", Dimension.PRACTICE: "practice_id"}


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
    dimensions = [Dimension(one) for one in by]
    keys = [_COLUMN.get(one, one.value) for one in dimensions]
    counted = cells(
        database, scope, by_surface=Dimension.SURFACE in dimensions, by_distance=Dimension.DISTANCE in dimensions
    ).with_columns(pl.col("held_on").dt.strftime("%Y-%m").alias("month"))
    groups = (
        counted.group_by(keys if keys else pl.lit(0).alias("all"))
        .agg(
            pl.col("attempts", "on_target").sum(),
            pl.col("practice_id").n_unique().cast(pl.Int64).alias("practices"),
            pl.col("held_on", "practice_label").first(),
        )
        .with_row_index("group")
    )
    grouped = (
        counted.join(groups.select("group", *keys), on=keys, nulls_equal=True)
        if keys
        else counted.with_columns(group=pl.lit(0))
    )
    if not cluster:
        spread = groups.select("group", design_effect=1.0, correlation=0.0, correlation_source=pl.lit("none"))
    elif Dimension.PLAYER in dimensions:
        spread = _spread_between_practices(grouped, correlations(database, scope))
    else:
        spread = _spread_between_players(grouped, default=default_correlation(database, scope))
    rated = with_interval(groups.join(spread, on="group", maintain_order="left"), level=level, method=method)
    return _named(database, rated, dimensions).select(
        *(one.value for one in dimensions),
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


def _spread_between_practices(grouped: pl.DataFrame, squad: pl.DataFrame) -> pl.DataFrame:
    """Design effect per group from its cells, each with the correlation of its foot and stage."""
    clusters = (
        grouped.group_by("group", *CELL)
        .agg(pl.col("attempts").sum())
        .join(squad, on=["foot", "stage"], how="left", nulls_equal=True)
        .sort("group", *CELL, nulls_last=True)
    )
    effect = design_effect(clusters["attempts"].to_numpy(), codes(clusters["group"]), clusters["allowed"].to_numpy())
    weight = pl.col("attempts")
    return (
        clusters.group_by("group", maintain_order=True)
        .agg(
            ((pl.col("correlation") * weight).sum() / weight.sum()).alias("correlation"),
            pl.when(pl.col("is_estimated").all())
            .then(pl.lit("estimated"))
            .otherwise(pl.lit("default"))
            .alias("correlation_source"),
        )
        .with_columns(pl.Series("design_effect", effect))
    )


def _spread_between_players(grouped: pl.DataFrame, *, default: float) -> pl.DataFrame:
    """Design effect per group from its players, who differ more than practices do."""
    clusters = (
        grouped.group_by("group", "player_id").agg(pl.col("attempts", "on_target").sum()).sort("group", "player_id")
    )
    estimate = intraclass_correlation(
        clusters["attempts"].to_numpy(),
        clusters["on_target"].to_numpy(),
        codes(clusters["group"]),
        default=default,
        fewest_clusters=FEWEST_PLAYERS,
    )
    group_of_row = codes(clusters["group"])
    effect = design_effect(clusters["attempts"].to_numpy(), group_of_row, estimate.allowed[group_of_row])
    height = effect.size
    return pl.DataFrame(
        [
            pl.Series("group", np.arange(height), dtype=pl.UInt32),
            pl.Series("design_effect", effect),
            *correlation_columns(estimate, height),
        ]
    ).with_columns(
        pl.when("is_estimated").then(pl.lit("estimated")).otherwise(pl.lit("default")).alias("correlation_source")
    )


def _named(database: Database, rated: pl.DataFrame, dimensions: Sequence[Dimension]) -> pl.DataFrame:
    """Names instead of ids, in the order of shirts, then of the dimensions."""
    order: list[str] = []
    if Dimension.PLAYER in dimensions:
        names = pl.DataFrame(
            [(str(one.player_id), one.display_name, place) for place, one in enumerate(players(database))],
            schema={"player_id": pl.String, "player": pl.String, "player_place": pl.Int64},
            orient="row",
        )
        rated = rated.join(names, on="player_id", how="left")
    if Dimension.PRACTICE in dimensions:
        rated = rated.with_columns(practice=practice_name(pl.col("held_on"), pl.col("practice_label")))
    for one in dimensions:
        order.append("player_place" if one is Dimension.PLAYER else one.value)
    return rated.sort(order, nulls_last=True) if order else rated


def practice_name(held_on: pl.Expr, label: pl.Expr) -> pl.Expr:
    """A practice's date, with its label where it has one."""
    return pl.concat_str(
        held_on.dt.strftime("%Y-%m-%d"), pl.when(label != "").then(pl.lit(" ") + label).otherwise(pl.lit(""))
    )
