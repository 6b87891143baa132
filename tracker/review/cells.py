"""The counts every question starts from, and how much the strikes of one practice hang together in this squad."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import polars as pl
from numpy.typing import NDArray

from tracker.review.club import ladder_of
from tracker.review.scope import Scope
from tracker.stats.clustering import IntraclassCorrelation, intraclass_correlation
from tracker.store.database import Database
from tracker.store.strikes import tallies

DEFAULT_CORRELATION = 0.05
"""Assumed where no ladder says otherwise."""

CELL = ["player_id", "foot", "stage", "practice_id"]
"""A cell is what a player's one foot did at one stage in one practice: the strikes that hang together."""


def cells(database: Database, scope: Scope, *, by_surface: bool = False, by_distance: bool = False) -> pl.DataFrame:
    """Attempts and hits per cell, split by surface and distance band where asked; cells without attempts left out."""
    frame = tallies(database, scope.strikes, by_surface=by_surface, by_distance=by_distance)
    return frame.with_columns(pl.col("foot", "surface").cast(pl.String)).filter(pl.col("attempts") > 0)


def correlations(database: Database, scope: Scope) -> pl.DataFrame:
    """One row per foot and stage: correlation, allowed, is_estimated, strikes_a_practice (median of the cells).

    Pooled over the squad whatever player the scope names, so that a player's answer is the same alone and among others.
    """
    squad_cells = cells(database, replace(scope, player=None)).group_by(CELL).agg(pl.col("attempts", "on_target").sum())
    groups = (
        squad_cells.group_by("foot", "stage")
        .agg(pl.col("attempts").median().alias("strikes_a_practice"))
        .sort("foot", "stage", nulls_last=True)
        .with_row_index("group")
    )
    coded = squad_cells.join(groups, on=["foot", "stage"], nulls_equal=True).sort(CELL, nulls_last=True)
    estimate = intraclass_correlation(
        coded["attempts"].to_numpy(),
        coded["on_target"].to_numpy(),
        codes(coded["group"]),
        subject=codes(coded["player_id"].rank("dense") - 1),
        default=default_correlation(database, scope),
    )
    return groups.with_columns(*correlation_columns(estimate, groups.height)).drop("group")


def correlation_columns(estimate: IntraclassCorrelation, height: int) -> list[pl.Series]:
    """The estimate as columns correlation, allowed and is_estimated, one row a group."""
    return [
        pl.Series("correlation", estimate.correlation[:height]),
        pl.Series("allowed", estimate.allowed[:height]),
        pl.Series("is_estimated", estimate.is_estimated[:height]),
    ]


def default_correlation(database: Database, scope: Scope) -> float:
    """The correlation the squad's ladder assumes until the squad's own is known."""
    return ladder_of(database, scope.squad).correlation if scope.squad else DEFAULT_CORRELATION


def codes(column: pl.Series) -> NDArray[np.int64]:
    """Whole numbers as an array."""
    return column.cast(pl.Int64).to_numpy()
