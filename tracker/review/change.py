"""Did a player's foot change over the season, judged at like difficulty?"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import polars as pl

from tracker.domain.vocabulary import Dimension
from tracker.review.cells import cells, codes, correlations, distinct
from tracker.review.like_for_like import FOOT_DIMENSIONS, PRACTICE_OF_FOOT, checked_feet, design_effects
from tracker.review.scope import Scope
from tracker.stats.change import ChangeEstimate, SeasonChange, adjusted_verdict, season_change
from tracker.stats.multiplicity import benjamini_hochberg
from tracker.store.database import Database
from tracker.store.strikes import player_numbers, practice_numbers

NEAREST_BAND_M = 0.5
"""What the distance band of 0 m stands for: its logarithm is needed."""


def change(
    database: Database, scope: Scope, *, by: Sequence[Dimension] = FOOT_DIMENSIONS, level: float = 0.95
) -> pl.DataFrame:
    """One row per player and foot (and stage): start_rate, end_rate, change, low, high, practices, verdict, attempts,
    raw_change, raw_verdict, disagrees, alone_verdict, start_low, start_high, end_low, end_high.

    Start and end are the first and the last practice, at the stage and distance of the average strike; a strike whose
    distance is not known has that of its stage. ``raw_change`` leaves difficulty out; ``disagrees`` says that its
    verdict is another. Verdicts (of ``ChangeVerdict``) allow for as many feet being looked at as there are rows
    (Benjamini-Hochberg); ``alone_verdict`` is that of the row's own interval. Without a verdict the figures are null
    and the limits of the change −1 and 1.
    Raises ValueError for a split other than player,foot or player,foot,stage, or a level outside (0, 1).
    """
    keys = checked_feet(by)
    counted = _with_difficulty(database, cells(database, scope, by_distance=True))
    groups, group = distinct(counted, keys)
    known = correlations(database, scope)
    effect = design_effects(counted, group, known, together=PRACTICE_OF_FOOT)
    changes = [
        _season_change(rows, least_dispersion=floor, level=level)
        for rows, floor in zip(_parts(counted, group), effect.tolist(), strict=True)
    ]
    like, raw = [one.like_for_like for one in changes], [one.raw for one in changes]
    verdicts, raw_verdicts = _verdicts(like, level=level), _verdicts(raw, level=level)
    names = player_numbers(database)["player"]
    return groups.select(
        *(names.gather(groups["player"]) if key == "player" else pl.col(key).cast(pl.String) for key in keys),
        *(_figures(like, name).alias(name) for name in ("start_rate", "end_rate", "change", "low", "high")),
        pl.Series("practices", [one.practices for one in changes], dtype=pl.Int64),
        pl.Series("verdict", verdicts, dtype=pl.String),
        pl.Series("attempts", [round(one.attempts) for one in changes], dtype=pl.Int64),
        _figures(raw, "change").alias("raw_change"),
        pl.Series("raw_verdict", raw_verdicts, dtype=pl.String),
        pl.Series("disagrees", [one != other for one, other in zip(verdicts, raw_verdicts, strict=True)], pl.Boolean),
        pl.Series("alone_verdict", [one.verdict.value for one in like], dtype=pl.String),
        *(_figures(like, name).alias(name) for name in ("start_low", "start_high", "end_low", "end_high")),
    )


def _with_difficulty(database: Database, counted: pl.DataFrame) -> pl.DataFrame:
    """The cells with the day of their practice, and an unknown distance taken from strikes like it."""
    distance, of_foot = pl.col("distance").clip(NEAREST_BAND_M), ["player", "foot"]
    usual = (pl.col("distance") * pl.col("attempts")).sum() / pl.col("attempts").filter(
        pl.col("distance").is_not_null()
    ).sum()
    days = practice_numbers(database)["held_on"].gather(counted["practice"]).to_physical()
    return counted.with_columns(distance).with_columns(
        days.alias("day"),
        pl.coalesce("distance", usual.over(*of_foot, "stage").fill_nan(None), usual.over(of_foot).fill_nan(None)),
    )


def _parts(counted: pl.DataFrame, group: np.ndarray[tuple[int], np.dtype[np.int64]]) -> list[pl.DataFrame]:
    """The rows of each group, in the order of the codes."""
    return counted.with_columns(group=group).sort("group", maintain_order=True).partition_by("group")


def _season_change(rows: pl.DataFrame, *, least_dispersion: float, level: float) -> SeasonChange:
    """The change of one group; its distances are left out where none is known."""
    is_known = rows["distance"].null_count() == 0
    return season_change(
        rows["attempts"].to_numpy(),
        rows["on_target"].to_numpy(),
        rows["day"].to_numpy(),
        practice=codes(rows["practice"]),
        stage=distinct(rows, ["stage"])[1],
        distance_m=rows["distance"].to_numpy() if is_known else None,
        least_dispersion=least_dispersion,
        level=level,
    )


def _verdicts(estimates: list[ChangeEstimate], *, level: float) -> list[str]:
    """The verdicts after allowing for the others."""
    adjusted = benjamini_hochberg([one.p_value for one in estimates]).tolist()
    return [
        adjusted_verdict(one.verdict, p_value, level=level).value
        for one, p_value in zip(estimates, adjusted, strict=True)
    ]


def _figures(estimates: list[ChangeEstimate], name: str) -> pl.Series:
    return pl.Series(name, [getattr(one, name) for one in estimates], dtype=pl.Float64).fill_nan(None)
