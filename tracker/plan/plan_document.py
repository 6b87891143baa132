"""A plan as JSON to be kept, and back.

Players stand in it by an id and never by name, in sentences too (as ``⟦id⟧``), so that a player renamed has the new
name in it, and one erased leaves none behind. Reading leaves out who is no longer known.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from pydantic import TypeAdapter, ValidationError

from tracker.domain.practice_plan import LaneWork, Part, PracticePlan
from tracker.errors import RequestError
from tracker.plan.request import PlanOptions

VERSION = 1
_MARK = re.compile("⟦([^⟦⟧]*)⟧")


@dataclass(frozen=True, kw_only=True, slots=True)
class PlanDocument:
    """A plan with what it was made for, so that it can be checked again."""

    plan: PracticePlan
    options: PlanOptions


@dataclass(frozen=True, kw_only=True, slots=True)
class _Versioned:
    version: int
    plan: PracticePlan
    options: PlanOptions


@dataclass(frozen=True, kw_only=True, slots=True)
class _VersionAlone:
    version: int


_JSON = TypeAdapter(_Versioned)
_VERSION_JSON = TypeAdapter(_VersionAlone)


def plan_document(document: PlanDocument, ids: Mapping[str, str]) -> str:
    """The JSON text; ``ids`` gives the id of every player by name. Raises RequestError for a player without one."""
    unknown = sorted({work.player for _, _, work in document.plan.work()} - ids.keys())
    if unknown:
        raise RequestError(f"The plan names {', '.join(unknown)}, who is not in this squad.")
    by_length = sorted(ids, key=len, reverse=True)
    any_name = re.compile("|".join(rf"(?<!\w){re.escape(name)}(?!\w)" for name in by_length)) if ids else None

    def marked(sentence: str) -> str:
        return any_name.sub(lambda found: f"⟦{ids[found[0]]}⟧", sentence) if any_name else sentence

    plan = _with_players(document.plan, who=ids.__getitem__, said=marked)
    return _JSON.dump_json(_Versioned(version=VERSION, plan=plan, options=document.options)).decode()


def parse_plan(text: str, names: Mapping[str, str]) -> PlanDocument:
    """The plan in a JSON text; ``names`` gives the name of every player by id, and who has none is left out.

    Raises RequestError when the text is no plan, or a newer program's.
    """
    try:
        if _VERSION_JSON.validate_json(text).version > VERSION:
            raise RequestError("This plan was kept by a newer Strike Ladder. Update this one, or make the plan anew.")
        kept = _JSON.validate_json(text)
    except ValidationError as error:
        first = error.errors()[0]
        place = ".".join(str(part) for part in first["loc"])
        raise RequestError(f"This is no plan that can be read ({place or 'the text'}: {first['msg']}).") from error
    there = _without_strangers(kept.plan, names)
    plan = _with_players(there, who=names.__getitem__, said=lambda sentence: _MARK.sub(_named(names), sentence))
    return PlanDocument(plan=plan, options=kept.options)


def _named(names: Mapping[str, str]) -> Callable[[re.Match[str]], str]:
    return lambda found: names.get(found[1], "…")


def _with_players(plan: PracticePlan, *, who: Callable[[str], str], said: Callable[[str], str]) -> PracticePlan:
    """The plan with every player called otherwise."""

    def lane(row: LaneWork) -> LaneWork:
        return replace(row, players=tuple(replace(one, player=who(one.player)) for one in row.players))

    def part(one: Part) -> Part:
        return replace(one, lanes=tuple(map(lane, one.lanes)))

    return replace(
        plan,
        parts=tuple(map(part, plan.parts)),
        focal_turns=tuple(replace(one, players=tuple(map(who, one.players))) for one in plan.focal_turns),
        expected_strikes=tuple(replace(one, player=who(one.player)) for one in plan.expected_strikes),
        questions=tuple(replace(one, player=who(one.player), sentence=said(one.sentence)) for one in plan.questions),
        remarks=tuple(map(said, plan.remarks)),
    )


def _without_strangers(plan: PracticePlan, names: Mapping[str, str]) -> PracticePlan:
    """The plan without players who have no name, the lanes and turns they leave empty, and remarks about them."""

    def part(one: Part) -> Part:
        rows = (replace(row, players=tuple(two for two in row.players if two.player in names)) for row in one.lanes)
        return replace(one, lanes=tuple(row for row in rows if row.players))

    turns = (
        replace(one, players=tuple(player for player in one.players if player in names)) for one in plan.focal_turns
    )
    return replace(
        plan,
        parts=tuple(map(part, plan.parts)),
        focal_turns=tuple(one for one in turns if one.players),
        expected_strikes=tuple(one for one in plan.expected_strikes if one.player in names),
        questions=tuple(one for one in plan.questions if one.player in names),
        remarks=tuple(one for one in plan.remarks if all(found in names for found in _MARK.findall(one))),
    )
