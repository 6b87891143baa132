"""How often did the coach and the tool agree, and what became of players moved early?"""

from __future__ import annotations

from dataclasses import replace
from enum import StrEnum

import polars as pl

from tracker.domain.ladder import Ladder
from tracker.domain.practice import Placement
from tracker.domain.vocabulary import Foot, ReadinessStatus
from tracker.errors import RequestError
from tracker.review.club import ladder_of, players
from tracker.review.readiness import readiness
from tracker.review.scope import Scope
from tracker.store.database import Database
from tracker.store.practices import placements


class Decision(StrEnum):
    """A placement beside what the tool had suggested."""

    AS_SUGGESTED = "as suggested"
    EARLIER = "earlier than suggested"
    LATER = "lower than suggested"
    NO_SUGGESTION = "no suggestion yet"


class SinceThen(StrEnum):
    """What became of a placement."""

    MOVED_ON = "moved on since"
    MOVED_BACK = "moved back since"
    PLACED_AGAIN = "placed there again"
    READY = "there, and ready"
    WORKING = "there, at work"
    GATHERING = "there, few strikes yet"
    REVISIT = "there, and fell back"


_STANDING = {
    ReadinessStatus.READY: SinceThen.READY,
    ReadinessStatus.WORKING: SinceThen.WORKING,
    ReadinessStatus.GATHERING: SinceThen.GATHERING,
    ReadinessStatus.REVISIT: SinceThen.REVISIT,
}


def agreement_with_coach(database: Database, scope: Scope) -> pl.DataFrame:
    """One row per placement in scope that stands, the latest first: placed_at, player, foot, stage, suggested_stage,
    suggested_status, decision (of ``Decision``), since_then (of ``SinceThen``), note.

    Earlier means at a higher stage than suggested, lower at one below. Since then: the next placement of the same
    foot or, without one, how the foot stands at that stage today. A stage that is no longer in the ladder has no place
    in it, so such a placement is left out. Raises RequestError when the scope names no squad.
    """
    if scope.squad is None:
        raise RequestError("Say which squad.")
    ladder = ladder_of(database, scope.squad)
    names = {one.player_id: one.display_name for one in players(database, scope.squad) if scope.player in (None, one)}
    made = [one for one in placements(database, squad_id=scope.squad_id) if ladder.stage_named(one.stage)]
    board = readiness(database, replace(scope, season=None, first_day=None, last_day=None)).filter("is_current")
    now = {(row["player"], row["foot"]): ReadinessStatus(row["status"]) for row in board.iter_rows(named=True)}
    rows, later = [], dict[tuple[object, Foot], Placement]()
    for one in reversed(made):
        following = later.get((one.player_id, one.foot))
        later[one.player_id, one.foot] = one
        if one.player_id in names and _is_in(scope, one):
            name = names[one.player_id]
            status = now.get((name, one.foot.value), ReadinessStatus.GATHERING)
            since_then = _moved(ladder, one, following) if following else _STANDING[status]
            rows.append(
                (
                    *(one.placed_at, name, one.foot.value, one.stage, one.suggested_stage),
                    one.suggested_status.value if one.suggested_status else None,
                    *(_decision(ladder, one).value, since_then.value, one.note),
                )
            )
    texts = ("player", "foot", "stage", "suggested_stage", "suggested_status", "decision", "since_then", "note")
    schema: dict[str, pl.DataType | type[pl.DataType]] = {
        "placed_at": pl.Datetime("us", "UTC"),
        **dict.fromkeys(texts, pl.String),
    }
    return pl.DataFrame(rows, schema=schema, orient="row")


def _is_in(scope: Scope, placement: Placement) -> bool:
    """Whether a placement was made on a day in scope (local time)."""
    day, chosen = placement.placed_at.astimezone().date(), scope.strikes
    return (chosen.first_day is None or day >= chosen.first_day) and (chosen.last_day is None or day <= chosen.last_day)


def _decision(ladder: Ladder, placement: Placement) -> Decision:
    suggested = _position(ladder, placement.suggested_stage)
    if suggested is None:
        return Decision.NO_SUGGESTION
    placed = _position(ladder, placement.stage) or 0
    if placed == suggested:
        return Decision.AS_SUGGESTED
    return Decision.EARLIER if placed > suggested else Decision.LATER


def _moved(ladder: Ladder, placement: Placement, following: Placement) -> SinceThen:
    before, after = _position(ladder, placement.stage) or 0, _position(ladder, following.stage) or 0
    if after == before:
        return SinceThen.PLACED_AGAIN
    return SinceThen.MOVED_ON if after > before else SinceThen.MOVED_BACK


def _position(ladder: Ladder, name: str | None) -> int | None:
    stage = ladder.stage_named(name) if name else None
    return stage.position if stage else None
