"""Practice by practice: how did the first set go, and how the later ones?"""

from __future__ import annotations

import polars as pl

from tracker.domain.vocabulary import Foot
from tracker.review.first_sets import STRIKES_A_SET
from tracker.review.scope import Scope
from tracker.store.database import Database
from tracker.store.strikes import count_first_sets, player_numbers, practice_numbers


def practice_strip(database: Database, scope: Scope) -> pl.DataFrame:
    """One row per player, foot and practice with two sets or more at a stage, in time: player, foot, held_on,
    first_on_target, first_attempts, first_rate, later_on_target, later_attempts, later_rate.

    First and later sets are summed over the stages of a practice; ``review.first_sets`` judges them.
    """
    names, held = player_numbers(database), practice_numbers(database)
    counted = count_first_sets(database, scope.strikes, strikes_a_set=STRIKES_A_SET)
    sets = (
        counted.join(held.select("practice_id", "held_on"), on="practice_id", how="left")
        .with_columns(pl.col("foot").cast(pl.String).cast(pl.Enum(Foot)))
        .group_by("player", "foot", "practice_id", "held_on")
        .agg(pl.col("first_on_target", "first_attempts", "later_on_target", "later_attempts").sum())
        .sort("player", "foot", "held_on", "practice_id")
        .with_columns(
            (pl.col("first_on_target") / pl.col("first_attempts")).alias("first_rate"),
            (pl.col("later_on_target") / pl.col("later_attempts")).alias("later_rate"),
        )
    )
    return sets.select(
        names["player"].gather(sets["player"]),
        pl.col("foot").cast(pl.String),
        "held_on",
        *(f"{part}_{name}" for part in ("first", "later") for name in ("on_target", "attempts", "rate")),
    )
