"""The counts every question starts from, and how much the strikes of one practice hang together in this squad.

A *cell* is what a player's one foot did at one stage in one practice: the strikes that hang together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
import polars as pl
from numpy.typing import NDArray

from tracker.domain.squad import Squad
from tracker.domain.vocabulary import Foot, Surface
from tracker.review.club import ladder_of
from tracker.review.scope import Scope
from tracker.stats.clustering import intraclass_correlation
from tracker.store.database import Database
from tracker.store.strikes import count_cells, practice_numbers

DEFAULT_CORRELATION = 0.05
"""Assumed where no ladder says otherwise."""

CELL = ["player", "foot", "stage", "practice"]
Codes = NDArray[np.int64]


@dataclass(frozen=True, kw_only=True, slots=True)
class Correlations:
    """What is known of each foot and stage, by the cells' group code; arrays of shape (groups,).

    ``correlation`` is the squad's own where ``is_estimated``, else the ladder's default; ``allowed`` is what an
    interval should allow for; ``strikes_a_practice`` the median of the cells.
    """

    foot: list[str]
    stage: list[str | None]
    correlation: NDArray[np.float64]
    allowed: NDArray[np.float64]
    is_estimated: NDArray[np.bool_]
    strikes_a_practice: NDArray[np.float64]


def cells(database: Database, scope: Scope, *, by_surface: bool = False, by_distance: bool = False) -> pl.DataFrame:
    """Attempts and hits per cell, split by surface and distance band where asked, in a fixed order.

    Columns: player and practice (numbers), foot, stage and surface (Enums), distance (metres), attempts, on_target.
    """
    return _remembered_cells(database, database.changes, scope, by_surface=by_surface, by_distance=by_distance)


@lru_cache(maxsize=4)
def _remembered_cells(
    database: Database, changes: int, scope: Scope, *, by_surface: bool, by_distance: bool
) -> pl.DataFrame:
    """Several questions start from the same cells; they hold until something is stored (``changes``)."""
    del changes
    frame = count_cells(database, scope.strikes, by_surface=by_surface, by_distance=by_distance)
    stages = frame["stage"].drop_nulls().unique().sort()
    typed = frame.with_columns(
        pl.col("foot").cast(pl.Enum(Foot)),
        pl.col("stage").cast(pl.Enum(stages)),
        pl.col("surface").cast(pl.Enum(Surface)),
    )
    # One whole-number code to sort by is several times quicker than sorting by columns.
    order = np.argsort(packed(typed, [*CELL, "surface", "distance"]), kind="stable")
    return typed[order]


def correlations_of_squads(database: Database, scope: Scope, squads: Sequence[Squad]) -> list[Correlations]:
    """`correlations` of each of these squads, from one count of all strikes."""
    pool = replace(scope.every_strike, player=None, squad=None)
    everyone = cells(database, pool)
    squad_of = practice_numbers(database)["squad_id"].gather(everyone["practice"])
    parts = everyone.with_columns(squad_of.alias("squad_id")).partition_by("squad_id", as_dict=True, include_key=False)
    return [
        _pooled_correlations(database, replace(pool, squad=squad), parts.get((str(squad.squad_id),), everyone.clear()))
        for squad in squads
    ]


def correlations(database: Database, scope: Scope, *, own: pl.DataFrame | None = None) -> Correlations:
    """How much strikes of one practice hang together, per foot and stage, pooled over the squad.

    Whatever player, stage, surface or distances the scope names, so that a player's answer is the same alone and among
    others. ``own`` are the scope's cells, when they are at hand and not split further.
    """
    pool = replace(scope.every_strike, player=None)
    if own is not None and scope == pool:
        return _pooled_correlations(database, pool, own)
    return _remembered_correlations(database, database.changes, pool)


@lru_cache(maxsize=32)
def _remembered_correlations(database: Database, changes: int, pool: Scope) -> Correlations:
    """One answer about a player asks for these several times; they hold until something is stored (``changes``)."""
    del changes
    return _pooled_correlations(database, pool, cells(database, pool))


def _pooled_correlations(database: Database, pool: Scope, squad: pl.DataFrame) -> Correlations:
    groups, group = distinct(squad, ["foot", "stage"])
    estimate = intraclass_correlation(
        squad["attempts"].to_numpy(),
        squad["on_target"].to_numpy(),
        group,
        subject=codes(squad["player"]),
        default=default_correlation(database, pool),
    )
    medians = squad.select("attempts", group=group).group_by("group").agg(pl.col("attempts").median()).sort("group")
    return Correlations(
        foot=groups["foot"].to_list(),
        stage=groups["stage"].to_list(),
        correlation=estimate.correlation,
        allowed=estimate.allowed,
        is_estimated=estimate.is_estimated,
        strikes_a_practice=medians["attempts"].to_numpy(),
    )


def group_of_cells(frame: pl.DataFrame, known: Correlations) -> Codes:
    """The group code of each cell's foot and stage in ``known``."""
    place = {pair: number for number, pair in enumerate(zip(known.foot, known.stage, strict=True))}
    pairs, pair = distinct(frame, ["foot", "stage"])
    return np.array([place[foot, stage] for foot, stage in pairs.iter_rows()], dtype=np.int64)[pair]


def default_correlation(database: Database, scope: Scope) -> float:
    """The correlation the squad's ladder assumes until the squad's own is known."""
    return ladder_of(database, scope.squad).correlation if scope.squad else DEFAULT_CORRELATION


def distinct(frame: pl.DataFrame, keys: list[str]) -> tuple[pl.DataFrame, Codes]:
    """The distinct combinations of some columns in a fixed order, and the code of each row's."""
    _, first, code = np.unique(packed(frame, keys), return_index=True, return_inverse=True)
    return frame[first].select(keys), code.astype(np.int64)


def packed(frame: pl.DataFrame, keys: list[str]) -> Codes:
    """One whole number per row, the same where all ``keys`` are the same, in the order of the keys; nulls come last."""
    code = np.zeros(frame.height, dtype=np.int64)
    for key in keys:
        column = frame[key]
        if column.null_count() == frame.height:
            continue
        physical = (column * 2 if column.dtype.is_float() else column).to_physical().cast(pl.Int64)
        size = int(physical.max()) + 2  # type: ignore[arg-type]
        code = code * size + physical.fill_null(size - 1).to_numpy()
    return code


def codes(column: pl.Series) -> Codes:
    """Whole numbers as an array."""
    return column.cast(pl.Int64).to_numpy()
