"""The drawing of a set-up: to scale, inside its frame, and with the measures of the data."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tracker.domain.ladder_file import shipped_ladders
from tracker.domain.setup import GAP_M, Lane, LaneKind, Point, SetUp, lane_kind, set_up
from tracker.domain.setup_lanes import Station, arrange
from tracker.domain.vocabulary import LengthUnit
from tracker.errors import RequestError
from tracker.report.charts import set_up_drawing
from tracker.report.setup_words import lane_words, window_words
from tracker.report.wording import length_words

Mark = dict[str, Any]
FIELDS = [
    set_up(ladder, lanes=6, goals=goals, penalty_area_depth_m=depth, space_width_m=60)
    for ladder, depth in zip(shipped_ladders(), (None, 12.8016, 16.4592), strict=True)
    for goals in (1, 2)
]
U12 = FIELDS[3]
WINDOWS = [
    pytest.param(7.32, 11.0, 0.0, 36.8074, id="goal of the Laws from the penalty mark (IFAB Law 1)"),
    pytest.param(7.32, 16.5, 10.0, 18.6017, id="goal of the Laws from the edge of the area, 10 m aside"),
    pytest.param(1.8288, 9.144, 0.0, 11.4212, id="2 yd gate from 10 yd: 2 atan(1/10)"),
    pytest.param(6.4008, 12.8016, 0.0, 28.0725, id="21 ft goal from 14 yd: 2 atan(1/4) (US Soccer 9v9)"),
]
"""Worked by hand from θ = atan((x + w/2)/d) − atan((x − w/2)/d)."""


def drawn(field: SetUp, lanes: tuple[Lane, ...], **how: Any) -> dict[str, Any]:
    picture = set_up_drawing(field, lanes, unit=LengthUnit.METRES, title="Set-up", **how)
    specification: dict[str, Any] = picture.to_dict(validate=False)  # its form is checked once, below
    return specification


def marks(picture: dict[str, Any], kind: str) -> list[Mark]:
    return [
        row
        for layer in picture["layer"]
        if layer["mark"]["type"] == kind
        for row in picture["datasets"][layer["data"]["name"]]
    ]


def said(picture: dict[str, Any]) -> set[str]:
    return {row["words"] for row in marks(picture, "text")}


def edges(picture: dict[str, Any], *, width: float) -> tuple[list[float], list[float]]:
    """The ends of both axes in metres, when the picture is so many pixels wide."""
    scales = [picture["layer"][0]["encoding"][axis]["scale"]["domain"] for axis in "xy"]
    names = {"width": width, "height": picture["height"], "min": min}
    across, along = ([eval(end["expr"], {}, names) for end in ends] for ends in scales)
    return across, along


def named(field: SetUp, name: str) -> Station:
    stage = field.ladder.stage_named(name)
    assert stage
    return Station(stage=stage, lanes=1)


@st.composite
def laid_out(draw: st.DrawFn) -> tuple[SetUp, tuple[Lane, ...]]:
    field = draw(st.sampled_from(FIELDS))
    stages = [stage for stage in field.ladder.stages if lane_kind(stage)]
    chosen = draw(st.lists(st.sampled_from(stages), min_size=1, max_size=3, unique_by=lambda one: one.name))
    try:
        return field, arrange(field, [Station(stage=one, lanes=draw(st.integers(1, 3))) for one in chosen])
    except RequestError:
        assume(condition=False)
        raise


@settings(max_examples=40)
@given(laid_out(), st.sampled_from([320, 640, 1100]))
def test_everything_lies_in_the_frame_at_one_scale_however_wide_it_is_shown(
    given: tuple[SetUp, tuple[Lane, ...]], width: int
) -> None:
    picture = drawn(*given)
    (left, right), (bottom, top) = edges(picture, width=width)
    assert width / (right - left) == pytest.approx(picture["height"] / (top - bottom))
    for row in (one for kind in ("line", "rule", "point", "text") for one in marks(picture, kind)):
        for x, y in (("x", "y"), ("x2", "y2")):
            assert left <= row.get(x, left) <= right
            assert bottom <= row.get(y, bottom) <= top


@settings(max_examples=40)
@given(laid_out())
def test_targets_and_balls_lie_on_the_field_and_nobody_stands_on_another(
    given: tuple[SetUp, tuple[Lane, ...]],
) -> None:
    field, lanes = given
    for lane in lanes:
        for point in (*lane.posts, lane.spot):
            assert -1e-9 <= point.x_m <= field.width_m + 1e-9
            assert -1e-9 <= point.y_m <= field.length_m + 1e-9
    people: list[Point] = [point for lane in lanes for point in (lane.spot, lane.partner, lane.waiting)]
    for place, one in enumerate(people):
        for other in people[place + 1 :]:
            assert math.dist((one.x_m, one.y_m), (other.x_m, other.y_m)) > GAP_M / 3


@settings(max_examples=40)
@given(laid_out())
def test_measures_are_those_of_the_data(given: tuple[SetUp, tuple[Lane, ...]]) -> None:
    field, lanes = given
    words = said(drawn(field, lanes))
    m = LengthUnit.METRES
    assert f"{length_words(field.length_m, m)} long" in words
    assert f"{length_words(field.length_m / 2, m)} to the middle line" in words
    assert f"{length_words(field.width_m, m)} wide" in words
    gates = [lane for lane in lanes if lane.kind is LaneKind.GATE]
    if len(gates) > 1:
        assert f"{length_words(field.spacing_m, m)} apart" in words
    for lane in lanes:
        width = lane.posts[1].x_m - lane.posts[0].x_m
        assert length_words(lane.distance_m, m) in words
        assert f"{length_words(width, m)} · {lane.angular_width_deg:.0f}°" in words
        assert str(lane.number) in words


@pytest.mark.parametrize(("width_m", "distance_m", "aside_m", "degrees"), WINDOWS)
def test_the_window_of_a_lane_is_the_worked_value(
    width_m: float, distance_m: float, aside_m: float, degrees: float
) -> None:
    posts = (Point(x_m=-width_m / 2, y_m=distance_m), Point(x_m=width_m / 2, y_m=distance_m))
    spot = Point(x_m=aside_m, y_m=0.0)
    lane = Lane(
        number=1,
        kind=LaneKind.GATE,
        stage="Still ball",
        distance_m=distance_m,
        spot=spot,
        posts=posts,
        partner=Point(x_m=3.0, y_m=0.0),
        waiting=Point(x_m=0.0, y_m=-2.0),
        flag=None,
        reach=(spot, *posts),
    )
    assert lane.angular_width_deg == pytest.approx(degrees, abs=5e-5)
    assert window_words(lane) == f"{round(degrees)}°"
    assert f"{round(degrees)}° to aim at" in lane_words(lane, LengthUnit.METRES)


def test_arrows_point_at_the_middle_of_the_target() -> None:
    lanes = arrange(U12, [named(U12, "Still ball through a gate"), named(U12, "Carry and shoot")])
    heads = [row for row in marks(drawn(U12, lanes), "point") if "direction" in row]
    assert heads[0]["direction"] == pytest.approx(0.0)  # up the field, at the gate
    assert 90 < heads[1]["direction"] < 180  # down the field and to the right, at the first goal
    for lane, head in zip(lanes, heads, strict=True):
        (left, right), spot = lane.posts, lane.spot
        middle = ((left.x_m + right.x_m) / 2, left.y_m)
        whole = math.dist((spot.x_m, spot.y_m), middle)
        assert math.dist((head["x"], head["y"]), middle) == pytest.approx(1.0)
        assert math.dist((spot.x_m, spot.y_m), (head["x"], head["y"])) == pytest.approx(whole - 1.0)


def test_goals_stand_where_they_are_whether_struck_at_or_not() -> None:
    lanes = arrange(U12, [named(U12, "Still ball through a gate")])
    behind = {row["y2"] for row in marks(drawn(U12, lanes), "rule")}
    assert {-1.5, U12.length_m + 1.5} <= behind
    one_goal = FIELDS[2]
    behind = {row["y2"] for row in marks(drawn(one_goal, lanes), "rule")}
    assert -1.5 in behind
    assert one_goal.length_m + 1.5 not in behind


def test_a_small_drawing_has_lanes_but_no_measures() -> None:
    lanes = arrange(U12, [named(U12, "Served volley"), named(U12, "Rolling ball")])
    assert said(drawn(U12, lanes, with_measures=False)) == {"1", "2"}


def test_it_is_drawn_in_greys_and_says_itself_in_words() -> None:
    lanes = arrange(U12, [named(U12, "Rolling ball"), named(U12, "Carry and shoot")])
    picture = drawn(U12, lanes)
    colours = {
        value for layer in picture["layer"] for name, value in layer["mark"].items() if name in ("color", "fill")
    }
    assert all(len({colour[1:3], colour[3:5], colour[5:7]}) == 1 for colour in colours)
    assert "the field is 25.6 m long" in picture["description"]
    assert "Lane 1, Rolling ball: gate 2.7 m, from 10.1 m, 16° to aim at." in picture["description"]


def test_a_rally_goes_both_ways_through_its_gate() -> None:
    lanes = arrange(U12, [named(U12, "Two-touch gate rally")])
    directions = {round(row["direction"]) for row in marks(drawn(U12, lanes), "point") if "direction" in row}
    assert directions == {0, 180}


def test_it_is_valid_vega_lite() -> None:
    lanes = arrange(U12, [named(U12, "Rolling ball"), named(U12, "Carry and shoot")])
    assert set_up_drawing(U12, lanes, unit=LengthUnit.YARDS, title="Set-up").to_dict(validate=True)["layer"]
