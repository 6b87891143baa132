"""Lays out the lanes of stages that are played at the same time, so that none shoots into another."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from tracker.domain.ladder import Stage
from tracker.domain.setup import (
    ASIDE_M,
    RUN_UP_M,
    WIDE_DEG,
    Lane,
    LaneKind,
    Point,
    SetUp,
    lane_kind,
    sideways_miss_m,
)
from tracker.domain.vocabulary import BallArrival
from tracker.errors import RequestError


@dataclass(frozen=True, kw_only=True, slots=True)
class Station:
    """How many lanes a stage gets, and from how far when not from the stage's own distance."""

    stage: Stage
    lanes: int
    distance_m: float | None = None


def arrange(field: SetUp, stations: Sequence[Station]) -> tuple[Lane, ...]:
    """The lanes of stages played at the same time, numbered from the left, goals last.

    Gates may stand beside rallies, or behind the backs of players who strike at the first goal; two goals, or a rally
    and a goal, need the field to themselves. Raises RequestError when the stations do not fit.
    """
    by_kind: dict[LaneKind, list[tuple[Stage, float]]] = {kind: [] for kind in LaneKind}
    for station in stations:
        kind = lane_kind(station.stage)
        if kind is None:
            raise RequestError(f"{station.stage.name} is a game: it takes the whole field.")
        by_kind[kind] += [(station.stage, station.distance_m or station.stage.distance_m)] * station.lanes
    gates, rallies, goals = (by_kind[kind] for kind in LaneKind)
    _check_fit(field, gates=gates, rallies=rallies, goals=goals)
    turns, first_gate = len(rallies), len(rallies) * field.rally_stride
    if turns:
        places = list(range(first_gate, first_gate + len(gates)))
    else:
        middle = field.middle_lane
        places = sorted(sorted(range(field.lanes), key=lambda lane: (abs(lane - middle), lane))[: len(gates)])
    return (
        *(
            _rally_lane(field, stage, distance, lane=turn * field.rally_stride, number=turn + 1)
            for turn, (stage, distance) in enumerate(rallies)
        ),
        *(
            _gate_lane(field, stage, distance, lane=lane, number=number)
            for number, ((stage, distance), lane) in enumerate(zip(gates, places, strict=True), start=turns + 1)
        ),
        *(
            _goal_lane(field, stage, distance, is_second=turn == 1, number=turns + len(gates) + turn + 1)
            for turn, (stage, distance) in enumerate(goals)
        ),
    )


def _check_fit(
    field: SetUp,
    *,
    gates: list[tuple[Stage, float]],
    rallies: list[tuple[Stage, float]],
    goals: list[tuple[Stage, float]],
) -> None:
    """Raises RequestError with the reason when lanes do not fit beside one another."""
    taken = field.rally_stride * len(rallies) + len(gates) - (field.rally_stride - 1 if rallies and not gates else 0)
    if taken > field.lanes:
        raise RequestError(f"The gates and rallies take {taken} lanes, but there are {field.lanes}.")
    if len(goals) > field.goals:
        raise RequestError(f"{len(goals)} goals are struck at, but there are {field.goals}.")
    if goals and (rallies or (gates and len(goals) > 1)):
        raise RequestError("Two goals, or a rally and a goal, need the field to themselves.")
    too_far = [stage.name for stage, distance in gates if distance > field.farthest_gate_m + 1e-9]
    too_far += [stage.name for stage, distance in goals if distance > field.farthest_goal_m + 1e-9]
    too_far += [stage.name for stage, distance in rallies if distance > stage.distance_m + 1e-9]
    if too_far:
        raise RequestError(f"{too_far[0]} is struck from too far: a wide strike would leave its lane.")


def _lane_x(field: SetUp, lane: int) -> float:
    return field.middle_x_m + (lane - field.middle_lane) * field.spacing_m


def _across(middle: float, width: float, y: float) -> tuple[Point, Point]:
    return Point(x_m=middle - width / 2, y_m=y), Point(x_m=middle + width / 2, y_m=y)


def _gate_lane(field: SetUp, stage: Stage, distance: float, *, lane: int, number: int) -> Lane:
    """A gate on the second goal's line, struck at from nearer the middle."""
    x, line = _lane_x(field, lane), field.length_m
    posts, spot = _across(x, stage.target.width_m, line), Point(x_m=x, y_m=line - distance)
    side = max(sideways_miss_m(distance), stage.target.width_m / 2)
    return Lane(
        number=number,
        kind=LaneKind.GATE,
        stage=stage.name,
        distance_m=distance,
        spot=spot,
        posts=posts,
        partner=Point(x_m=x + field.spacing_m / 2, y_m=line - 1.0),
        waiting=Point(x_m=x, y_m=spot.y_m - RUN_UP_M),
        flag=None,
        reach=(spot, *reversed(_across(x, 2 * side, line))),
    )


def _rally_lane(field: SetUp, stage: Stage, distance: float, *, lane: int, number: int) -> Lane:
    """A gate on the middle line, struck at from both sides."""
    x, middle = _lane_x(field, lane), field.length_m / 2
    side = max(sideways_miss_m(2 * distance), stage.target.width_m / 2)
    near, far = _across(x, 2 * side, middle - distance), _across(x, 2 * side, middle + distance)
    return Lane(
        number=number,
        kind=LaneKind.RALLY,
        stage=stage.name,
        distance_m=distance,
        spot=Point(x_m=x, y_m=middle - distance),
        posts=_across(x, stage.target.width_m, middle),
        partner=Point(x_m=x, y_m=middle + distance),
        waiting=Point(x_m=x, y_m=middle - distance - RUN_UP_M),
        flag=None,
        reach=(near[0], near[1], far[1], far[0]),
    )


def _goal_lane(field: SetUp, stage: Stage, distance: float, *, is_second: bool, number: int) -> Lane:
    """A goal struck at from the middle, from a spot to the left for the first goal and to the right for the second."""
    middle, sign, line = field.middle_x_m, (1.0 if is_second else -1.0), (field.length_m if is_second else 0.0)
    spot = Point(x_m=middle + sign * ASIDE_M, y_m=line - sign * distance)
    aim = math.degrees(math.atan2(-sign * ASIDE_M, distance))
    posts = _across(middle, stage.target.width_m, line)
    left = min(spot.x_m + sideways_miss_m(distance, aim - WIDE_DEG), posts[0].x_m)
    right = max(spot.x_m + sideways_miss_m(distance, aim + WIDE_DEG), posts[1].x_m)
    is_carried = stage.ball_arrival is BallArrival.CARRIED
    return Lane(
        number=number,
        kind=LaneKind.GOAL,
        stage=stage.name,
        distance_m=distance,
        spot=spot,
        posts=posts,
        partner=Point(x_m=spot.x_m + sign * 3.0, y_m=spot.y_m),
        waiting=Point(x_m=spot.x_m + sign * 6.0, y_m=spot.y_m + sign * RUN_UP_M),
        flag=Point(x_m=spot.x_m + sign * 2.0, y_m=spot.y_m) if is_carried else None,
        reach=(spot, Point(x_m=left, y_m=line), Point(x_m=right, y_m=line)),
    )
