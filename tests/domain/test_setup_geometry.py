"""The set-up in metres: two penalty-area depths long, windows by the formula, and no lane that shoots into another."""

from __future__ import annotations

import dataclasses
import math
from itertools import combinations, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.domain.ladder import Ladder
from tracker.domain.ladder_file import shipped_ladders
from tracker.domain.setup import (
    ESTIMATE_NOTE,
    GAP_M,
    Lane,
    LaneKind,
    Point,
    SetUp,
    lane_kind,
    set_up,
    sideways_miss_m,
    window_deg,
)
from tracker.domain.setup_changes import changes, equipment_for
from tracker.domain.setup_lanes import Station, arrange
from tracker.domain.standards import Federation
from tracker.domain.standards_file import standard_for
from tracker.domain.vocabulary import LengthUnit
from tracker.errors import RequestError

YARD = 0.9144
U8_U10, U11_U12, U13_U18 = shipped_ladders()
EVERY_STAGE = [
    pytest.param(ladder, stage, id=f"{ladder.name} {stage.name}")
    for ladder in shipped_ladders()
    for stage in ladder.stages
    if lane_kind(stage)
]


def field_of(ladder: Ladder, age: int, *, lanes: int = 6, goals: int = 2, space_width_m: float = 60) -> SetUp:
    area = standard_for(Federation.US_SOCCER, age).penalty_area
    depth = area.depth.metres if area else None
    return set_up(ladder, lanes=lanes, goals=goals, penalty_area_depth_m=depth, space_width_m=space_width_m)


def signed_sides(ground: tuple[Point, ...], corners: tuple[Point, ...]) -> list[list[float]]:
    """For each side of a ground, on which hand each corner lies: twice the area of the triangle, left above 0."""
    return [
        [(b.x_m - a.x_m) * (p.y_m - a.y_m) - (b.y_m - a.y_m) * (p.x_m - a.x_m) for p in corners]
        for a, b in pairwise((*ground, ground[0]))
    ]


def are_apart(first: tuple[Point, ...], second: tuple[Point, ...]) -> bool:
    """Whether two convex grounds share no inner point: some side of one has the other wholly beyond it."""
    for ground, other in ((first, second), (second, first)):
        for own, others in zip(signed_sides(ground, ground), signed_sides(ground, other), strict=True):
            inward = math.copysign(1.0, max(own, key=abs))
            if max(inward * side for side in others) <= 1e-9:
                return True
    return False


def is_outside(point: Point, ground: tuple[Point, ...]) -> bool:
    return any(
        math.copysign(1.0, max(own, key=abs)) * side <= 1e-9
        for own, (side,) in zip(signed_sides(ground, ground), signed_sides(ground, (point,)), strict=True)
    )


def assert_lanes_are_clear(lanes: tuple[Lane, ...]) -> None:
    for one, other in combinations(lanes, 2):
        assert are_apart(one.reach, other.reach), (one, other)
        assert math.dist((one.spot.x_m, one.spot.y_m), (other.spot.x_m, other.spot.y_m)) >= GAP_M
    for lane in lanes:
        assert is_outside(lane.waiting, lane.reach)
        for other in lanes:
            if other is not lane:
                assert all(is_outside(person, other.reach) for person in (lane.spot, lane.partner, lane.waiting))


def test_grounds_that_overlap_and_points_within_are_told_from_those_that_do_not() -> None:
    square = (Point(x_m=0, y_m=0), Point(x_m=4, y_m=0), Point(x_m=4, y_m=4), Point(x_m=0, y_m=4))
    wedge = (Point(x_m=3, y_m=-2), Point(x_m=5, y_m=3), Point(x_m=1, y_m=3))
    beside = tuple(Point(x_m=corner.x_m + 4, y_m=corner.y_m) for corner in square)
    assert not are_apart(square, wedge)
    assert are_apart(square, beside)
    assert not is_outside(Point(x_m=2, y_m=1), square)
    assert is_outside(Point(x_m=2, y_m=5), square)


def test_the_field_is_two_penalty_areas_long() -> None:
    assert field_of(U13_U18, 14).length_m / YARD == pytest.approx(36)
    assert 28 <= round(field_of(U11_U12, 12).length_m / YARD, 6) <= 30
    assert field_of(U8_U10, 10).length_m / YARD == pytest.approx(24)


def test_an_age_without_a_penalty_area_takes_the_ladders_farthest_strike() -> None:
    field = field_of(U8_U10, 8)
    assert field.length_m / YARD == pytest.approx(24)
    assert "no penalty area" in field.notes[0]


def test_a_box_less_deep_than_the_ladder_strikes_is_made_up_for_and_said() -> None:
    field = set_up(U13_U18, lanes=4, goals=2, penalty_area_depth_m=13 * YARD)
    assert field.length_m / YARD == pytest.approx(36)
    assert "the field is two times 16.5 m long instead" in field.notes[0]


@pytest.mark.parametrize("ladder", shipped_ladders(), ids=lambda ladder: ladder.name)
def test_gates_are_three_to_four_yards_wide_and_the_first_distance_is_five_yards_at_most(ladder: Ladder) -> None:
    field = set_up(ladder, lanes=4, goals=2)
    gates = [stage for stage in ladder.stages if lane_kind(stage) in (LaneKind.GATE, LaneKind.RALLY)]
    for stage in gates:
        (lane,) = arrange(field, [Station(stage=stage, lanes=1)])
        assert 3 * YARD - 1e-3 <= lane.posts[1].x_m - lane.posts[0].x_m <= 4 * YARD + 1e-3
    assert gates[0].distance_m <= 5 * YARD


@pytest.mark.parametrize(
    ("width_m", "distance_m", "aside_m", "degrees"),
    [(7.32, 11.0, 0.0, 36.8074), (7.32, 16.5, 10.0, 18.6017), (1.8288, 9.144, 0.0, 11.4212)],
    ids=["A: full goal, penalty mark", "B: full goal, 16.5 m out, 10 m aside", "C: two-yard gate, ten yards"],
)
def test_the_window_equals_the_worked_values(width_m: float, distance_m: float, aside_m: float, degrees: float) -> None:
    posts = (Point(x_m=20 - width_m / 2, y_m=30), Point(x_m=20 + width_m / 2, y_m=30))
    assert round(window_deg(Point(x_m=20 + aside_m, y_m=30 - distance_m), posts), 4) == degrees


@pytest.mark.parametrize(("ladder", "stage"), EVERY_STAGE)
def test_the_window_of_each_stage_is_printed_and_follows_the_formula(ladder: Ladder, stage: object) -> None:
    field = set_up(ladder, lanes=4, goals=2)
    (lane,) = arrange(field, [Station(stage=stage, lanes=1)])  # type: ignore[arg-type]
    (left, right), spot = lane.posts, lane.spot
    by_vectors = math.degrees(
        abs(
            math.atan2(right.y_m - spot.y_m, right.x_m - spot.x_m)
            - math.atan2(left.y_m - spot.y_m, left.x_m - spot.x_m)
        )
    )
    print(f"{ladder.name} {lane.stage}: {lane.angular_width_deg:.4f}° from {lane.distance_m / YARD:g} yd")  # noqa: T201
    assert lane.angular_width_deg == pytest.approx(by_vectors, abs=1e-9)


def test_a_wide_strike_lands_where_the_worked_values_say() -> None:
    assert [round(sideways_miss_m(d, e), 3) for d, e in ((5, 5), (10, 10), (10, 15), (16.5, 15))] == [
        0.437, 1.763, 2.679, 4.421,
    ]  # fmt: skip
    assert "our own estimate" in ESTIMATE_NOTE


drawn_ladders = st.sampled_from(shipped_ladders())
scales = st.floats(0.6, 1.6)


@st.composite
def arranged_lanes(draw: st.DrawFn) -> tuple[Lane, ...]:
    """Any set-up, on a ladder whose distances were changed, filled with stages that fit beside one another."""
    shipped, scale = draw(drawn_ladders), draw(scales)
    stages = tuple(dataclasses.replace(one, distance_m=one.distance_m * scale) for one in shipped.stages)
    field = set_up(
        dataclasses.replace(shipped, stages=stages),
        lanes=draw(st.integers(3, 9)),
        goals=2,
        penalty_area_depth_m=draw(st.one_of(st.none(), st.floats(4, 18))),
        space_width_m=draw(st.floats(45, 90)),
    )
    served, still, rolling, rally, carry, layoff, _ = stages
    if draw(st.booleans()):
        chosen = [(draw(st.sampled_from([carry, layoff])), 1), (layoff, 1)]
    else:
        rallies = draw(st.integers(0, (field.lanes - 1) // field.rally_stride))
        gates = field.lanes - rallies * field.rally_stride
        few = draw(st.integers(0, gates))
        chosen = [(served, few), (draw(st.sampled_from([still, rolling])), gates - few), (rally, rallies)]
        chosen += [(carry, 1)] if not rallies and draw(st.booleans()) else []
    nearer = st.floats(0.5, 1)
    return arrange(
        field,
        [Station(stage=stage, lanes=lanes, distance_m=stage.distance_m * draw(nearer)) for stage, lanes in chosen],
    )


@given(arranged_lanes())
def test_lanes_never_cross_and_nobody_stands_where_another_lane_strikes(lanes: tuple[Lane, ...]) -> None:
    assert_lanes_are_clear(lanes)
    assert [lane.number for lane in lanes] == list(range(1, len(lanes) + 1))


@pytest.mark.parametrize("ladder", shipped_ladders(), ids=lambda ladder: ladder.name)
def test_two_goals_are_struck_at_back_to_back_and_gates_behind_the_backs(ladder: Ladder) -> None:
    field = set_up(ladder, lanes=5, goals=2)
    still, rolling, carry, layoff = (ladder.stages[place] for place in (1, 2, 4, 5))
    goals = arrange(field, [Station(stage=carry, lanes=1), Station(stage=layoff, lanes=1)])
    mixed = arrange(
        field, [*(Station(stage=stage, lanes=2) for stage in (still, rolling)), Station(stage=carry, lanes=1)]
    )
    assert len(goals) == 2
    assert len(mixed) == 5
    assert goals[0].flag is not None
    for lanes in (goals, mixed):
        assert_lanes_are_clear(lanes)
        assert all(0 <= lane.spot.x_m <= field.width_m and 0 <= lane.spot.y_m <= field.length_m for lane in lanes)


def test_a_rally_uses_every_other_lane() -> None:
    field = set_up(U11_U12, lanes=5, goals=2)
    rally = U11_U12.stages[3]
    assert field.rally_stride == 2
    assert len(arrange(field, [Station(stage=rally, lanes=3)])) == 3
    with pytest.raises(RequestError, match="take 7 lanes, but there are 5"):
        arrange(field, [Station(stage=rally, lanes=4)])


def test_what_does_not_fit_is_refused_with_the_reason() -> None:
    field = set_up(U11_U12, lanes=3, goals=1)
    still, rally, carry, game = (U11_U12.stages[place] for place in (1, 3, 4, 6))
    for stations, reason in (
        ([Station(stage=still, lanes=4)], "take 4 lanes, but there are 3"),
        ([Station(stage=carry, lanes=2)], "2 goals are struck at, but there are 1"),
        ([Station(stage=rally, lanes=1), Station(stage=carry, lanes=1)], "need the field to themselves"),
        ([Station(stage=still, lanes=1, distance_m=15)], "a wide strike would leave its lane"),
        ([Station(stage=game, lanes=1)], "takes the whole field"),
    ):
        with pytest.raises(RequestError, match=reason):
            arrange(field, stations)


def test_a_space_too_narrow_says_how_much_is_needed() -> None:
    with pytest.raises(RequestError, match=r"needs \d+\.\d m of width, but the space is 5 m wide"):
        set_up(U11_U12, lanes=2, goals=0, space_width_m=5)


def test_fewer_lanes_are_laid_out_where_the_space_is_narrow() -> None:
    assert set_up(U11_U12, lanes=8, goals=2, space_width_m=30).lanes == 4
    assert set_up(U11_U12, lanes=8, goals=2, space_width_m=90).lanes == 8


def test_the_equipment_is_the_same_for_every_stage() -> None:
    items = {item.name: item for item in equipment_for(set_up(U11_U12, lanes=4, goals=2), players=12)}
    assert {name: item.count for name, item in items.items()} == {
        "goals": 2,
        "flags": 10,
        "flat cones": 12,
        "balls": 8,
        "bibs": 6,
    }
    assert "not pointed" in items["flags"].note
    assert "anchored" in items["goals"].note


def test_what_moves_between_stages_is_little_and_what_stays_is_said() -> None:
    served, still, rolling, rally, carry, layoff, game = changes(U11_U12.stages, unit=LengthUnit.YARDS)
    assert served.moves[0] == "Gates on the line of the second goal, one a lane, 4 yd wide."
    assert still.moves == ("Gates made 3 yd wide.", "Ball spots 11 yd from the target.")
    assert rolling.moves == ()
    assert {"the gates", "the ball spots", "the goals, anchored"} <= set(rolling.stays)
    assert rally.moves == ("Every other gate to the middle line, 3 yd wide.", "Ball spots 10 yd from it on both sides.")
    assert carry.moves == ("Ball spots 14 yd from the target.", "One flag beside each spot, to carry the ball past.")
    assert layoff.moves == ("The flag away.",)
    assert "the corners and the goals are the field" in game.moves[0]
