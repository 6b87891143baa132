"""From how far does a foot still hit so many of ten?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import polars as pl

from tracker.domain.vocabulary import Dimension, Foot
from tracker.errors import RequestError
from tracker.review.accuracy import accuracy
from tracker.review.aim import aim
from tracker.review.club import ladder_of
from tracker.review.scope import Scope
from tracker.stats.aim import hit_probability, target_half_angle_deg
from tracker.stats.checks import FloatArray
from tracker.store.database import Database

SHARE = 0.7
NEAREST_M, FARTHEST_M, STEP_M = 3.0, 25.0, 0.25
"""The distances looked at."""
FEWEST_STRIKES = 10
"""Strikes at a distance under which its rate is not shown."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Reach:
    """One foot at one width of target.

    ``observed`` has one row per stage and distance band struck at such a target with ten strikes or more: stage,
    distance_m, attempts, on_target, rate, low, high. ``curve`` is what the aim promises: distance_m, rate, is_struck
    (within the distances struck). ``reach_m`` is how far the rate is at least ``share``, with limits; None where the
    strikes cannot tell. ``is_beyond``: farther, or nearer, than any distance struck.
    """

    foot: Foot
    share: float
    target_width_m: float | None
    observed: pl.DataFrame
    curve: pl.DataFrame
    reach_m: float | None
    reach_low_m: float | None
    reach_high_m: float | None
    nearest_m: float | None
    farthest_m: float | None

    @property
    def is_beyond(self) -> bool:
        """Whether the reach lies outside the distances struck, so that it is a forecast."""
        if self.reach_m is None or self.nearest_m is None or self.farthest_m is None:
            return False
        return not self.nearest_m <= self.reach_m <= self.farthest_m


def reach(database: Database, scope: Scope, *, share: float = SHARE) -> list[Reach]:
    """The reach of both feet of a player, left first, at the target of the stage each foot works at now.

    The curve is that of ``review.aim``: bias and spread of the foot, so it is about direction alone. Its limits carry
    the limits of the spread over, the bias held. Raises RequestError when the scope names no squad or no player,
    ValueError for a share outside (0, 1).
    """
    if scope.squad is None or scope.player is None:
        raise RequestError("Say which player.")
    if not 0 < share < 1:
        raise ValueError(f"share must lie between 0 and 1, but is {share}")
    widths = {stage.name: stage.target.width_m for stage in ladder_of(database, scope.squad).stages}
    by = [Dimension.FOOT, Dimension.PLAYER, Dimension.STAGE, Dimension.DISTANCE]
    struck = accuracy(database, scope, by=by).filter(pl.col("distance").is_not_null())
    enough = aim(database, scope).filter(pl.col("attempts") >= FEWEST_STRIKES)
    aims = {row["foot"]: row for row in enough.iter_rows(named=True)}
    return [_of_foot(foot, struck, aims.get(foot.value, {}), widths, share=share) for foot in Foot]


def _of_foot(
    foot: Foot, struck: pl.DataFrame, row: dict[str, float | None], widths: dict[str, float], *, share: float
) -> Reach:
    width = row.get("target_width_m")
    alike = [name for name, its_width in widths.items() if width is not None and abs(its_width - width) < 0.01]
    mine = struck.filter((pl.col("foot") == foot.value) & pl.col("stage").is_in(alike))
    enough = mine.filter(pl.col("attempts") >= FEWEST_STRIKES).select(
        "stage", pl.col("distance").alias("distance_m"), "attempts", "on_target", "rate", "low", "high"
    )
    distances = np.arange(NEAREST_M, FARTHEST_M + STEP_M, STEP_M)
    spreads = [row.get(name) for name in ("spread_deg", "spread_high", "spread_low")]
    best, low, high = (_rates(distances, width, row.get("bias_deg"), spread) for spread in spreads)
    nearest, farthest = mine["distance"].min(), mine["distance"].max()
    curve = pl.DataFrame({"distance_m": distances, "rate": best if best is not None else np.nan}).with_columns(
        pl.col("distance_m").is_between(pl.lit(nearest), pl.lit(farthest)).fill_null(value=False).alias("is_struck")
    )
    return Reach(
        foot=foot,
        share=share,
        target_width_m=width,
        observed=enough,
        curve=curve if best is not None else curve.clear(),
        reach_m=_farthest(distances, best, share),
        reach_low_m=_farthest(distances, low, share),
        reach_high_m=_farthest(distances, high, share),
        nearest_m=nearest,  # type: ignore[arg-type]
        farthest_m=farthest,  # type: ignore[arg-type]
    )


def _rates(distances: FloatArray, width: float | None, bias: float | None, spread: float | None) -> FloatArray | None:
    """The chance that the direction is right at each distance; None where bias and spread do not tell."""
    if width is None or spread is None or spread <= 0:
        return None
    return hit_probability(target_half_angle_deg(width, distances), bias or 0.0, spread)


def _farthest(distances: FloatArray, rates: FloatArray | None, share: float) -> float | None:
    """The farthest distance at which the rate is at least the share; None when it is so everywhere or nowhere."""
    if rates is None:
        return None
    reached = np.flatnonzero(rates >= share)
    return float(distances[reached[-1]]) if 0 < reached.size < distances.size else None
