"""Who is ready for the next stage, and on what evidence?"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cache, lru_cache

import numpy as np
import polars as pl

from tracker.domain.ladder import Ladder, Stage
from tracker.domain.practice import Placement
from tracker.domain.squad import Player, Squad
from tracker.domain.vocabulary import Foot, ReadinessStatus
from tracker.errors import RequestError
from tracker.review.cells import codes, correlations
from tracker.review.club import ladder_of
from tracker.review.scope import Scope
from tracker.review.standing import frame_of_stretches, stretches
from tracker.stats.readiness import Readiness, expected_strikes_to_ready
from tracker.stats.readiness import readiness as scored
from tracker.stats.ready_line import ReadyLine, RevisitLine, ready_line, revisit_line, too_hard_rate
from tracker.stats.scoring import scoring
from tracker.store.database import Database
from tracker.store.practices import placements
from tracker.store.squads import players, squads
from tracker.store.strikes import steps

FEWEST_STRIKES_FOR_A_FORECAST = 10
SEGMENT = ["player_id", "foot", "stage", "starts_at"]


@dataclass(frozen=True, kw_only=True, slots=True)
class _Lines:
    """The lines of one foot at one stage: ready, skill gone after moving on, and far too hard after moving here."""

    ready: ReadyLine
    gone: RevisitLine
    too_hard: RevisitLine
    correlation_source: str


def readiness(database: Database, scope: Scope, *, cluster: bool = True) -> pl.DataFrame:
    """One row per player, foot and stage with strikes, or worked on now, in the order of shirts and the ladder.

    Columns: player, foot, stage, status, score, ready_line, attempts, on_target, rate, practices, false_ready_risk,
    horizon, expected_strikes_to_ready (null above 1,000 or under ten strikes), became_ready_at (UTC), is_current,
    is_passed, stage_position, suggested_stage, falling_score, revisit_line, correlation, correlation_source.
    Counts are of the present stretch: since the last placement that concerns the stage. With ``cluster=False`` the
    strikes of a practice count as independent.
    Raises RequestError when there is no squad.
    """
    boards = [
        _board(database, replace(scope, squad=squad), squad, cluster=cluster)
        for squad in ([scope.squad] if scope.squad else squads(database))
    ]
    if not boards:
        raise RequestError("There is no squad yet. Make one with: strikeladder init --squad NAME")
    return pl.concat(boards)


def _board(database: Database, scope: Scope, squad: Squad, *, cluster: bool) -> pl.DataFrame:
    ladder = ladder_of(database, squad)
    members = [one for one in players(database, squad_id=squad.squad_id) if scope.player in (None, one)]
    if scope.player is None:
        evidence, lines, result = _evidence(database, scope, ladder, members, cluster=cluster)
    else:
        evidence, lines, result = _player_evidence(database, database.changes, scope, scope.player, cluster=cluster)
    segments = evidence.unique("segment", keep="first", maintain_order=True).select("segment", *SEGMENT, "line")
    rows = segments.with_columns(
        pl.Series("status", result.status),
        pl.Series("score", result.score),
        pl.Series("ready_line", result.line),
        pl.Series("attempts", result.attempts),
        pl.Series("on_target", result.hits),
        pl.Series("practices", result.practices).cast(pl.Int64),
        pl.Series("falling_score", result.falling_score, nan_to_null=True),
        pl.Series("revisit_line", result.revisit_line, nan_to_null=True),
        _moments(evidence["struck_at"], result.ready_row).alias("ready_at"),
    ).with_columns(pl.col("ready_at").forward_fill().over("player_id", "foot", "stage").alias("ever_ready_at"))
    latest = _latest_stretches(ladder, members, placements(database, squad_id=squad.squad_id))
    board = latest.join(rows, on=SEGMENT, how="left").join(
        rows.group_by("player_id", "foot", "stage").agg(pl.len().alias("stretches"), pl.col("ever_ready_at").last()),
        on=["player_id", "foot", "stage"],
        how="left",
        suffix="_before",
    )
    return _finished(board, ladder, members, lines)


def _evidence(
    database: Database, scope: Scope, ladder: Ladder, members: list[Player], *, cluster: bool
) -> tuple[pl.DataFrame, dict[tuple[str, str], _Lines], Readiness]:
    """The steps of every segment in order, the lines by foot and stage, and the scores."""
    cut = frame_of_stretches(stretches(ladder, members, placements(database, squad_id=scope.squad_id)))
    names = pl.DataFrame(
        [(one.name, one.position, _half_angle(one.target.width_m, one.distance_m)) for one in ladder.stages],
        schema={"stage": pl.String, "stage_position": pl.Int64, "stage_half_angle": pl.Float64},
        orient="row",
    )
    found = (
        steps(database, scope.strikes)
        .with_columns(pl.col("foot").cast(pl.String), pl.col("struck_at").cast(pl.Datetime("us", "UTC")))
        .join(names, on="stage")
        .sort("struck_at", maintain_order=True)
        .join_asof(
            cut, left_on="struck_at", right_on="starts_at", by=["player_id", "foot", "stage"], check_sortedness=False
        )
        .filter(pl.col("starts_at").is_not_null())
        .sort("player_id", "foot", "stage_position", "struck_at", maintain_order=True)
        .with_columns(pl.struct(SEGMENT).rle_id().cast(pl.Int64).alias("segment"))
    )
    lines = _lines(database, scope, ladder, cluster=cluster)
    order = {key: number for number, key in enumerate(lines)}
    place = pl.DataFrame(
        [(foot, stage, number) for (foot, stage), number in order.items()],
        schema={"foot": pl.String, "stage": pl.String, "line": pl.Int64},
        orient="row",
    )
    found = found.join(place, on=["foot", "stage"], maintain_order="left").with_columns(
        (pl.col("target_width_m") / 2 / pl.col("distance_m"))
        .arctan()
        .degrees()
        .fill_null(float("nan"))
        .alias("half_angle")
    )
    which = codes(found["line"])
    angles = {
        "half_angle_deg": found["half_angle"].to_numpy(),
        "stage_half_angle_deg": found["stage_half_angle"].to_numpy(),
    }
    passed = found["is_passed"].to_numpy()
    falling = [one.gone for one in lines.values()] + [one.too_hard for one in lines.values()]
    result = scored(
        codes(found["hits"]),
        codes(found["misses"]),
        codes(found["segment"]),
        codes(found["practice_id"].rle_id()),
        rising=scoring([one.ready for one in lines.values()], which, **angles),
        falling=scoring(falling, np.where(passed, which, which + len(lines)), **angles),
        watched=passed | found["is_here"].to_numpy(),
        passed=passed,
    )
    return found, lines, result


@lru_cache(maxsize=4)
def _player_evidence(
    database: Database, changes: int, scope: Scope, player: Player, *, cluster: bool
) -> tuple[pl.DataFrame, dict[tuple[str, str], _Lines], Readiness]:
    """``_evidence`` of one player, which a page asks for once a foot and more; it holds until something is stored."""
    del changes
    assert scope.squad is not None
    return _evidence(database, scope, ladder_of(database, scope.squad), [player], cluster=cluster)


def _lines(database: Database, scope: Scope, ladder: Ladder, *, cluster: bool) -> dict[tuple[str, str], _Lines]:
    """The lines by foot and stage, with the squad's own correlation where it is known, else the ladder's."""
    known = correlations(database, scope)
    place = {pair: number for number, pair in enumerate(zip(known.foot, known.stage, strict=True))}
    answer = {}
    for stage in ladder.stages:
        for foot in Foot:
            number = place.get((foot.value, stage.name))
            correlation, strikes = ladder.correlation, float(sum(stage.set_sizes))
            is_estimated = number is not None and bool(known.is_estimated[number])
            if number is not None and is_estimated:
                correlation, strikes = float(known.correlation[number]), float(known.strikes_a_practice[number])
            answer[foot.value, stage.name] = _lines_of(
                stage.p_not_yet,
                stage.p_ready,
                ladder.false_ready_risk,
                ladder.horizon_strikes,
                # Rounded up to whole hundredths and fives, so that lines do not creep with every strike.
                math.ceil(correlation * 100) / 100 if cluster else 0.0,
                min(max(5 * math.ceil(strikes / 5), 5), 30),
                ("estimated" if is_estimated else "default") if cluster else "none",
            )
    return answer


@cache
def _lines_of(
    p_not_yet: float,
    p_ready: float,
    risk: float,
    horizon: int,
    correlation: float,
    strikes_a_practice: int,
    correlation_source: str,
) -> _Lines:
    rule = {
        "risk": risk,
        "horizon": horizon,
        "correlation": correlation,
        "strikes_a_practice": strikes_a_practice,
    }
    return _Lines(
        ready=ready_line(p_not_yet, p_ready, **rule),  # type: ignore[arg-type]
        gone=revisit_line(p_not_yet, p_ready, **rule),  # type: ignore[arg-type]
        too_hard=revisit_line(too_hard_rate(p_not_yet, p_ready), p_not_yet, **rule),  # type: ignore[arg-type]
        correlation_source=correlation_source,
    )


def _latest_stretches(ladder: Ladder, members: list[Player], made: list[Placement]) -> pl.DataFrame:
    """One row per player, foot and stage: the stretch that holds now, in the order of shirts and the ladder."""
    order = pl.DataFrame(
        [(str(one.player_id), one.display_name, place) for place, one in enumerate(members)],
        schema={"player_id": pl.String, "player": pl.String, "place": pl.Int64},
        orient="row",
    )
    positions = pl.DataFrame(
        [(one.name, one.position) for one in ladder.stages],
        schema={"stage": pl.String, "stage_position": pl.Int64},
        orient="row",
    )
    return (
        frame_of_stretches(stretches(ladder, members, made))
        .group_by("player_id", "foot", "stage", maintain_order=True)
        .last()
        .join(order, on="player_id")
        .join(positions, on="stage")
        .sort("place", "foot", "stage_position")
    )


def _finished(
    board: pl.DataFrame, ladder: Ladder, members: list[Player], lines: dict[tuple[str, str], _Lines]
) -> pl.DataFrame:
    """The board with stretches without strikes filled in, the stage worked on marked, and what follows from it."""
    facts = pl.DataFrame(
        [
            (
                *key,
                one.ready.line,
                one.ready.false_ready_risk,
                one.ready.horizon,
                one.ready.correlation,
                one.correlation_source,
                one.ready.strikes_a_practice,
            )
            for key, one in lines.items()
        ],
        schema={
            "foot": pl.String,
            "stage": pl.String,
            "line": pl.Float64,
            "false_ready_risk": pl.Float64,
            "horizon": pl.Int64,
            "correlation": pl.Float64,
            "correlation_source": pl.String,
            "strikes_a_practice": pl.Int64,
        },
        orient="row",
    )
    silent = (
        pl.when("is_passed")
        .then(pl.lit(ReadinessStatus.READY.value))
        .otherwise(pl.lit(ReadinessStatus.GATHERING.value))
    )
    filled = (
        board.drop("line")
        .join(facts, on=["foot", "stage"], maintain_order="left")
        .with_columns(
            pl.col("status").fill_null(silent),
            pl.col("score").fill_null(0.0),
            pl.col("ready_line").fill_null(pl.col("line")),
            pl.col("attempts", "on_target", "practices").fill_null(0),
        )
        .with_columns(
            (pl.col("on_target") / pl.col("attempts")).fill_nan(None).alias("rate"),
            pl.when("is_passed")
            .then(pl.coalesce("ready_at", "ever_ready_at_before"))
            .otherwise("ready_at")
            .alias("became_ready_at"),
            _is_current().alias("is_current"),
        )
        .filter(pl.col("stretches").is_not_null() | pl.col("is_here"))
    )
    return filled.with_columns(
        _expected_strikes(filled, lines).alias("expected_strikes_to_ready"),
        _suggested_stage(ladder).alias("suggested_stage"),
    ).select(
        *("player", "foot", "stage", "status", "score", "ready_line", "attempts", "on_target", "rate", "practices"),
        *("false_ready_risk", "horizon", "expected_strikes_to_ready", "became_ready_at", "is_current", "is_passed"),
        *("stage_position", "suggested_stage", "falling_score", "revisit_line", "correlation", "correlation_source"),
    )


def _is_current() -> pl.Expr:
    """The stage a foot works on: where it was placed, else the lowest practised one not ready, else the highest one."""
    foot = ["player_id", "foot"]
    practised = pl.col("stretches").is_not_null()
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


def _suggested_stage(ladder: Ladder) -> pl.Expr:
    """Ready: the next stage up. Revisit: the stage below, or this one again when it was passed. Otherwise this one."""
    names = [stage.name for stage in ladder.stages]
    up = pl.col("stage").replace(dict(zip(names, [*names[1:], names[-1]], strict=True)))
    down = pl.col("stage").replace(dict(zip(names, [names[0], *names[:-1]], strict=True)))
    return (
        pl.when(pl.col("status") == ReadinessStatus.READY.value)
        .then(up)
        .when((pl.col("status") == ReadinessStatus.REVISIT.value) & ~pl.col("is_passed"))
        .then(down)
        .otherwise(pl.col("stage"))
    )


def _expected_strikes(board: pl.DataFrame, lines: dict[tuple[str, str], _Lines]) -> pl.Series:
    """Mean further strikes to the line at the present rate; 0 when ready, null under ten strikes or above 1,000."""
    expected = np.full(board.height, np.nan)
    feet, stages = board["foot"].to_numpy(), board["stage"].to_numpy()
    attempts, status = board["attempts"].to_numpy(), board["status"].to_numpy()
    rate, score = board["rate"].to_numpy(), board["score"].to_numpy()
    enough = attempts >= FEWEST_STRIKES_FOR_A_FORECAST
    for (foot, stage), one in lines.items():
        rows = (feet == foot) & (stages == stage) & enough
        if rows.any():
            expected[rows] = expected_strikes_to_ready(rate[rows].round(3), score[rows], line=one.ready)
    expected[status == ReadinessStatus.READY.value] = 0.0
    return pl.Series(np.where(np.isfinite(expected), np.ceil(expected), np.nan), nan_to_null=True)


def _moments(struck_at: pl.Series, rows: np.ndarray[tuple[int], np.dtype[np.intp]]) -> pl.Series:
    """The moment of each row number, null for -1."""
    indices = pl.Series(rows, dtype=pl.Int64)
    return (
        struck_at.gather(indices.clip(lower_bound=0))
        .to_frame("at")
        .select(pl.when(pl.lit(indices) >= 0).then(pl.col("at")))["at"]
        if struck_at.len()
        else struck_at.clear()
    )


def _half_angle(width_m: float, distance_m: float) -> float:
    return math.degrees(math.atan2(width_m / 2, distance_m))


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
    found, lines, result = _player_evidence(database, database.changes, scope, player, cluster=cluster)
    points = (
        found.with_columns(pl.Series("score", result.path))
        .filter((pl.col("foot") == foot.value) & (pl.col("stage") == stage.name))
        .with_columns(
            (pl.col("hits") + pl.col("misses")).cum_sum().alias("step"),
            pl.col("held_on").dt.strftime("%Y-%m-%d").alias("practice"),
        )
        .select("struck_at", "practice", "step", "hits", "misses", "score")
    )
    board = _board(database, scope, squad, cluster=cluster)
    mine = board.filter((pl.col("foot") == foot.value) & (pl.col("stage") == stage.name))
    return Evidence(
        player=player,
        foot=foot,
        stage=stage,
        points=points,
        ready_line=lines[foot.value, stage.name].ready.line,
        became_ready_at=mine["became_ready_at"][0] if mine.height else None,
        placements=[
            one
            for one in placements(database, squad_id=squad.squad_id)
            if one.player_id == player.player_id and one.foot is foot
        ],
    )
