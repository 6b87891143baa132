"""Who is ready for the next stage, and on what evidence?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from functools import lru_cache

import numpy as np
import polars as pl

from tracker.domain.ladder import Stage
from tracker.domain.practice import Placement
from tracker.domain.squad import Player
from tracker.domain.vocabulary import Foot, ReadinessStatus
from tracker.errors import RequestError
from tracker.review.ready_lines import SquadRules, squad_rules
from tracker.review.scope import Scope
from tracker.review.scored import NEVER, Known, score_path, scored_stretches
from tracker.stats.readiness import expected_strikes_to_ready
from tracker.store.database import Database
from tracker.store.squads import squads
from tracker.store.strikes import practice_numbers

FEWEST_STRIKES_FOR_A_FORECAST = 10


def readiness(database: Database, scope: Scope, *, cluster: bool = True) -> pl.DataFrame:
    """One row per player, foot and stage with strikes, or worked on now, in the order of shirts and the ladder.

    Columns: player, foot, stage, status, score, ready_line, attempts, on_target, rate, practices, false_ready_risk,
    horizon, expected_strikes_to_ready (null above 1,000 or under ten strikes), became_ready_at (UTC), is_current,
    is_passed, stage_position, suggested_stage, falling_score, revisit_line, correlation, correlation_source.
    Counts are of the present stretch: since the last placement that concerns the stage. With ``cluster=False`` the
    strikes of a practice count as independent.
    Raises RequestError when there is no squad.
    """
    chosen = [scope.squad] if scope.squad else squads(database)
    if not chosen:
        raise RequestError("There is no squad yet. Make one with: strikeladder init --squad NAME")
    return _board(scored_stretches(database, scope, squad_rules(database, scope, chosen, cluster=cluster))).drop(
        "player_id"
    )


def stages_worked_on(database: Database, scope: Scope) -> pl.DataFrame:
    """The stage each foot works on now: player_id, foot, stage."""
    rules = squad_rules(database, scope, [scope.squad] if scope.squad else squads(database), cluster=True)
    board = _board(scored_stretches(database, scope, rules))
    return board.filter("is_current").select("player_id", "foot", "stage")


def _board(known: Known) -> pl.DataFrame:
    """The stretch that holds now of each track, with what went before it: in the order of squads, shirts and ladder."""
    scored, standing = known.scored, known.scored.standing
    has_strikes = pl.col("attempts") > 0
    latest = (
        known.table.with_columns(
            pl.Series("status", scored.status),
            pl.Series("score", scored.score, nan_to_null=True),
            pl.Series("ready_line", scored.line, nan_to_null=True),
            pl.Series("attempts", standing.attempts),
            pl.Series("on_target", standing.hits),
            pl.Series("practices", standing.practices),
            pl.Series("falling_score", scored.falling_score, nan_to_null=True),
            pl.Series("revisit_line", scored.revisit_line, nan_to_null=True),
            pl.when(pl.lit(pl.Series(scored.ready_us)) != NEVER)
            .then(pl.lit(pl.Series(scored.ready_us)).cast(pl.Datetime("us", "UTC")))
            .alias("ready_at"),
        )
        .with_columns(pl.col("status").replace("", None))
        .group_by("track", maintain_order=True)
        .agg(
            pl.exclude("stretches").last(),
            has_strikes.any().alias("is_practised"),
            pl.col("ready_at").drop_nulls().last().alias("ever_ready_at"),
        )
        .join(_order_of_players(known.rules), on=["squad", "player_id"])
        .sort("squad", "place", "foot", "stage_position")
    )
    return _finished(latest, known.rules)


def _order_of_players(rules: Sequence[SquadRules]) -> pl.DataFrame:
    return pl.DataFrame(
        [
            (squad, str(player.player_id), player.display_name, place)
            for squad, one in enumerate(rules)
            for place, player in enumerate(one.members)
        ],
        schema={"squad": pl.Int64, "player_id": pl.String, "player": pl.String, "place": pl.Int64},
        orient="row",
    )


def _facts(rules: Sequence[SquadRules]) -> pl.DataFrame:
    """What holds for a squad's foot at a stage: its line and how it was found, and the stages above and below."""
    rows = []
    for squad, one in enumerate(rules):
        names = [stage.name for stage in one.ladder.stages]
        up, down = dict(zip(names, [*names[1:], names[-1]], strict=True)), dict(zip(names[1:], names, strict=False))
        rows += [
            (
                squad,
                foot,
                stage,
                lines.ready.line,
                lines.ready.false_ready_risk,
                lines.ready.horizon,
                lines.ready.correlation,
                lines.correlation_source,
                up[stage],
                down.get(stage, stage),
            )
            for (foot, stage), lines in one.lines.items()
        ]
    schema: dict[str, pl.DataType | type[pl.DataType]] = {
        "squad": pl.Int64,
        "foot": pl.String,
        "stage": pl.String,
        "stage_line": pl.Float64,
        "false_ready_risk": pl.Float64,
        "horizon": pl.Int64,
        "correlation": pl.Float64,
        "correlation_source": pl.String,
        "stage_above": pl.String,
        "stage_below": pl.String,
    }
    return pl.DataFrame(rows, schema=schema, orient="row")


def _finished(latest: pl.DataFrame, rules: Sequence[SquadRules]) -> pl.DataFrame:
    """The board with stretches without strikes filled in, the stage worked on marked, and what follows from it."""
    silent = (
        pl.when("is_passed")
        .then(pl.lit(ReadinessStatus.READY.value))
        .otherwise(pl.lit(ReadinessStatus.GATHERING.value))
    )
    filled = (
        latest.join(_facts(rules), on=["squad", "foot", "stage"], maintain_order="left")
        .with_columns(
            pl.col("status").fill_null(silent),
            pl.col("score").fill_null(0.0),
            pl.col("ready_line").fill_null(pl.col("stage_line")),
        )
        .with_columns(
            (pl.col("on_target") / pl.col("attempts")).fill_nan(None).alias("rate"),
            pl.when("is_passed")
            .then(pl.coalesce("ready_at", "ever_ready_at"))
            .otherwise("ready_at")
            .alias("became_ready_at"),
            _is_current().alias("is_current"),
        )
        .filter(pl.col("is_practised") | pl.col("is_here"))
    )
    return filled.with_columns(
        _expected_strikes(filled, rules).alias("expected_strikes_to_ready"),
        _suggested_stage().alias("suggested_stage"),
    ).select(
        *("player_id", "player", "foot", "stage", "status", "score", "ready_line", "attempts", "on_target", "rate"),
        *(
            "practices",
            "false_ready_risk",
            "horizon",
            "expected_strikes_to_ready",
            "became_ready_at",
            "is_current",
            "is_passed",
        ),
        *("stage_position", "suggested_stage", "falling_score", "revisit_line", "correlation", "correlation_source"),
    )


def _is_current() -> pl.Expr:
    """The stage a foot works on: where it was placed, else the lowest practised one not ready, else the highest one."""
    foot = ["squad", "player_id", "foot"]
    practised = pl.col("is_practised")
    open_stage = practised & (pl.col("status") != ReadinessStatus.READY.value)
    position = pl.col("stage_position")
    unplaced = pl.coalesce(
        position.filter(open_stage).min().over(foot),
        position.filter(practised).max().over(foot),
    )
    return (
        pl.when(pl.col("is_here").any().over(foot))
        .then(pl.col("is_here"))
        .otherwise(position == unplaced)
        .fill_null(False)  # noqa: FBT003
    )


def _suggested_stage() -> pl.Expr:
    """Ready: the next stage up. Revisit: the stage below, or this one again when it was passed. Otherwise this one."""
    return (
        pl.when(pl.col("status") == ReadinessStatus.READY.value)
        .then("stage_above")
        .when((pl.col("status") == ReadinessStatus.REVISIT.value) & ~pl.col("is_passed"))
        .then("stage_below")
        .otherwise("stage")
    )


def _expected_strikes(board: pl.DataFrame, rules: Sequence[SquadRules]) -> pl.Series:
    """Mean further strikes to the line at the present rate; 0 when ready, null under ten strikes or above 1,000."""
    lines = [line.ready for one in rules for line in one.lines.values()]
    alike = np.array([lines.index(line) for line in lines])[board["line"].to_numpy()]  # squads mostly share their lines
    attempts, is_ready = board["attempts"].to_numpy(), (board["status"] == ReadinessStatus.READY.value).to_numpy()
    rate, score = board["rate"].to_numpy(), board["score"].to_numpy()
    expected = np.where(is_ready, 0.0, np.nan)
    asked = ~is_ready & (attempts >= FEWEST_STRIKES_FOR_A_FORECAST)
    for line in np.unique(alike[asked]):
        rows = asked & (alike == line)
        expected[rows] = expected_strikes_to_ready(rate[rows].round(3), score[rows], line=lines[line])
    return pl.Series(np.where(np.isfinite(expected), np.ceil(expected), np.nan), nan_to_null=True)


@dataclass(frozen=True, kw_only=True, slots=True)
class Evidence:
    """How a player's score at a stage went: ``points`` one row a step (struck_at, practice, step, hits, misses, score),
    of all stretches; the line; and the coach's placements of this foot."""

    player: Player
    foot: Foot
    stage: Stage
    points: pl.DataFrame
    ready_line: float
    became_ready_at: datetime | None
    placements: list[Placement]


def evidence(database: Database, scope: Scope, *, foot: Foot, stage: Stage, cluster: bool = True) -> Evidence:
    """The evidence line of one player's foot at one stage; ``scope`` names the player. Raises RequestError without."""
    player = scope.player
    if player is None:
        raise RequestError("Say which player.")
    squad = next(one for one in squads(database) if one.squad_id == player.squad_id)
    scope = replace(scope, squad=squad)
    rules, path, board = _of_player(database, database.changes, scope, cluster=cluster)
    points = (
        path.filter((pl.col("foot") == foot.value) & (pl.col("stage") == stage.name))
        .with_columns((pl.col("hits") + pl.col("misses")).cum_sum().alias("step"))
        .select("struck_at", "practice", "step", "hits", "misses", "score")
    )
    mine = board.filter((pl.col("foot") == foot.value) & (pl.col("stage") == stage.name))
    return Evidence(
        player=player,
        foot=foot,
        stage=stage,
        points=points,
        ready_line=rules.lines[foot.value, stage.name].ready.line,
        became_ready_at=mine["became_ready_at"][0] if mine.height else None,
        placements=[one for one in rules.placements if one.player_id == player.player_id and one.foot is foot],
    )


@lru_cache(maxsize=4)
def _of_player(
    database: Database, changes: int, scope: Scope, *, cluster: bool
) -> tuple[SquadRules, pl.DataFrame, pl.DataFrame]:
    """Rules, path and board of one player, which a page asks for once a foot; they hold until something is stored."""
    del changes
    assert scope.squad is not None
    rules = squad_rules(database, scope, [scope.squad], cluster=cluster)
    days = practice_numbers(database).select("code", pl.col("held_on").dt.strftime("%Y-%m-%d").alias("held_on"))
    path = (
        score_path(database, scope, rules)
        .join(days, left_on="practice", right_on="code", how="left", maintain_order="left")
        .with_columns(
            pl.col("at_us").cast(pl.Datetime("us", "UTC")).alias("struck_at"), pl.col("held_on").alias("practice")
        )
    )
    return rules[0], path, _board(scored_stretches(database, scope, rules))
