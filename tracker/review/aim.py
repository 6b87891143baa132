"""Where do a player's strikes go, how widely, and what does that promise at a target?"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import polars as pl

from tracker.domain.vocabulary import Dimension, Foot
from tracker.review.cells import Codes, cells, codes, correlations, distinct
from tracker.review.club import ladders_of
from tracker.review.like_for_like import FOOT_AT_STAGE, FOOT_DIMENSIONS, checked_feet, design_effects
from tracker.review.readiness import stages_worked_on
from tracker.review.scope import Scope
from tracker.stats.aim import AimFit, fit_aim, target_half_angle_deg
from tracker.stats.aim_parts import compared_parts
from tracker.stats.checks import BoolArray, FloatArray
from tracker.store.database import Database
from tracker.store.squads import players, squads
from tracker.store.strikes import count_directions, player_numbers

FIGURES = ("bias_deg", "bias_low", "bias_high", "spread_deg", "spread_low", "spread_high")
DIRECTIONS = ("missed_left", "on_target", "missed_right", "missed_unsided")
FEWEST_STRIKES = 10
"""Strikes a stage needs before its aim stands for a foot's."""
UNLIKE_BELOW = 0.05
"""Stages are told apart where their difference is this unlikely for one bias and spread."""


def aim(
    database: Database,
    scope: Scope,
    *,
    by: Sequence[Dimension] = FOOT_DIMENSIONS,
    target_width_m: float | None = None,
    distance_m: float | None = None,
    level: float = 0.95,
) -> pl.DataFrame:
    """One row per player and foot (and stage): attempts, bias_deg, bias_low, bias_high, spread_deg, spread_low,
    spread_high, predicted_rate, predicted_low, predicted_high, case, of_stage, target_width_m, distance_m.

    Angles are degrees from the middle of the target as the striker sees it: a bias below 0 is to the left. Only strikes
    with a known distance and target width count; those over, short or blocked say nothing about direction and are left
    out, and an off-target strike whose side nobody noted counts as a miss to either side. Intervals allow for strikes
    of one day hanging together. ``case`` (of ``AimCase``) says what the strikes can tell; a figure they cannot tell,
    or without an upper bound, is null.

    Like with like: a volley spreads wider than a still ball. All stages of a foot are taken together where one bias and
    spread describe them, and ``of_stage`` is null; otherwise the row is of the strikes at ``of_stage`` alone: where the
    foot works now or, with fewer than ten strikes there, the nearest stage of the ladder with ten.

    Predicted is the chance that the direction is right, straight in front of the target asked for, otherwise of the
    row's own stage: where the foot works now, or the ladder's stage it struck at most (null where there is none).
    Raises ValueError for a split other than player,foot or player,foot,stage, only one of width and distance, or a
    width or distance not above 0.
    """
    keys = checked_feet(by)
    if (target_width_m is None) != (distance_m is None):
        raise ValueError("target_width_m and distance_m are given together or not at all")
    struck = _struck(database, scope)
    groups, group = distinct(struck, keys)
    stages = _stages_of(database, scope, struck, groups)
    used = np.ones(struck.height, dtype=bool)
    if "stage" not in keys:
        unlike = _unlike(struck, group)
        stages = stages.with_columns(pl.when(pl.lit(pl.Series(unlike))).then("of_stage").alias("of_stage"))
        at_it = struck["stage"].cast(pl.String).eq_missing(stages["of_stage"].gather(group)).to_numpy()
        used = ~unlike[group] | at_it
    fit = _fitted(struck.filter(used), group[used], groups.height, level=level)
    if target_width_m is not None and distance_m is not None:
        asked = {"target_width_m": float(target_width_m), "distance_m": float(distance_m)}
        stages = stages.with_columns(pl.lit(value).alias(name) for name, value in asked.items())
    strikes = np.bincount(group[used], struck.filter(used)["strikes"].to_numpy(), minlength=groups.height)
    names = player_numbers(database)["player"]
    return groups.select(
        *(names.gather(groups["player"]) if key == "player" else pl.col(key).cast(pl.String) for key in keys),
        pl.Series("attempts", strikes.astype(np.int64)),
        *(_finite(getattr(fit, name)).alias(name) for name in FIGURES),
        *_predicted(fit, stages),
        pl.Series("case", fit.case, dtype=pl.String),
        *(stages[name] for name in ("of_stage", "target_width_m", "distance_m")),
    )


def _struck(database: Database, scope: Scope) -> pl.DataFrame:
    """The tallies by direction with ``strikes``, ``half_angle`` (degrees) and the design ``effect`` of the stage."""
    struck = count_directions(database, scope.strikes)
    counted = cells(database, scope)
    feet, foot = distinct(counted, FOOT_AT_STAGE)
    effects = feet.with_columns(
        pl.col("foot", "stage").cast(pl.String),
        pl.Series("effect", design_effects(counted, foot, correlations(database, scope, own=counted))),
    )
    stages = struck["stage"].drop_nulls().unique().sort()
    return (
        struck.with_columns(pl.col("foot").cast(pl.String), pl.sum_horizontal(DIRECTIONS).alias("strikes"))
        .join(effects, on=FOOT_AT_STAGE, how="left", nulls_equal=True, maintain_order="left")
        .with_columns(
            pl.col("foot").cast(pl.Enum(Foot)),
            pl.col("stage").cast(pl.Enum(stages)),
            pl.Series("half_angle", target_half_angle_deg(struck["target_width_m"], struck["distance_m"])),
        )
    )


def _fitted(struck: pl.DataFrame, group: Codes, groups: int, *, level: float) -> AimFit:
    """The aim of every group, on counts divided by their design effects."""
    effect = struck["effect"].to_numpy()
    counts = (struck[name].to_numpy() / effect for name in DIRECTIONS)
    return fit_aim(struck["half_angle"].to_numpy(), *counts, subject=group, subjects=groups, level=level)


def _unlike(struck: pl.DataFrame, group: Codes) -> BoolArray:
    """Whether the stages of each group ask for more than one bias and spread; (groups,).

    On plain counts: to tell stages apart for a day's sake costs strikes, to mix unlike ones makes the figures wrong.
    """
    stage = distinct(struck.with_columns(group=group), ["group", "stage"])[1]
    counts = (struck[name].to_numpy() for name in DIRECTIONS)
    found = compared_parts(struck["half_angle"].to_numpy(), *counts, subject=group, part=stage)
    return np.asarray(found.p_value < UNLIKE_BELOW, dtype=np.bool_)


def _stages_of(database: Database, scope: Scope, struck: pl.DataFrame, groups: pl.DataFrame) -> pl.DataFrame:
    """For each group the stage whose strikes stand for it, of_stage, and the target to predict at, target_width_m and
    distance_m (null where the ladder has none)."""
    targets = _ladder_targets(database, scope)
    plain = groups.with_columns(pl.col("foot").cast(pl.String))
    if "stage" in groups.columns:
        return (
            plain.with_columns(pl.col("stage").cast(pl.String).alias("of_stage"))
            .join(
                targets, left_on=["player", "of_stage"], right_on=["player", "stage"], how="left", maintain_order="left"
            )
            .select("of_stage", "target_width_m", "distance_m")
        )
    foot, now = ["player", "foot"], _stages_now(database, scope)
    counts = (
        struck.with_columns(pl.col("foot", "stage").cast(pl.String))
        .group_by(FOOT_AT_STAGE, maintain_order=True)
        .agg(pl.col("strikes").sum())
        .sort("strikes", descending=True, maintain_order=True)
        .join(targets, on=["player", "stage"], how="left", maintain_order="left")
    )
    steps_away = (pl.col("position") - pl.col("position_now")).abs().alias("steps_away")
    nearest = (
        counts.join(now, on=foot, how="left", maintain_order="left", suffix="_now")
        .join(targets, left_on=["player", "stage_now"], right_on=["player", "stage"], how="left", suffix="_now")
        .select(*foot, pl.col("stage").alias("of_stage"), pl.col("strikes") < FEWEST_STRIKES, steps_away)
        .sort("strikes", "steps_away", nulls_last=True, maintain_order=True)
    )
    most = counts.filter(pl.col("position").is_not_null()).select(*foot, pl.col("stage").alias("most"))
    return (
        plain.join(nearest.unique(foot, keep="first"), on=foot, how="left", maintain_order="left")
        .join(most.unique(foot, keep="first", maintain_order=True), on=foot, how="left", maintain_order="left")
        .join(now, on=foot, how="left", maintain_order="left")
        .with_columns(pl.coalesce("stage", "most").alias("stage"))
        .join(targets, on=["player", "stage"], how="left", maintain_order="left")
        .select("of_stage", "target_width_m", "distance_m")
    )


def _ladder_targets(database: Database, scope: Scope) -> pl.DataFrame:
    """The stages of each player's ladder: player (number), stage, position, target_width_m, distance_m."""
    numbers = _numbers(database)
    ladders = ladders_of(database, [scope.squad] if scope.squad else squads(database))
    return pl.DataFrame(
        [
            (numbers[str(player.player_id)], stage.name, stage.position, stage.target.width_m, stage.distance_m)
            for player in players(database, squad_id=scope.squad_id)
            for stage in ladders[player.squad_id].stages
        ],
        schema={
            "player": pl.Int64,
            "stage": pl.String,
            "position": pl.Int64,
            "target_width_m": pl.Float64,
            "distance_m": pl.Float64,
        },
        orient="row",
    )


def _stages_now(database: Database, scope: Scope) -> pl.DataFrame:
    """The stage each foot works on now: player (number), foot, stage."""
    numbers = pl.col("player_id").replace_strict(_numbers(database), return_dtype=pl.Int64).alias("player")
    return stages_worked_on(database, scope).select(numbers, "foot", "stage")


def _numbers(database: Database) -> dict[str, int]:
    return {player_id: number for number, player_id in enumerate(player_numbers(database)["player_id"])}


def _predicted(fit: AimFit, targets: pl.DataFrame) -> list[pl.Series]:
    """Predicted rate, low and high of each group at its own target."""
    answer = np.full((3, targets.height), np.nan)
    rows = targets.with_row_index("row").drop_nulls(["target_width_m", "distance_m"])
    for (width_m, metres), chosen in rows.group_by("target_width_m", "distance_m", maintain_order=True):
        there = fit.predict(float(width_m), float(metres))
        at = codes(chosen["row"])
        answer[:, at] = np.stack([there.rate, there.low, there.high])[:, at]
    return [
        pl.Series(name, values, nan_to_null=True)
        for name, values in zip(("predicted_rate", "predicted_low", "predicted_high"), answer, strict=True)
    ]


def _finite(values: FloatArray) -> pl.Series:
    return pl.Series(np.where(np.isfinite(values), values, np.nan), nan_to_null=True)
