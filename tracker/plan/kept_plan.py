"""Keeps a plan for a practice, and reads it again."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from tracker.domain.identity import uuid7
from tracker.domain.practice import Practice
from tracker.domain.practice_plan import PracticePlan
from tracker.domain.squad import Squad
from tracker.errors import RequestError
from tracker.plan.plan_document import PlanDocument, parse_plan, plan_document
from tracker.plan.practice_plan import plan_practice, strikes_by_stage
from tracker.plan.request import AS_USUAL, PlanOptions, PlanRequest
from tracker.plan.squad_request import squad_request
from tracker.review import club
from tracker.store import plans as stored
from tracker.store import practices as stored_practices
from tracker.store.database import Database, Transaction


@dataclass(frozen=True, kw_only=True, slots=True)
class KeptPlan:
    """A plan kept for a practice."""

    practice: Practice
    document: PlanDocument
    kept_at: datetime


@dataclass(frozen=True, kw_only=True, slots=True)
class PlanAnswer:
    """The plan for a request, or why there is none."""

    request: PlanRequest | None
    plan: PracticePlan | None
    why_not: str = ""


def squad_plan(
    database: Database,
    squad: Squad,
    *,
    minutes: int,
    held_on: date,
    present: Collection[str] | None = None,
    options: PlanOptions = AS_USUAL,
) -> PlanAnswer:
    """The plan for those of a squad who are there, or in a sentence why nothing fits."""
    request = None
    try:
        request = squad_request(database, squad, minutes=minutes, held_on=held_on, present=present, options=options)
        return PlanAnswer(request=request, plan=plan_practice(request))
    except RequestError as error:
        return PlanAnswer(request=request, plan=None, why_not=str(error))


def keep_plan(
    database: Database, squad: Squad, plan: PracticePlan, *, options: PlanOptions = AS_USUAL, label: str | None = None
) -> Practice:
    """Keeps a plan for the squad's practice of its day, in place of an earlier one, and returns the practice, which is
    made where there is none. ``label`` tells practices of one day apart; None takes the first one of the day.

    Raises RequestError for a player who is not in the squad.
    """
    ids = {one.display_name: one.player_id for one in club.players(database, squad)}
    document = plan_document(
        PlanDocument(plan=plan, options=options), {name: str(player_id) for name, player_id in ids.items()}
    )
    planned, watched = strikes_by_stage(plan.finishing, plan.focal_turns)
    strikes = [
        stored.PlannedStrikes(
            player_id=ids[player], foot=foot, stage=stage, strikes=count, watched=watched[player, foot, stage]
        )
        for (player, foot, stage), count in planned.items()
    ]
    with database.transaction() as transaction:
        practice = _practice(transaction, squad, plan.held_on, label=label)
        stored.save_plan(
            transaction,
            practice.practice_id,
            minutes=plan.minutes,
            document=document,
            strikes=strikes,
            turns=_turns(plan, ids),
        )
    return practice


def kept_plan(database: Database, squad: Squad, practice: Practice) -> KeptPlan | None:
    """The plan kept for a practice, with the names players have now; None where there is none."""
    record = stored.plan_of_practice(database, practice.practice_id)
    if record is None:
        return None
    names = {str(one.player_id): one.display_name for one in club.players(database, squad)}
    return KeptPlan(practice=practice, document=parse_plan(record.document, names), kept_at=record.made_at)


def last_options(database: Database, squad: Squad) -> PlanOptions:
    """What the squad's last plan was made for, as a start for the next one."""
    text = stored.latest_document(database, squad.squad_id)
    return parse_plan(text, {}).options if text else PlanOptions()


def _practice(transaction: Transaction, squad: Squad, day: date, *, label: str | None) -> Practice:
    """The practice of a day, today, past or to come; made where there is none."""
    there = stored_practices.practices(transaction, squad_id=squad.squad_id)
    found = next((one for one in there if one.held_on == day and label in (None, one.label)), None)
    if found is None:
        found = Practice(practice_id=uuid7(), squad_id=squad.squad_id, held_on=day, label=label or "")
        stored_practices.add_practices(transaction, [found])
    return found


def _turns(plan: PracticePlan, ids: Mapping[str, UUID]) -> list[stored.PlannedTurn]:
    """One row for every foot that works in a lane that is watched."""
    rows = []
    for position, turn in enumerate(plan.focal_turns, start=1):
        lanes = [one for one in plan.finishing[turn.block - 1].lanes if one.number == turn.lane]
        rows += [
            stored.PlannedTurn(
                position=position,
                starts_at=turn.starts_at,
                minutes=turn.minutes,
                logger=turn.logger,
                player_id=ids[work.player],
                foot=foot.foot,
                stage=lane.stage,
            )
            for lane in lanes
            for work in lane.players
            for foot in work.feet
        ]
    return rows
