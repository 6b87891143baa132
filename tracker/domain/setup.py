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
"""How far the spots of two goals lie from the middle, each to its own side, so that runs do not meet (our choice)."""
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
class SetUp:
    """The field and what fits on it; all lengths in metres.

    ``lanes`` is how many gate lanes fit side by side, ``middle_lane`` (from 0, left to right) the one in front of the
    goals, whose middle is at ``middle_x_m``. A rally takes ``rally_stride`` lanes, less the last one's when only
    rallies are played. ``farthest_gate_m`` is the farthest a gate may be struck from without a wide strike leaving its
    lane.
    """

    ladder: Ladder
    length_m: float
    width_m: float
    middle_x_m: float
    lanes: int
    middle_lane: int
    goals: int
    spacing_m: float
    farthest_gate_m: float
    rally_stride: int
    notes: tuple[str, ...]

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
    return angular_width_deg(abs(right.x_m - left.x_m), abs(left.y_m - spot.y_m), spot.x_m - (left.x_m + right.x_m) / 2)


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
    a goal takes its place. Raises RequestError when the space is too narrow for one lane or the goals.
    """
    gates, rallies, at_goal = ([stage for stage in ladder.stages if lane_kind(stage) is kind] for kind in LaneKind)
    farthest_gate = max((stage.distance_m for stage in gates), default=0.0)
    half_lane = max([sideways_miss_m(farthest_gate), *(stage.target.width_m / 2 for stage in (*gates, *rallies))])
    spacing = 2 * half_lane + GAP_M
    fitting = min(lanes, math.floor((space_width_m + GAP_M) / spacing)) if gates or rallies else 0
    beside_goals = (
        max((ASIDE_M + sideways_miss_m(stage.distance_m) for stage in at_goal), default=0.0) if goals else 0.0
    )
    needed = max(2 * half_lane if lanes and (gates or rallies) else 0.0, 2 * beside_goals)
    if needed > space_width_m:
        raise RequestError(
            f"The set-up needs {needed:.1f} m of width, but the space is {space_width_m:g} m wide. "
            "Find a wider space, or bring the stages nearer in the ladder."
        )
    depth = max(
        [
            penalty_area_depth_m or 0.0,
            *(stage.distance_m for stage in at_goal),
            *(stage.distance_m + RUN_UP_M for stage in (*gates, *rallies)),
        ]
    )
    middle_lane = max(fitting - 1, 0) // 2
    left, right = (
        max(beside_goals, beyond * spacing + half_lane) for beyond in (middle_lane, max(fitting - 1, 0) - middle_lane)
    )
    wide_rally = max((sideways_miss_m(2 * stage.distance_m) for stage in rallies), default=0.0)
    return SetUp(
        ladder=ladder,
        length_m=2 * depth,
        width_m=left + right,
        middle_x_m=left,
        lanes=fitting,
        middle_lane=middle_lane,
        goals=min(goals, 2),
        spacing_m=spacing,
        farthest_gate_m=farthest_gate,
        rally_stride=math.ceil((wide_rally + max(wide_rally, half_lane) + GAP_M) / spacing),
        notes=_notes(depth, penalty_area_depth_m),
    )


def _notes(depth_m: float, penalty_area_depth_m: float | None) -> tuple[str, ...]:
    if penalty_area_depth_m is None:
        return ("This age has no penalty area, or none was found: the ladder's farthest strike takes its place.",)
    if depth_m > penalty_area_depth_m + 0.05:
        return (
            f"The ladder strikes from farther than the penalty area is deep ({penalty_area_depth_m:.1f} m): "
            f"the field is two times {depth_m:.1f} m long instead.",
        )
    return ()
