"""What to bring for a set-up, and what moves from one stage to the next while the rest stays."""

from __future__ import annotations

from dataclasses import dataclass

from tracker.domain.ladder import Stage
from tracker.domain.setup import LaneKind, SetUp, lane_kind
from tracker.domain.target import METRES_PER_YARD
from tracker.domain.vocabulary import BallArrival, LengthUnit

BALLS_A_LANE = 2
"""One in play and one ready. Common practice, no source."""
FLAG_NOTE = "as tall markers, with a top that is not pointed; two cones will do for a gate"
ANCHOR_NOTE = "anchored to the ground before the first strike, whatever their size"


@dataclass(frozen=True, kw_only=True, slots=True)
class EquipmentItem:
    """Something to bring: how many, and what to mind."""

    name: str
    count: int
    note: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class StageChange:
    """What is done to the set-up before a stage, and what is left alone."""

    stage: str
    moves: tuple[str, ...]
    stays: tuple[str, ...]


def equipment_for(field: SetUp, *, players: int) -> tuple[EquipmentItem, ...]:
    """What a set-up takes, the same whatever stages are played."""
    carries = any(stage.ball_arrival is BallArrival.CARRIED for stage in field.ladder.stages)
    flags = 2 * field.lanes + (field.goals if carries else 0)
    lanes = max(field.lanes, field.goals, 1)
    items = (
        EquipmentItem(name="goals", count=field.goals, note=ANCHOR_NOTE),
        EquipmentItem(name="flags", count=flags, note=FLAG_NOTE),
        EquipmentItem(name="flat cones", count=4 + 2 * lanes, note="the four corners, and two ball spots a lane"),
        EquipmentItem(name="balls", count=BALLS_A_LANE * lanes, note=f"{BALLS_A_LANE} a lane"),
        EquipmentItem(name="bibs", count=players // 2, note="for the game"),
    )
    return tuple(item for item in items if item.count)


def changes(stages: tuple[Stage, ...], *, unit: LengthUnit) -> tuple[StageChange, ...]:
    """What moves before each of the stages in turn; before the first everything is put up."""
    return tuple(_change(stages[place - 1] if place else None, stage, unit=unit) for place, stage in enumerate(stages))


def length_words(length_m: float, unit: LengthUnit) -> str:
    """A length in the reader's unit, to a tenth at most.

    >>> length_words(12.8016, LengthUnit.YARDS), length_words(12.8016, LengthUnit.METRES)
    ('14 yd', '12.8 m')
    """
    value = length_m / METRES_PER_YARD if unit is LengthUnit.YARDS else length_m
    return f"{round(value, 1):g} {unit.value}"


def _change(before: Stage | None, stage: Stage, *, unit: LengthUnit) -> StageChange:
    kind, kind_before = lane_kind(stage), lane_kind(before) if before else None
    distance, width = length_words(stage.distance_m, unit), length_words(stage.target.width_m, unit)
    stays = ["the four corners"]
    stays += ["the goals, anchored"] if before else []
    moves: list[str] = []
    if kind is LaneKind.GATE:
        if kind_before is not LaneKind.GATE:
            moves.append(f"Gates on the line of the second goal, one a lane, {width} wide.")
        elif before and before.target.width_m != stage.target.width_m:
            moves.append(f"Gates made {width} wide.")
        else:
            stays.append("the gates")
        moves += _spots(before if kind_before is LaneKind.GATE else None, stage, distance, stays)
    elif kind is LaneKind.RALLY:
        moves.append(f"Every other gate to the middle line, {width} wide.")
        moves.append(f"Ball spots {distance} from it on both sides.")
    elif kind is LaneKind.GOAL:
        moves += _spots(before if kind_before is LaneKind.GOAL else None, stage, distance, stays)
        carried = stage.ball_arrival is BallArrival.CARRIED
        if carried:
            moves.append("One flag beside each spot, to carry the ball past.")
        elif before and before.ball_arrival is BallArrival.CARRIED:
            moves.append("The flag away.")
    else:
        moves.append("Gates, flags and spots away; the corners and the goals are the field.")
    return StageChange(stage=stage.name, moves=tuple(moves), stays=tuple(stays))


def _spots(before: Stage | None, stage: Stage, distance: str, stays: list[str]) -> list[str]:
    """The ball spots when they move; else they are added to what stays."""
    if before and before.distance_m == stage.distance_m:
        stays.append("the ball spots")
        return []
    return [f"Ball spots {distance} from the target."]
