"""The one set-up a practice runs off: a field two penalty-area depths long, lanes side by side, gates and goals.

Plan view in metres: x runs across the field from the left touchline, y along it from the first goal's line. The first
goal stands at y = 0, the second at y = ``length_m``. Gates stand on the second goal's line, and every gate is struck
at from its own lane; the goals are struck at from the middle. So all strikes go away from the middle line, where the
players are, and nobody stands behind a target. For a rally the gate comes to the middle line.

No federation prints how far apart shooting lanes must be. The spacing is our own estimate: a strike d metres out that
goes ``WIDE_DEG`` wide lands d · tan(e) aside, and no lane lets that reach another.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from tracker.domain.ladder import Ladder, Stage
from tracker.domain.target import angular_width_deg
from tracker.domain.vocabulary import BallArrival
from tracker.errors import RequestError

WIDE_DEG = 15.0
"""How wide a strike is reckoned with: twice the spread of a good U10, our own working assumption."""
GAP_M = 2.0
"""Between lanes, where a partner stands. The nearest published figure: 2 to 3 m clear of a pitch (FIFA grassroots)."""
RUN_UP_M = 2.5
"""Behind the ball. Our own choice."""
ASIDE_M = 2.0
"""How far the spots of two goals lie from the middle, each to its own side, so that runs do not meet. Our own choice."""
USUAL_WIDTH_M = 45.0
"""Taken when nobody says how wide the space is: the narrowest field of Law 1."""
ESTIMATE_NOTE = (
    f"Lane spacing is our own estimate, no rule: room for a strike {WIDE_DEG:g}° wide of the middle of the target, and "
    f"{GAP_M:g} m between lanes. Give more room where you have it."
)


class LaneKind(StrEnum):
    """What a lane is laid out for."""

    GATE = "gate"
    RALLY = "rally"
    GOAL = "goal"


@dataclass(frozen=True, kw_only=True, slots=True)
class Point:
    """A place in plan view, metres."""

    x_m: float
    y_m: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Lane:
    """One lane as laid out for a stage.

    ``posts`` are the two ends of the target; ``reach`` the corners, in order, of the ground that strikes up to
    ``WIDE_DEG`` wide cross on their way to the target line (both ways in a rally).
    """

    number: int
    kind: LaneKind
    stage: str
    distance_m: float
    spot: Point
    posts: tuple[Point, Point]
    partner: Point
    waiting: Point
    flag: Point | None
    reach: tuple[Point, ...]

    @property
    def angular_width_deg(self) -> float:
        """The angle in degrees that the target shows from the spot."""
        return window_deg(self.spot, self.posts)


@dataclass(frozen=True, kw_only=True, slots=True)
class Station:
    """How many lanes a stage gets, and from how far when not from the stage's own distance."""

    stage: Stage
    lanes: int
    distance_m: float | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class SetUp:
    """The field and what fits on it; all lengths in metres.

    ``lanes`` is how many gate lanes fit side by side, ``middle_lane`` (from 0, left to right) the one in front of the
    goals. A rally takes ``rally_stride`` lanes, less the last one's when only rallies are played. ``farthest_gate_m``
    is the farthest a gate may be struck from without a wide strike leaving its lane.
    """

    ladder: Ladder
    length_m: float
    width_m: float
    lanes: int
    middle_lane: int
    goals: int
    spacing_m: float
    farthest_gate_m: float
    rally_stride: int
    notes: tuple[str, ...]

    @property
    def middle_x_m(self) -> float:
        """Where the middle of the goals is, across the field."""
        lanes_before = self.middle_lane * self.spacing_m + (self.spacing_m - GAP_M) / 2
        return max(lanes_before, (self.width_m - (self.lanes * self.spacing_m - GAP_M)) / 2 + lanes_before)

    @property
    def farthest_goal_m(self) -> float:
        """The farthest a goal may be struck at: from the middle line."""
        return self.length_m / 2


def lane_kind(stage: Stage) -> LaneKind | None:
    """What lane a stage is played in; None for a game, which takes the whole field."""
    if stage.ball_arrival is BallArrival.GAME:
        return None
    if not stage.target.is_gate:
        return LaneKind.GOAL
    return LaneKind.RALLY if stage.ball_arrival is BallArrival.PASSED else LaneKind.GATE


def sideways_miss_m(distance_m: float, wide_deg: float = WIDE_DEG) -> float:
    """How far aside a strike lands that goes ``wide_deg`` wide of where it was aimed.

    >>> round(sideways_miss_m(10, 10), 2), round(sideways_miss_m(10, 15), 2), round(sideways_miss_m(16.5, 15), 2)
    (1.76, 2.68, 4.42)
    """
    return distance_m * math.tan(math.radians(wide_deg))


def window_deg(spot: Point, posts: tuple[Point, Point]) -> float:
    """The angle in degrees between the posts of a target across the field, seen from a spot."""
    left, right = posts
    return angular_width_deg(
        abs(right.x_m - left.x_m), abs(left.y_m - spot.y_m), spot.x_m - (left.x_m + right.x_m) / 2
    )


def set_up(
    ladder: Ladder,
    *,
    lanes: int,
    goals: int,
    penalty_area_depth_m: float | None = None,
    space_width_m: float = USUAL_WIDTH_M,
) -> SetUp:
    """The set-up for a ladder: as many of the ``lanes`` asked for as fit into the width of the space.

    ``penalty_area_depth_m`` is the age's; without one, or where the ladder's strikes need more, the farthest strike at
    a goal takes its place. Raises RequestError when not one lane fits.
    """
    kinds = {stage.name: lane_kind(stage) for stage in ladder.stages}
    gates, rallies, shots = (
        [stage for stage in ladder.stages if kinds[stage.name] is kind] for kind in LaneKind
    )
    farthest_gate = max((stage.distance_m for stage in gates), default=0.0)
    half_lane = max([sideways_miss_m(farthest_gate), *(stage.target.width_m / 2 for stage in (*gates, *rallies))])
    spacing = 2 * half_lane + GAP_M
    fitting = min(lanes, math.floor((space_width_m + GAP_M) / spacing))
    if fitting < 1 and (gates or rallies):
        raise RequestError(
            f"A lane needs {spacing - GAP_M:.1f} m of width, but the space is {space_width_m:g} m wide. "
            "Find a wider space, or bring the gates nearer in the ladder."
        )
    depth = max(
        [
            penalty_area_depth_m or 0.0,
            *(stage.distance_m for stage in shots),
            *(stage.distance_m + RUN_UP_M for stage in (*gates, *rallies)),
        ]
    )
    wide_rally = max((sideways_miss_m(2 * stage.distance_m) for stage in rallies), default=0.0)
    goal_side = max((ASIDE_M + sideways_miss_m(stage.distance_m) for stage in shots), default=0.0)
    return SetUp(
        ladder=ladder,
        length_m=2 * depth,
        width_m=max(max(fitting, 1) * spacing - GAP_M, 2 * goal_side if goals else 0.0),
        lanes=max(fitting, 0),
        middle_lane=max(fitting - 1, 0) // 2,
        goals=min(goals, 2),
        spacing_m=spacing,
        farthest_gate_m=farthest_gate,
        rally_stride=max(
            math.ceil((2 * wide_rally + GAP_M) / spacing), math.ceil((wide_rally + half_lane + GAP_M) / spacing)
        ),
        notes=_notes(depth, penalty_area_depth_m),
    )


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
    first_gate = len(rallies) * field.rally_stride
    if rallies:
        places = list(range(first_gate, first_gate + len(gates)))
    else:
        middle = field.middle_lane
        places = sorted(sorted(range(field.lanes), key=lambda lane: (abs(lane - middle), lane))[: len(gates)])
    laid = [
        *(_rally_lane(field, stage, distance, turn * field.rally_stride) for turn, (stage, distance) in enumerate(rallies)),
        *(_gate_lane(field, stage, distance, lane) for (stage, distance), lane in zip(gates, places, strict=True)),
        *(_goal_lane(field, stage, distance, is_second=turn == 1) for turn, (stage, distance) in enumerate(goals)),
    ]
    return tuple(Lane(number=number, **one) for number, one in enumerate(laid, start=1))  # type: ignore[arg-type]


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


def _notes(depth_m: float, penalty_area_depth_m: float | None) -> tuple[str, ...]:
    if penalty_area_depth_m is None:
        return ("This age has no penalty area, or none was found: the ladder's farthest strike takes its place.",)
    if depth_m > penalty_area_depth_m + 0.05:
        return (
            f"The ladder strikes from farther than the penalty area is deep ({penalty_area_depth_m:.1f} m): "
            f"the field is two times {depth_m:.1f} m long instead.",
        )
    return ()


def _lane_x(field: SetUp, lane: int) -> float:
    return field.middle_x_m + (lane - field.middle_lane) * field.spacing_m


def _across(middle: float, width: float, y: float) -> tuple[Point, Point]:
    return Point(x_m=middle - width / 2, y_m=y), Point(x_m=middle + width / 2, y_m=y)


def _gate_lane(field: SetUp, stage: Stage, distance: float, lane: int) -> dict[str, object]:
    """A gate on the second goal's line, struck at from nearer the middle."""
    x, line = _lane_x(field, lane), field.length_m
    posts, spot = _across(x, stage.target.width_m, line), Point(x_m=x, y_m=line - distance)
    side = max(sideways_miss_m(distance), stage.target.width_m / 2)
    return {
        "kind": LaneKind.GATE,
        "stage": stage.name,
        "distance_m": distance,
        "spot": spot,
        "posts": posts,
        "partner": Point(x_m=x + field.spacing_m / 2, y_m=line - 1.0),
        "waiting": Point(x_m=x, y_m=spot.y_m - RUN_UP_M),
        "flag": None,
        "reach": (spot, *reversed(_across(x, 2 * side, line))),
    }


def _rally_lane(field: SetUp, stage: Stage, distance: float, lane: int) -> dict[str, object]:
    """A gate on the middle line, struck at from both sides."""
    x, middle = _lane_x(field, lane), field.length_m / 2
    side = max(sideways_miss_m(2 * distance), stage.target.width_m / 2)
    near, far = _across(x, 2 * side, middle - distance), _across(x, 2 * side, middle + distance)
    return {
        "kind": LaneKind.RALLY,
        "stage": stage.name,
        "distance_m": distance,
        "spot": Point(x_m=x, y_m=middle - distance),
        "posts": _across(x, stage.target.width_m, middle),
        "partner": Point(x_m=x, y_m=middle + distance),
        "waiting": Point(x_m=x, y_m=middle - distance - RUN_UP_M),
        "flag": None,
        "reach": (near[0], near[1], far[1], far[0]),
    }


def _goal_lane(field: SetUp, stage: Stage, distance: float, *, is_second: bool) -> dict[str, object]:
    """A goal struck at from the middle, from a spot to the left for the first goal and to the right for the second."""
    middle, sign, line = field.middle_x_m, (1.0 if is_second else -1.0), (field.length_m if is_second else 0.0)
    spot = Point(x_m=middle + sign * ASIDE_M, y_m=line - sign * distance)
    aim = math.degrees(math.atan2(-sign * ASIDE_M, distance))
    posts = _across(middle, stage.target.width_m, line)
    left = min(spot.x_m + sideways_miss_m(distance, aim - WIDE_DEG), posts[0].x_m)
    right = max(spot.x_m + sideways_miss_m(distance, aim + WIDE_DEG), posts[1].x_m)
    is_carried = stage.ball_arrival is BallArrival.CARRIED
    return {
        "kind": LaneKind.GOAL,
        "stage": stage.name,
        "distance_m": distance,
        "spot": spot,
        "posts": posts,
        "partner": Point(x_m=spot.x_m + sign * 3.0, y_m=spot.y_m),
        "waiting": Point(x_m=spot.x_m + sign * 6.0, y_m=spot.y_m),
        "flag": Point(x_m=spot.x_m + sign * 2.0, y_m=spot.y_m) if is_carried else None,
        "reach": (spot, Point(x_m=left, y_m=line), Point(x_m=right, y_m=line)),
    }
