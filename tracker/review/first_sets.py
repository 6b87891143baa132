"""Is the first set of the day like the later ones? Skill kept since last time against skill warmed up today."""

from __future__ import annotations

import numpy as np
import polars as pl

from tracker.domain.vocabulary import Foot
from tracker.review.cells import distinct
from tracker.review.scope import Scope
from tracker.stats.proportion import rate_of
from tracker.stats.warmup import first_set_difference
from tracker.store.database import Database
from tracker.store.strikes import count_first_sets, player_numbers

STRIKES_A_SET = 10
"""Strikes logged without a set are taken ten at a time (common practice, no source)."""


def first_sets(database: Database, scope: Scope, *, level: float = 0.95) -> pl.DataFrame:
    """One row per player and foot: first_rate, later_rate, difference, low, high, practices, first_attempts,
    later_attempts.

    The difference is first set minus later sets of the same practice at the same stage, so that a good day or an easy
    stage helps both sides alike; below 0 means that the first set is the poorer one. Practices with one set at a stage
    say nothing and are left out. Raises ValueError for a level outside (0, 1).
    """
    counted = count_first_sets(database, scope.strikes, strikes_a_set=STRIKES_A_SET)
    counted = counted.with_columns(pl.col("foot").cast(pl.String).cast(pl.Enum(Foot)))
    groups, group = distinct(counted, ["player", "foot"])
    result = first_set_difference(
        counted["first_on_target"].to_numpy(),
        counted["first_attempts"].to_numpy(),
        counted["later_on_target"].to_numpy(),
        counted["later_attempts"].to_numpy(),
        group,
        level=level,
    )
    practices = counted.select("practice_id", group=group).group_by("group").agg(pl.col("practice_id").n_unique())
    raw = result.raw
    return groups.select(
        player_numbers(database)["player"].gather(groups["player"]),
        pl.col("foot").cast(pl.String),
        pl.Series("first_rate", rate_of(raw.k1, raw.n1)),
        pl.Series("later_rate", rate_of(raw.k2, raw.n2)),
        pl.Series("difference", result.difference),
        pl.Series("low", result.low),
        pl.Series("high", result.high),
        practices.sort("group")["practice_id"].cast(pl.Int64).alias("practices"),
        pl.Series("first_attempts", raw.n1.astype(np.int64)),
        pl.Series("later_attempts", raw.n2.astype(np.int64)),
    )
