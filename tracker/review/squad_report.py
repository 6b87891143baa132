"""What a coach looks back on at the end of a season: where everyone started and stands, what changed, what to trust."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import polars as pl

from tracker.domain.ladder import Ladder
from tracker.domain.practice import Placement
from tracker.domain.squad import Player, Season, Squad
from tracker.domain.vocabulary import Dimension, Foot
from tracker.review.accuracy import accuracy
from tracker.review.agreement import agreement
from tracker.review.agreement_with_coach import agreement_with_coach
from tracker.review.change import change
from tracker.review.club import ladder_of, players
from tracker.review.logbook import practices
from tracker.review.plan_against_practice import plan_against_season
from tracker.review.readiness import readiness
from tracker.review.ready_rule import ReadyCalls, ready_calls
from tracker.review.scope import Scope
from tracker.store.database import Database
from tracker.store.practices import placements


@dataclass(frozen=True, kw_only=True, slots=True)
class SquadReport:
    """A squad's season.

    ``feet`` has one row per active player and foot, in the order of shirts: player, shirt_number, foot, start_stage,
    end_stage (places in the ladder, null without strikes and placement), status, attempts, practices. ``changes`` is
    ``review.change``, ``decisions`` ``review.agreement_with_coach``, ``observers`` one row per practice in which two
    people logged the same strikes: held_on and the columns of ``review.agreement``, ``planned`` is
    ``review.plan_against_practice.plan_against_season``.
    """

    squad: Squad
    season: Season
    ladder: Ladder
    days: list[date]
    feet: pl.DataFrame
    changes: pl.DataFrame
    board: pl.DataFrame
    calls: ReadyCalls
    decisions: pl.DataFrame
    observers: pl.DataFrame
    planned: pl.DataFrame


def squad_report(database: Database, squad: Squad, season: Season) -> SquadReport:
    """The season of a squad. Raises LadderError or RequestError when its ladder cannot be read."""
    scope = Scope(squad=squad, season=season)
    board = readiness(database, scope)
    held = [one for one in practices(database, squad) if season.starts_on <= one.held_on <= season.ends_on]
    seen_twice = [(one.held_on, agreement(database, one)) for one in reversed(held)]
    found = [frame.with_columns(pl.lit(day).alias("held_on")) for day, frame in seen_twice]
    return SquadReport(
        squad=squad,
        season=season,
        ladder=ladder_of(database, squad),
        days=sorted({one.held_on for one in held}),
        feet=_feet(database, scope, board),
        changes=change(database, scope),
        board=board,
        calls=ready_calls(board),
        decisions=agreement_with_coach(database, scope),
        observers=pl.concat(found).filter(pl.col("strikes_compared") > 0) if found else pl.DataFrame(),
        planned=plan_against_season(database, scope),
    )


_FOOT = {
    "player": pl.String,
    "shirt_number": pl.Int64,
    "foot": pl.String,
    "start_stage": pl.Int64,
    "end_stage": pl.Int64,
    "status": pl.String,
    "attempts": pl.Int64,
    "practices": pl.Int64,
}


def _feet(database: Database, scope: Scope, board: pl.DataFrame) -> pl.DataFrame:
    assert scope.squad
    assert scope.season
    made = placements(database, squad_id=scope.squad_id)
    counted = accuracy(database, scope, cluster=False)
    first_days = accuracy(
        database, scope, by=[Dimension.PLAYER, Dimension.FOOT, Dimension.STAGE, Dimension.PRACTICE], cluster=False
    ).sort("practice", maintain_order=True)
    ladder = ladder_of(database, scope.squad)
    rows = []
    for player in players(database, scope.squad):
        for foot in Foot if player.active else ():
            of_foot = {"player": player.display_name, "foot": foot.value}
            now = board.filter(pl.col("is_current"), **of_foot)
            count = counted.filter(**of_foot)
            rows.append(
                (
                    *(player.display_name, player.shirt_number, foot.value),
                    _start(ladder, made, player, foot, first_days.filter(**of_foot)["stage"].to_list()),
                    next(iter(now["stage_position"]), None),
                    next(iter(now["status"]), None),
                    next(iter(count["attempts"]), 0),
                    next(iter(count["practices"]), 0),
                )
            )
    return pl.DataFrame(rows, schema=_FOOT, orient="row")


def _start(
    ladder: Ladder, made: list[Placement], player: Player, foot: Foot, struck_at: list[str | None]
) -> int | None:
    """The place in the ladder a foot began at: where the coach first placed it, else the stage of its first strikes."""
    placed = [one.stage for one in made if one.player_id == player.player_id and one.foot is foot]
    stages = (ladder.stage_named(name) for name in (*placed, *struck_at) if name)
    return next((stage.position for stage in stages if stage), None)
