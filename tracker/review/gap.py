"""Is the other foot catching up? Preferred minus other foot, like with like, with its interval."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import polars as pl

from tracker.domain.vocabulary import Dimension, Foot
from tracker.review.cells import Codes, cells, codes, correlations, distinct
from tracker.review.like_for_like import STRATUM, effect_at_stage
from tracker.review.scope import Scope
from tracker.stats.checks import FloatArray
from tracker.stats.proportion import rate_of
from tracker.stats.stratified import stratified_difference
from tracker.store.database import Database
from tracker.store.strikes import player_numbers

GAP_DIMENSIONS = (Dimension.PLAYER, Dimension.STAGE)


def foot_gap(
    database: Database, scope: Scope, *, by: Sequence[Dimension] = GAP_DIMENSIONS, level: float = 0.95
) -> pl.DataFrame:
    """One row per player (and stage): preferred_foot, preferred_rate, other_rate, gap, low, high, preferred_attempts,
    other_attempts, raw_gap, preferred_compared, other_compared, preferred_distance_m, other_distance_m, disagrees,
    preferred_like, preferred_like_low, preferred_like_high, other_like, other_like_low, other_like_high.

    The gap is preferred minus other foot, as the player says it, so that picking the larger never inflates it. Strikes
    are compared within one stage, distance band and surface, and the differences combined by Mantel-Haenszel weights;
    the interval is the stratified Newcombe interval on effective attempts. *compared* counts the strikes in strata
    struck with both feet; without any the gap is null and the limits −1 and 1. Rates, attempts and ``raw_gap`` are of
    all strikes, distances their means; ``disagrees`` says that the raw gap tells another story. *like* are the rates
    of the compared strikes, weighted as the gap is: the gap is their difference.
    Players who name both feet or none have no row.
    Raises ValueError for a dimension other than player and stage, or when player is missing.
    """
    keys = [Dimension(one).value for one in by]
    if Dimension.PLAYER not in by or not set(by) <= set(GAP_DIMENSIONS):
        raise ValueError("by must be player, or player,stage: feet are compared within one player")
    players = player_numbers(database)
    own = cells(database, scope, by_surface=True, by_distance=True)
    counted = (
        own.with_columns(
            players["preferred_foot"].cast(pl.String).gather(own["player"]).alias("preferred_foot"),
            pl.Series("effect", effect_at_stage(own, correlations(database, scope))),
        )
        .filter(pl.col("preferred_foot").is_in(list(Foot)))
        .with_columns((pl.col("foot").cast(pl.String) == pl.col("preferred_foot")).alias("is_preferred"))
    )
    groups, group = distinct(counted, keys)
    stratum = distinct(counted, STRATUM)[1]
    counted = counted.with_columns(group=group, stratum=stratum)
    group_of_stratum = np.zeros(int(stratum.max(initial=-1)) + 1, dtype=np.int64)
    group_of_stratum[stratum] = group
    preferred, other = (_side(counted.filter(is_preferred=side), group_of_stratum.size) for side in (True, False))
    result = stratified_difference(
        *(preferred["on_target"], preferred["attempts"], other["on_target"], other["attempts"]),
        group_of_stratum,
        deff1=preferred["effect"],
        deff2=other["effect"],
        level=level,
    )
    raw = result.raw
    return groups.select(
        *(
            players["player"].gather(groups["player"]) if key == "player" else pl.col(key).cast(pl.String)
            for key in keys
        ),
        players["preferred_foot"].cast(pl.String).gather(groups["player"]),
        pl.Series("preferred_rate", rate_of(raw.k1, raw.n1), nan_to_null=True),
        pl.Series("other_rate", rate_of(raw.k2, raw.n2), nan_to_null=True),
        pl.Series("gap", result.difference, nan_to_null=True),
        pl.Series("low", result.low),
        pl.Series("high", result.high),
        pl.Series("preferred_attempts", raw.n1).cast(pl.Int64),
        pl.Series("other_attempts", raw.n2).cast(pl.Int64),
        pl.Series("raw_gap", raw.difference, nan_to_null=True),
        pl.Series("preferred_compared", result.compared1).cast(pl.Int64),
        pl.Series("other_compared", result.compared2).cast(pl.Int64),
        _mean_distance(counted.filter("is_preferred"), groups.height).alias("preferred_distance_m"),
        _mean_distance(counted.filter(~pl.col("is_preferred")), groups.height).alias("other_distance_m"),
        pl.Series("disagrees", result.disagrees),
        *(
            pl.Series(f"{side}_like{end}", figures, nan_to_null=True)
            for side, found in (("preferred", result.side1), ("other", result.side2))
            for end, figures in (("", found.rate), ("_low", found.low), ("_high", found.high))
        ),
    )


def _side(counted: pl.DataFrame, strata: int) -> dict[str, FloatArray]:
    """Attempts, hits and design effect of one side (preferred or other foot) in each stratum; arrays (strata,)."""
    stratum = codes(counted["stratum"])
    effect = np.ones(strata)
    effect[stratum] = counted["effect"].to_numpy()
    return {
        "attempts": _sums(stratum, counted["attempts"], strata),
        "on_target": _sums(stratum, counted["on_target"], strata),
        "effect": effect,
    }


def _mean_distance(counted: pl.DataFrame, groups: int) -> pl.Series:
    """The mean distance of one side's strikes in each group, metres; null where no distance is known."""
    known = counted.filter(pl.col("distance").is_not_null())
    group = codes(known["group"])
    strikes = _sums(group, known["attempts"], groups)
    metres = _sums(group, known["attempts"] * known["distance"], groups)
    return pl.Series(np.divide(metres, strikes, out=np.full(groups, np.nan), where=strikes > 0), nan_to_null=True)


def _sums(code: Codes, column: pl.Series, length: int) -> FloatArray:
    """The sum of a column for each code; (length,)."""
    return np.bincount(code, column.to_numpy(), minlength=length).astype(np.float64)
