"""A part of a practice on the field: its lanes in metres, and what moves before it."""

from __future__ import annotations

from collections.abc import Sequence

import polars as pl

from tracker.domain.ladder import Stage
from tracker.domain.practice_plan import LaneWork, Part, PartChange, PracticePlan
from tracker.domain.setup import Lane, LaneKind, SetUp, lane_kind
from tracker.domain.setup_changes import length_words
from tracker.domain.setup_lanes import Station, arrange
from tracker.domain.vocabulary import BallArrival, LengthUnit
from tracker.errors import RequestError


def farthest_spot_m(lane: LaneWork, *, default_m: float) -> float:
    """The farthest spot in a lane, in metres."""
    return max((foot.distance_m for player in lane.players for foot in player.feet if foot.sets), default=default_m)


def lay_out(field: SetUp, part: Part) -> tuple[Lane, ...]:
    """The lanes of a part in metres, to be drawn; each from its farthest spot. Raises RequestError when they do not
    fit, as lanes changed by hand may."""
    stations = [
        Station(stage=stage, lanes=1, distance_m=farthest_spot_m(lane, default_m=stage.distance_m))
        for lane in part.lanes
        if (stage := field.ladder.stage_named(lane.stage))
    ]
    return arrange(field, stations)


def lanes_if_they_fit(field: SetUp, part: Part) -> tuple[Lane, ...]:
    """The same, and none at all where the lanes do not fit."""
    try:
        return lay_out(field, part)
    except RequestError:
        return ()


def lanes_of_plan(plan: PracticePlan) -> list[tuple[Lane, ...]]:
    """The lanes of every part of finishing, none where they do not fit: what a practice sheet is drawn from."""
    return [lanes_if_they_fit(plan.field, part) for part in plan.finishing]


def part_changes(field: SetUp, finishing: Sequence[Part], *, unit: LengthUnit) -> tuple[PartChange, ...]:
    """What is moved before each part of finishing: only the lanes whose stage is another than before."""
    found = []
    before: dict[int, str] = {}
    for part in finishing:
        now = {lane.number: lane.stage for lane in part.lanes}
        moves, stays = [], ["The four corners and the goals stay." if before else "The four corners and the goals."]
        for name in part.stages:
            stage = field.ladder.stage_named(name)
            lanes = [lane for lane in part.lanes if lane.stage == name]
            kept = [lane.number for lane in lanes if before.get(lane.number) == name]
            moved = [lane for lane in lanes if lane.number not in kept]
            if kept:
                stays.append(f"{_numbers(kept)} as {'they are' if len(kept) > 1 else 'it is'}: {name}.")
            if moved and stage:
                moves.append(f"{_numbers([lane.number for lane in moved])}, {name}: {_laid(stage, moved, unit)}")
        found.append(PartChange(starts_at=part.starts_at, moves=tuple(moves), stays=tuple(stays)))
        before = now
    return tuple(found)


def plan_table(plan: PracticePlan) -> pl.DataFrame:
    """One row a part and stage: stage, minutes, players, distance_m, target_width_m, sets, equipment, cautions.

    ``players`` is a number, ``sets`` are the most of one foot ("10, 5"); distances are the stage's own in metres.
    Warm-up and game have no distance. ``cautions`` are those of the stage alone; the plan carries the rest.
    """
    ladder = plan.field.ladder
    everyone = {work.player for _, _, work in plan.work()}
    shared = set.intersection(*(set(stage.cautions) for stage in ladder.stages))
    rows = []
    for part in plan.parts:
        for name in part.stages or (part.activity.value,):
            stage = ladder.stage_named(name) if part.lanes else None
            lanes = [lane for lane in part.lanes if lane.stage == name]
            sets = [foot.sets for lane in lanes for one in lane.players for foot in one.feet]
            rows.append(
                {
                    "stage": name,
                    "minutes": part.minutes,
                    "players": sum(len(lane.players) for lane in lanes) if lanes else len(everyone),
                    "distance_m": stage.distance_m if stage else None,
                    "target_width_m": stage.target.width_m if stage else None,
                    "sets": ", ".join(map(str, max(sets, default=(), key=sum))) or None,
                    "equipment": _things(stage, len(lanes)) if stage else None,
                    "cautions": " ".join(one for one in stage.cautions if one not in shared) if stage else None,
                }
            )
    schema = {"distance_m": pl.Float64, "target_width_m": pl.Float64, "sets": pl.String, "cautions": pl.String}
    return pl.DataFrame(rows, schema_overrides=schema)


def _numbers(lanes: Sequence[int]) -> str:
    return f"Lane{'s' if len(lanes) > 1 else ''} {', '.join(map(str, lanes))}"


def _things(stage: Stage, lanes: int) -> str:
    thing = "goal" if lane_kind(stage) is LaneKind.GOAL else "gate"
    return f"{lanes} {thing}{'s' if lanes > 1 else ''}"


def _laid(stage: Stage, lanes: Sequence[LaneWork], unit: LengthUnit) -> str:
    """Where the target and the spots of a stage go."""
    spots = sorted({foot.distance_m for lane in lanes for one in lane.players for foot in one.feet if foot.sets})
    words = [length_words(spot, unit) for spot in spots]
    where = words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}" if words else "as usual"
    width = length_words(stage.target.width_m, unit)
    match lane_kind(stage):
        case LaneKind.GATE:
            return f"gate {width} wide on the line of the second goal, spots {where} from it."
        case LaneKind.RALLY:
            return f"gate {width} wide on the middle line, every other lane left free, spots {where} on both sides."
        case _:
            flag = ", a flag beside the spot" if stage.ball_arrival is BallArrival.CARRIED else ""
            return f"the goal, spots {where} from it{flag}."
