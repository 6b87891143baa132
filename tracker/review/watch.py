"""Nobody can watch eight pairs at once: whom to watch next?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from enum import StrEnum
from typing import Any

import numpy as np
import polars as pl

from tracker.domain.ladder import Ladder
from tracker.domain.practice import Practice
from tracker.domain.squad import Squad
from tracker.domain.vocabulary import Foot, ReadinessStatus
from tracker.review.cells import cells, correlations
from tracker.review.club import ladder_of, players
from tracker.review.like_for_like import effect_at_stage
from tracker.review.pooled import pooled
from tracker.review.readiness import readiness
from tracker.review.scope import Scope
from tracker.stats.checks import FloatArray
from tracker.stats.information import (
    DECISION_WEIGHT,
    NARROWING_WEIGHT,
    ScoreStanding,
    SquadSpread,
    discounted,
    set_information,
)
from tracker.stats.pooling import DEFAULT_STRENGTH
from tracker.stats.score import score_lattice
from tracker.store.database import Database
from tracker.store.squads import squads
from tracker.store.strikes import player_numbers, practice_numbers

FEW_STRIKES = 20
"""Under so many strikes at its stage a foot is watched because there are few."""
LONG_UNSEEN_WEEKS = 3
"""Common practice, no source."""
WORTH_NAMING = 0.10
"""A smaller chance to decide is not given as the reason."""
INFORMATION_DECIMALS = 9  # closer than this two feet are alike, and the order of shirts decides


class WatchReason(StrEnum):
    """Why a foot is worth watching, or not."""

    AT_THE_LINE = "at the line"
    CLOSE_TO_THE_LINE = "close to the line"
    NO_STRIKES = "no strikes"
    FEW_STRIKES = "few strikes"
    LONG_UNSEEN = "long unseen"
    READY = "ready"
    NOT_TODAY = "not today"
    WELL_KNOWN = "well known"
    PLANNED = "planned"


def watch(database: Database, scope: Scope, practice: Practice) -> pl.DataFrame:
    """One row per active player of the practice's squad and foot, the best worth watching first: order, player, foot,
    stage, reason, player_id, why, hits_short, attempts, attempts_today, weeks_unseen, decision, narrowing, information.

    The stage is where the foot works now, or the first. ``reason`` says in words what ``why``, a ``WatchReason``, does;
    ``hits_short`` are the hits in a row to the ready line, ``weeks_unseen`` whole weeks since the foot's last strike
    anywhere (null when there is none), the last three columns those of ``stats.information``.
    Strikes count up to the day of the practice. The same strikes give the same order; feet alike stand in the order of
    shirts, left before right.
    """
    squad = next(one for one in squads(database) if one.squad_id == practice.squad_id)
    ladder = ladder_of(database, squad)
    until = replace(scope, squad=squad, player=None, last_day=practice.held_on)
    rows = _with_counts(database, until, practice, _feet(database, until, squad, ladder))
    listed = _information(rows, ladder).with_columns(_why())
    listed = listed.with_columns(pl.Series("reason", map(_reason, listed.iter_rows(named=True)), dtype=pl.String))
    if scope.player is not None:
        listed = listed.filter(player_id=str(scope.player.player_id))
    return (
        listed.sort("information", descending=True, maintain_order=True)
        .with_row_index("order", offset=1)
        .select(
            pl.col("order").cast(pl.Int64),
            *("player", "foot", "stage", "reason", "player_id", "why", "hits_short", "attempts", "attempts_today"),
            *("weeks_unseen", "decision", "narrowing", "information"),
        )
    )


def _feet(database: Database, until: Scope, squad: Squad, ladder: Ladder) -> pl.DataFrame:
    """One row per active player and foot, in the order of shirts: player_id, player, foot, stage, status, score,
    ready_line, correlation, practices."""
    board = readiness(database, until).filter("is_current")
    feet = pl.DataFrame(
        [
            (str(one.player_id), one.display_name, foot.value)
            for one in players(database, squad)
            if one.active
            for foot in Foot
        ],
        schema={"player_id": pl.String, "player": pl.String, "foot": pl.String},
        orient="row",
    )
    return feet.join(
        board.select("player", "foot", "stage", "status", "score", "ready_line", "correlation", "practices"),
        on=["player", "foot"],
        how="left",
        maintain_order="left",
    ).with_columns(
        pl.col("stage").fill_null(ladder.stages[0].name),
        pl.col("score", "correlation").fill_null(0.0),
        pl.col("practices").fill_null(0),
    )


def _with_counts(database: Database, until: Scope, practice: Practice, feet: pl.DataFrame) -> pl.DataFrame:
    """The feet with their strikes at the stage (plain, today's, and effective ones discounted by age), when the foot
    was last seen, and the squad's rates there."""
    counted = cells(database, until)
    numbers, held = player_numbers(database), practice_numbers(database)
    effect = effect_at_stage(counted, correlations(database, until, own=counted))
    days_ago = _days_ago(held["held_on"].gather(counted["practice"]), practice.held_on)
    named = counted.select(
        numbers["player_id"].gather(counted["player"]),
        pl.col("foot", "stage").cast(pl.String),
        pl.col("attempts"),
        pl.when(pl.lit(held["practice_id"].gather(counted["practice"])) == str(practice.practice_id))
        .then("attempts")
        .otherwise(0)
        .alias("attempts_today"),
        pl.Series("known_attempts", discounted(counted["attempts"].to_numpy() / effect, days_ago)),
        pl.Series("known_on_target", discounted(counted["on_target"].to_numpy() / effect, days_ago)),
        pl.Series("days_ago", days_ago),
    )
    foot = ["player_id", "foot"]
    at_stage = named.group_by(*foot, "stage").agg(
        pl.col("attempts", "attempts_today", "known_attempts", "known_on_target").sum()
    )
    last_seen = named.group_by(foot).agg((pl.col("days_ago").min() // 7).alias("weeks_unseen"))
    squad_rates = pooled(database, until).select("foot", "stage", "squad_rate", "squad_strength").unique()
    return (
        feet.join(at_stage, on=[*foot, "stage"], how="left", maintain_order="left")
        .join(last_seen, on=foot, how="left", maintain_order="left")
        .join(squad_rates, on=["foot", "stage"], how="left", maintain_order="left")
        .with_columns(pl.col("attempts", "attempts_today", "known_attempts", "known_on_target").fill_null(0))
    )


def _days_ago(held_on: pl.Series, day: date) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
    since: np.ndarray[tuple[int], np.dtype[np.int64]] = (
        pl.DataFrame({"held_on": held_on}).select((pl.lit(day) - pl.col("held_on")).dt.total_days()).to_series()
    ).to_numpy()
    return since


def _information(rows: pl.DataFrame, ladder: Ladder) -> pl.DataFrame:
    """The rows with hits_short and what one more set at the stage is expected to tell: decision, narrowing,
    information."""
    stages = {stage.name: stage for stage in ladder.stages}
    of_row = [stages[name] for name in rows["stage"]]
    lattices = [score_lattice(stage.p_not_yet, stage.p_ready) for stage in of_row]
    step, hit_weight = (np.array([getattr(one, name) for one in lattices]) for name in ("step", "hit_weight"))
    score, line = rows["score"].to_numpy(), rows["ready_line"].fill_null(np.inf).to_numpy()
    is_open = np.isfinite(line) & (rows["status"] != ReadinessStatus.READY.value).fill_null(value=False).to_numpy()
    today = rows["attempts_today"].to_numpy()
    practices_before = rows["practices"].to_numpy() - (today > 0)
    is_at_line = score >= line
    line_steps = np.rint(np.where(is_open, line, 0.0) / step).astype(np.int64)
    told = set_information(
        rows["known_attempts"].to_numpy(),
        rows["known_on_target"].to_numpy(),
        SquadSpread(
            mean=_filled(rows["squad_rate"], [(stage.p_not_yet + stage.p_ready) / 2 for stage in of_row]),
            strength=_filled(rows["squad_strength"], [DEFAULT_STRENGTH] * rows.height),
        ),
        set_sizes=[stage.set_size for stage in of_row],
        attempts_today=today,
        correlation=rows["correlation"].to_numpy(),
        standing=ScoreStanding(
            lattices=lattices,
            score_steps=np.rint(score / step).astype(np.int64),
            line_steps=line_steps,
            can_decide=is_open & (practices_before > 0) & ~(is_at_line & (today > 0)),
        ),
    )
    hits_short = np.ceil(np.maximum(np.where(is_open, line, np.nan) - score, 0.0) / hit_weight)
    return rows.with_columns(
        pl.Series("hits_short", hits_short, nan_to_null=True).cast(pl.Int64),
        pl.Series("decision", told.decision),
        pl.Series("narrowing", told.narrowing),
        pl.Series("information", told.information.round(INFORMATION_DECIMALS)),
    )


def _filled(column: pl.Series, otherwise: list[float]) -> FloatArray:
    """A column with its nulls filled from a list of one value a row."""
    return column.zip_with(column.is_not_null(), pl.Series(otherwise, dtype=pl.Float64)).to_numpy()


def _why() -> pl.Expr:
    """The reason that weighs most: what a set may decide, then why little is known."""
    decides = (pl.col("decision") * DECISION_WEIGHT >= pl.col("narrowing") * NARROWING_WEIGHT) & (
        pl.col("decision") >= WORTH_NAMING
    )
    reasons = (
        (decides & (pl.col("hits_short") == 0), WatchReason.AT_THE_LINE),
        (decides, WatchReason.CLOSE_TO_THE_LINE),
        (pl.col("attempts") == 0, WatchReason.NO_STRIKES),
        (pl.col("attempts") < FEW_STRIKES, WatchReason.FEW_STRIKES),
        (pl.col("weeks_unseen") >= LONG_UNSEEN_WEEKS, WatchReason.LONG_UNSEEN),
        (pl.col("status") == ReadinessStatus.READY.value, WatchReason.READY),
        (pl.col("attempts_today") == 0, WatchReason.NOT_TODAY),
    )
    return pl.coalesce(
        *(pl.when(holds).then(pl.lit(reason.value)) for holds, reason in reasons),
        pl.lit(WatchReason.WELL_KNOWN.value),
    ).alias("why")


def _reason(row: Mapping[str, Any]) -> str:
    """The reason in words, for one row."""
    foot, strikes = Foot(row["foot"]).value, _counted(row["attempts"], "strike")
    return {
        WatchReason.AT_THE_LINE: "at the ready line: strikes of one more practice decide",
        WatchReason.CLOSE_TO_THE_LINE: f"{_counted(row['hits_short'], 'hit')} short of the ready line",
        WatchReason.NO_STRIKES: f"no strikes with the {foot} at this stage yet",
        WatchReason.FEW_STRIKES: f"only {strikes} so far",
        WatchReason.LONG_UNSEEN: f"not seen with the {foot} for {_counted(row['weeks_unseen'], 'week')}",
        WatchReason.READY: "ready already: moving on is the coach's decision",
        WatchReason.NOT_TODAY: "not yet logged today",
        WatchReason.WELL_KNOWN: f"well known: {strikes}, {row['attempts_today']:,} of them today",
    }[WatchReason(row["why"])]


def _counted(number: int | None, thing: str) -> str:
    return f"{number or 0:,} {thing}{'' if number == 1 else 's'}"
