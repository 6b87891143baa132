"""How accurate is each player, foot, stage or age band, over all clubs of a lake?"""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum

import numpy as np
import polars as pl

from tracker.domain.vocabulary import IntervalMethod
from tracker.lake.counts import LakeCounts
from tracker.lake.suppression import shown_cells
from tracker.review.accuracy import FEWEST_PLAYERS, with_interval
from tracker.review.cells import DEFAULT_CORRELATION, Codes
from tracker.stats.clustering import IntraclassCorrelation, design_effect, intraclass_correlation
from tracker.stats.summed import PlayerSums, SizeSums, correlation_of_sums, design_effect_of_sums

STAGE_OF_LADDER = ["age_band", "ball_arrival", "distance_m", "target_width_dm"]
FOOT_AT_STAGE = [*STAGE_OF_LADDER, "foot"]
NOT_ON_A_LADDER = "not on a ladder"


class LakeDimension(StrEnum):
    """What rates over a lake can be split by. A stage is what it asks: ball arrival, distance, width of the target."""

    CLUB = "club"
    SEASON = "season"
    AGE_BAND = "age_band"
    STAGE = "stage"
    FOOT = "foot"
    PLAYER = "player"


def lake_rates(
    counts: LakeCounts,
    *,
    by: Sequence[LakeDimension] = (LakeDimension.AGE_BAND, LakeDimension.STAGE, LakeDimension.FOOT),
    level: float = 0.95,
    method: IntervalMethod = IntervalMethod.WILSON,
) -> pl.DataFrame:
    """One row per combination of ``by`` (one or more): players, clubs, attempts, on_target, rate, low, high, level,
    method, player_practices, effective_attempts, correlation, correlation_source.

    Intervals are those of ``review.accuracy``: split by player they allow for the practices of a player hanging
    together (how much is estimated per foot and stage over the whole lake), otherwise for players differing. Not split
    by player, small cells are not shown: all their figures but the keys are null (``suppression``).
    Raises ValueError for a level outside (0, 1).
    """
    keys = [LakeDimension(one).value for one in by]
    rows = with_labels(counts.by_player)
    groups, group = grouped(rows, keys)
    is_by_player = LakeDimension.PLAYER in by
    spread = _between_practices(counts, rows, group) if is_by_player else _between_players(rows, group)
    totals = (
        rows.with_columns(pl.Series("group", group))
        .group_by("group")
        .agg(
            pl.col("player_id").n_unique().cast(pl.Int64).alias("players"),
            pl.col("club_id").n_unique().cast(pl.Int64).alias("clubs"),
            pl.col("attempts", "on_target").sum(),
            pl.col("practices").sum().alias("player_practices"),
        )
        .sort("group")
        .drop("group")
    )
    rated = with_interval(pl.concat([groups, totals, spread], how="horizontal"), level=level, method=method).select(
        *keys,
        *("players", "clubs", "attempts", "on_target", "rate", "low", "high", "level", "method"),
        *("player_practices", "effective_attempts", "correlation", "correlation_source"),
    )
    return rated if is_by_player else _without_small_cells(rated, rows, keys)


def with_labels(by_player: pl.DataFrame) -> pl.DataFrame:
    """The rows with the columns of ``LakeDimension``; what is asked at a stage as words."""
    width_m = pl.format("{}.{}", pl.col("target_width_dm") // 10, pl.col("target_width_dm") % 10)
    label = pl.format("{}, {} m, {} m wide", "ball_arrival", "distance_m", width_m)
    return by_player.with_columns(
        pl.col("club_id").alias("club"),
        pl.col("player_id").alias("player"),
        label.fill_null(NOT_ON_A_LADDER).alias("stage"),
    )


def grouped(frame: pl.DataFrame, keys: Sequence[str]) -> tuple[pl.DataFrame, Codes]:
    """The distinct combinations of ``keys`` in their order, nulls last, and every row's code."""
    groups = frame.select(keys).unique().sort(pl.all(), nulls_last=True)
    coded = frame.select(keys).join(
        groups.with_row_index("code"), on=list(keys), how="left", nulls_equal=True, maintain_order="left"
    )
    return groups, coded["code"].cast(pl.Int64).to_numpy()


def correlation_at_stages(counts: LakeCounts) -> tuple[IntraclassCorrelation, Codes]:
    """How far strikes of one practice hang together, per foot and stage over the lake; and every row's code of it.

    The rows are those of ``counts.by_player``.
    """
    groups, code = grouped(counts.by_player, FOOT_AT_STAGE)
    of_players = (
        counts.by_player.with_columns(pl.Series("group", code))
        .group_by("group", "player_id")
        .agg(pl.col("practices", "attempts", "on_target", "sum_nn").sum())
        .sort("group", "player_id")
    )
    of_sizes = counts.by_practice_size.join(
        groups.with_row_index("group"), on=FOOT_AT_STAGE, how="left", nulls_equal=True, maintain_order="left"
    )
    players = ("group", "practices", "attempts", "on_target", "sum_nn")
    sizes = ("group", "practice_attempts", "practices", "on_target", "sum_yy")
    known = correlation_of_sums(
        PlayerSums(**{name: of_players[name].cast(pl.Int64).to_numpy() for name in players}),
        SizeSums(**{name: of_sizes[name].cast(pl.Int64).to_numpy() for name in sizes}),
        default=DEFAULT_CORRELATION,
    )
    return known, code


def _between_practices(counts: LakeCounts, rows: pl.DataFrame, group: Codes) -> pl.DataFrame:
    """Design effect per group from its practices, each with the correlation of its foot and stage."""
    known, place = correlation_at_stages(counts)
    attempts, sum_nn = rows["attempts"].to_numpy(), rows["sum_nn"].to_numpy()
    is_known = np.bincount(group, ~known.is_estimated[place]) == 0
    return pl.DataFrame(
        {
            "design_effect": design_effect_of_sums(attempts, sum_nn, group, known.allowed[place]),
            "correlation": np.bincount(group, attempts * known.correlation[place]) / np.bincount(group, attempts),
            "correlation_source": np.where(is_known, "estimated", "default"),
        }
    )


def _between_players(rows: pl.DataFrame, group: Codes) -> pl.DataFrame:
    """Design effect per group from its players, who differ more than practices do."""
    clusters = (
        rows.select("player_id", "attempts", "on_target", pl.Series("group", group))
        .group_by("group", "player_id")
        .agg(pl.col("attempts", "on_target").sum())
        .sort("group", "player_id")
    )
    attempts, on_target = clusters["attempts"].to_numpy(), clusters["on_target"].to_numpy()
    of_group = clusters["group"].to_numpy()
    estimate = intraclass_correlation(
        attempts, on_target, of_group, default=DEFAULT_CORRELATION, fewest_clusters=FEWEST_PLAYERS
    )
    return pl.DataFrame(
        {
            "design_effect": design_effect(attempts, of_group, estimate.allowed[of_group]),
            "correlation": estimate.correlation,
            "correlation_source": np.where(estimate.is_estimated, "estimated", "default"),
        }
    )


def _without_small_cells(rated: pl.DataFrame, rows: pl.DataFrame, keys: list[str]) -> pl.DataFrame:
    cells = shown_cells(rows, keys).select(*keys, "is_shown")
    figures = [name for name in rated.columns if name not in keys]
    shown = rated.join(cells, on=keys, how="left", nulls_equal=True, maintain_order="left")
    return shown.with_columns(pl.when("is_shown").then(pl.col(name)).alias(name) for name in figures).drop("is_shown")
