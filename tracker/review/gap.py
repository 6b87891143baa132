"""Is the other foot catching up? Preferred minus other foot, with its interval."""

from __future__ import annotations

from collections.abc import Sequence

import polars as pl

from tracker.domain.vocabulary import Dimension
from tracker.review.cells import CELL, cells, codes, correlations
from tracker.review.scope import Scope
from tracker.stats.clustering import design_effect
from tracker.stats.difference import difference
from tracker.store.database import Database
from tracker.store.squads import players

GAP_DIMENSIONS = (Dimension.PLAYER, Dimension.STAGE)


def foot_gap(
    database: Database,
    scope: Scope,
    *,
    by: Sequence[Dimension] = GAP_DIMENSIONS,
    level: float = 0.95,
) -> pl.DataFrame:
    """One row per player (and stage): preferred_foot, preferred_rate, other_rate, gap, low, high, preferred_attempts,
    other_attempts.

    The gap is preferred minus other foot, as the player says it, so that picking the larger never inflates it; the
    interval is Newcombe's on effective attempts. Players who name both feet or none have no gap and no row.
    Raises ValueError for a dimension other than player and stage, or when player is missing.
    """
    dimensions = [Dimension(one) for one in by]
    if Dimension.PLAYER not in dimensions or not set(dimensions) <= set(GAP_DIMENSIONS):
        raise ValueError("by must be player, or player,stage: feet are compared within one player")
    keys = ["player_id", *(["stage"] if Dimension.STAGE in dimensions else [])]
    sides = _counts_per_foot(database, scope, keys)
    preferred, other = (sides.filter(pl.col("is_preferred") == side).drop("is_preferred") for side in (True, False))
    pairs = preferred.join(other, on=keys, how="full", coalesce=True, suffix="_other", nulls_equal=True)
    pairs = pairs.with_columns(pl.col("^(attempts|on_target|effect).*$").fill_null(0.0).cast(pl.Float64)).with_columns(
        pl.col("^effect.*$").clip(lower_bound=1.0)
    )
    result = difference(
        pairs["on_target"].to_numpy(),
        pairs["attempts"].to_numpy(),
        pairs["on_target_other"].to_numpy(),
        pairs["attempts_other"].to_numpy(),
        deff1=pairs["effect"].to_numpy(),
        deff2=pairs["effect_other"].to_numpy(),
        level=level,
    )
    answer = pairs.with_columns(
        (pl.col("on_target") / pl.col("attempts")).fill_nan(None).alias("preferred_rate"),
        (pl.col("on_target_other") / pl.col("attempts_other")).fill_nan(None).alias("other_rate"),
        pl.Series("gap", result.difference, nan_to_null=True),
        pl.Series("low", result.low),
        pl.Series("high", result.high),
        pl.col("attempts").cast(pl.Int64).alias("preferred_attempts"),
        pl.col("attempts_other").cast(pl.Int64).alias("other_attempts"),
    )
    named = answer.join(_feet(database), on="player_id", how="left")
    return named.sort("place", *keys[1:], nulls_last=True).select(
        *(one.value for one in dimensions),
        *(
            "preferred_foot",
            "preferred_rate",
            "other_rate",
            "gap",
            "low",
            "high",
            "preferred_attempts",
            "other_attempts",
        ),
    )


def _feet(database: Database) -> pl.DataFrame:
    """Players with one preferred foot, in the order of shirts."""
    rows = [
        (str(one.player_id), one.display_name, one.preferred_foot.value, place)
        for place, one in enumerate(players(database))
        if one.preferred_foot.foot is not None
    ]
    schema = {"player_id": pl.String, "player": pl.String, "preferred_foot": pl.String, "place": pl.Int64}
    return pl.DataFrame(rows, schema=schema, orient="row")


def _counts_per_foot(database: Database, scope: Scope, keys: list[str]) -> pl.DataFrame:
    """Per group and side (preferred or other foot): attempts, on_target and the design effect."""
    clusters = (
        cells(database, scope)
        .group_by(CELL)
        .agg(pl.col("attempts", "on_target").sum())
        .join(_feet(database), on="player_id")
        .with_columns((pl.col("foot") == pl.col("preferred_foot")).alias("is_preferred"))
        .join(correlations(database, scope), on=["foot", "stage"], how="left", nulls_equal=True)
    )
    sides = clusters.group_by(*keys, "is_preferred").agg(pl.col("attempts", "on_target").sum()).with_row_index("side")
    coded = clusters.join(sides.select("side", *keys, "is_preferred"), on=[*keys, "is_preferred"], nulls_equal=True)
    effect = design_effect(coded["attempts"].to_numpy(), codes(coded["side"]), coded["allowed"].to_numpy())
    return sides.with_columns(pl.Series("effect", effect)).drop("side")
