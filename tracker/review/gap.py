"""Is the other foot catching up? Preferred minus other foot, with its interval."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import polars as pl

from tracker.domain.vocabulary import Dimension, Foot
from tracker.review.cells import cells, codes, correlations, distinct, group_of_cells
from tracker.review.scope import Scope
from tracker.stats.checks import FloatArray
from tracker.stats.clustering import design_effect
from tracker.stats.difference import difference
from tracker.stats.proportion import rate_of
from tracker.store.database import Database
from tracker.store.strikes import player_numbers

GAP_DIMENSIONS = (Dimension.PLAYER, Dimension.STAGE)


def foot_gap(
    database: Database, scope: Scope, *, by: Sequence[Dimension] = GAP_DIMENSIONS, level: float = 0.95
) -> pl.DataFrame:
    """One row per player (and stage): preferred_foot, preferred_rate, other_rate, gap, low, high, preferred_attempts,
    other_attempts.

    The gap is preferred minus other foot, as the player says it, so that picking the larger never inflates it; the
    interval is Newcombe's on effective attempts. Players who name both feet or none have no gap and no row.
    Raises ValueError for a dimension other than player and stage, or when player is missing.
    """
    keys = [Dimension(one).value for one in by]
    if Dimension.PLAYER not in by or not set(by) <= set(GAP_DIMENSIONS):
        raise ValueError("by must be player, or player,stage: feet are compared within one player")
    players = player_numbers(database)
    own = cells(database, scope)
    known = correlations(database, scope, own=own)
    counted = (
        own.with_columns(
            players["preferred_foot"].cast(pl.String).gather(own["player"]).alias("preferred_foot"),
            pl.Series("allowed", known.allowed[group_of_cells(own, known)]),
        )
        .filter(pl.col("preferred_foot").is_in(list(Foot)))
        .with_columns((pl.col("foot").cast(pl.String) == pl.col("preferred_foot")).alias("is_preferred"))
    )
    groups, group = distinct(counted, keys)
    counted = counted.with_columns(group=group)
    preferred, other = (_side(counted.filter(is_preferred=side), groups.height) for side in (True, False))
    result = difference(
        *(preferred["on_target"], preferred["attempts"], other["on_target"], other["attempts"]),
        deff1=preferred["effect"],
        deff2=other["effect"],
        level=level,
    )
    return groups.select(
        *(
            players["player"].gather(groups["player"]) if key == "player" else pl.col(key).cast(pl.String)
            for key in keys
        ),
        players["preferred_foot"].cast(pl.String).gather(groups["player"]),
        pl.Series("preferred_rate", rate_of(preferred["on_target"], preferred["attempts"]), nan_to_null=True),
        pl.Series("other_rate", rate_of(other["on_target"], other["attempts"]), nan_to_null=True),
        pl.Series("gap", result.difference, nan_to_null=True),
        pl.Series("low", result.low),
        pl.Series("high", result.high),
        pl.Series("preferred_attempts", preferred["attempts"], dtype=pl.Int64),
        pl.Series("other_attempts", other["attempts"], dtype=pl.Int64),
    )


def _side(counted: pl.DataFrame, groups: int) -> dict[str, FloatArray]:
    """Attempts, hits and design effect of one side (preferred or other foot) in each group; arrays (groups,)."""
    group, attempts = codes(counted["group"]), counted["attempts"].to_numpy()
    effect = np.ones(groups)
    found = design_effect(attempts, group, counted["allowed"].to_numpy())
    effect[: found.size] = found
    return {
        "attempts": np.bincount(group, attempts, minlength=groups).astype(np.float64),
        "on_target": np.bincount(group, counted["on_target"].to_numpy(), minlength=groups).astype(np.float64),
        "effect": effect,
    }
