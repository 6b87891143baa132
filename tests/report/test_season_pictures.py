"""The pictures of a season: what they say, that they are valid, and that they read without colour."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date
from typing import Any

import altair as alt
import pytest
from builders import SquadBuilder

from tracker.domain.vocabulary import Dimension, Foot, LengthUnit, Miss, PreferredFoot
from tracker.report import charts, season_tables
from tracker.review.accuracy import accuracy
from tracker.review.aim_at_stages import aim_at_stages
from tracker.review.change import change
from tracker.review.first_sets import first_sets
from tracker.review.gap_over_season import gap_over_season
from tracker.review.logbook import CalledSet, log_sets
from tracker.review.month_coverage import month_coverage
from tracker.review.practice_strip import practice_strip
from tracker.review.reach import reach
from tracker.review.scope import Scope
from tracker.review.season_line import season_of_foot

GATE = "Still ball through a gate"
RIGHT = PreferredFoot.RIGHT


@pytest.fixture
def season(squad: SquadBuilder) -> SquadBuilder:
    """Ana: three practices of 14 of 20 with the right foot from 11 yards, two sets each; 8 of 15 left on the last."""
    far = {"stage": GATE, "distance_m": 10.0584, "target_width_m": 2.7432}
    for day in (1, 8, 15):
        for miss in (Miss.LEFT, Miss.RIGHT):
            squad.strikes("Ana", Foot.RIGHT, "+++++++---", miss=miss, day=date(2026, 3, day), **far)
    squad.strikes("Ana", Foot.LEFT, "+-+-+-+-+-+-+-+", miss=Miss.LEFT, day=date(2026, 3, 15), **far)
    return squad


def of_ana(season: SquadBuilder) -> Scope:
    return replace(season.scope, player=season.player("Ana"))


def pictures(season: SquadBuilder) -> dict[str, alt.LayerChart]:
    database, scope = season.database, of_ana(season)
    by_practice = accuracy(database, scope, by=[Dimension.PLAYER, Dimension.FOOT, Dimension.PRACTICE])
    line = season_of_foot(change(database, scope), by_practice, foot=Foot.RIGHT)
    aims, reaches = aim_at_stages(database, scope), reach(database, scope)
    strip, judged = practice_strip(database, scope), first_sets(database, scope)
    return {
        "practices": charts.accuracy_over_practices(by_practice, foot=Foot.RIGHT, preferred=RIGHT, season=line),
        "aim left": charts.aim_fan(aims[0]),
        "aim": charts.aim_fan(aims[1], preferred=RIGHT),
        "reach left": charts.distance_curve(reaches[0], unit=LengthUnit.METRES),
        "reach": charts.distance_curve(reaches[1], unit=LengthUnit.YARDS),
        "twenty left": charts.dot_picture(accuracy(database, scope), foot=Foot.LEFT),
        "twenty": charts.dot_picture(accuracy(database, scope), foot=Foot.RIGHT, preferred=RIGHT),
        "sets": charts.practice_strip_picture(strip, judged, foot=Foot.RIGHT),
        "sets left": charts.practice_strip_picture(strip, judged, foot=Foot.LEFT),
        "gap": charts.foot_gap_picture(gap_over_season(database, scope)),
        "month": charts.squad_coverage(month_coverage(database, season.scope)),
    }


def title(picture: alt.LayerChart) -> str:
    expression: str = picture.to_dict()["title"]["text"]["expr"]
    return expression.split(" : ")[-1]  # as it is broken for a wide frame


def marks(picture: alt.LayerChart, kind: str) -> list[dict[str, Any]]:
    return [layer for layer in picture.to_dict()["layer"] if layer["mark"]["type"] == kind]


def test_every_picture_is_valid_fits_its_frame_and_describes_itself(season: SquadBuilder) -> None:
    for picture in pictures(season).values():
        drawn = picture.to_dict()
        assert drawn["width"] == "container"
        assert len(drawn["description"]) > 40
        assert drawn["title"]["subtitle"]


@pytest.mark.parametrize(
    ("name", "finding"),
    [
        ("practices", "Right foot (preferred): 42 of 60 on target over 3 practices"),
        ("aim left", "Left foot"),
        ("aim", "Right foot (preferred): aims at the middle, two of three strikes within"),
        ("reach", "Still hits 7 of 10 from about 11 yd"),
        ("twenty", "Right foot (preferred): about 14 of 20 strikes on target"),
        ("twenty left", "Left foot: about 11 of 20 strikes on target"),
        ("sets left", "no practice with two sets at a stage yet."),
        ("gap", "Left foot (other): "),
        ("month", "March 2026: 3 of 4 feet have under 20 strikes"),
    ],
)
def test_a_title_states_the_finding(season: SquadBuilder, name: str, finding: str) -> None:
    said = title(pictures(season)[name]).replace('", "', " ")
    assert finding in said


def test_the_wedge_holds_the_spread_and_the_window_the_angle_of_the_target(season: SquadBuilder) -> None:
    fan = pictures(season)["aim"]
    wide, narrow = (fan.to_dict()["datasets"][layer["data"]["name"]][-1] for layer in marks(fan, "area"))
    assert wide["x"] < narrow["x"] < 0 < narrow["x2"] < wide["x2"]
    (gates,) = (layer for layer in marks(fan, "rule"))
    now, after = fan.to_dict()["datasets"][gates["data"]["name"]]
    assert now["x2"] / now["y"] == pytest.approx(2.7432 / 2 / 10.0584, rel=0.001)
    assert now["words"].startswith("Now: Still ball through a gate, about 7 of 10")
    assert after["words"].startswith("One stage up: Rolling ball, about 7 of 10")


def test_on_paper_the_fan_is_one_wedge_and_one_target_and_has_no_words(season: SquadBuilder) -> None:
    aims = aim_at_stages(season.database, of_ana(season))
    edge = max(charts.fan_edge_deg(one, target_deg=15.0) for one in aims if one.has_wedge)
    drawn = charts.aim_on_paper(aims[1], target_deg=15.0, edge_deg=edge, description="Right foot: to the middle.")
    (wedge,), (bar,) = (
        [drawn.to_dict()["datasets"][layer["data"]["name"]][-1] for layer in marks(drawn, kind)]
        for kind in ("area", "rule")
    )
    bias, spread = aims[1].aim.select("bias_deg", "spread_deg").row(0)
    assert wedge["x2"] == pytest.approx(math.tan(math.radians(bias + spread)))
    assert bar["x2"] == pytest.approx(math.tan(math.radians(7.5)))
    assert max(wedge["x2"], bar["x2"]) < math.tan(math.radians(edge))
    assert not marks(drawn, "text")


def test_an_aim_that_is_not_known_is_not_drawn(squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.RIGHT, "+" * 12, day=date(2026, 3, 1), stage=GATE)
    nothing, all_hit = aim_at_stages(squad.database, of_ana(squad))
    for found in (nothing, all_hit):
        assert not marks(charts.aim_fan(found), "area")


def test_the_dots_are_twenty_and_filled_as_often_as_the_foot_hits(season: SquadBuilder) -> None:
    (dots,) = (rows for rows in pictures(season)["twenty"].to_dict()["datasets"].values() if "is_hit" in rows[0])
    assert len(dots) == 20
    assert sum(dot["is_hit"] for dot in dots) == 14
    likely = [place for place, dot in enumerate(dots) if dot["is_likely"]]
    assert likely[0] < 14 <= likely[-1] + 1


def test_under_ten_strikes_no_dot_is_filled(squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.LEFT, "+" * 9, day=date(2026, 3, 1), stage=GATE)
    picture = charts.dot_picture(accuracy(squad.database, of_ana(squad)), foot=Foot.LEFT)
    assert "too few strikes to say" in title(picture)
    (dots,) = (rows for rows in picture.to_dict()["datasets"].values() if "is_hit" in rows[0])
    assert not any(dot["is_hit"] for dot in dots)


def test_first_and_later_sets_differ_by_filling_not_by_colour(season: SquadBuilder) -> None:
    later, first = marks(pictures(season)["sets"], "point")
    assert later["encoding"]["fill"] != first["encoding"]["fill"]
    assert later["mark"]["color"] == first["mark"]["color"]


def test_feet_in_the_gap_differ_by_shape_and_side(season: SquadBuilder) -> None:
    (points,) = marks(pictures(season)["gap"], "point")
    assert points["encoding"]["shape"]["scale"]["range"] == ["circle", "square"]
    assert points["encoding"]["yOffset"]["sort"] == ["left", "right"]


def test_the_table_behind_each_picture_tells_the_same_counts(season: SquadBuilder) -> None:
    database, scope = season.database, of_ana(season)
    found = reach(database, scope)[1]
    assert season_tables.distance_table(found, unit=LengthUnit.YARDS).row(0)[:3] == (GATE, "10.9 yd", "42 of 60")
    coverage = month_coverage(database, season.scope)
    assert season_tables.coverage_of_month_table(coverage).rows() == [("Ana", 15, 60), ("Ben", 0, 0)]
    parts = season_tables.gap_table(gap_over_season(database, scope))
    assert parts["Right foot (preferred)"].to_list() == ["14 of 20", "14 of 20", "7 of 10 (all strikes: 14 of 20)"]
    assert parts["Left foot (other)"].to_list() == [
        "no strikes yet",
        "no strikes yet",
        "5 of 10 (all strikes: 8 of 15)",
    ]
    targets = season_tables.aim_table(aim_at_stages(database, scope)[1])
    assert targets["Direction right"].to_list() == ["7 of 10", "7 of 10"]


def test_the_table_behind_the_strip_has_the_latest_practice_first(squad: SquadBuilder) -> None:
    for day, sets in ((1, (7, 9)), (8, (6, 8))):
        for hits in sets:
            one = CalledSet(player=squad.player("Ana"), foot=Foot.RIGHT, attempts=10, on_target=hits)
            practice = squad.practice(date(2026, 3, day))
            log_sets(squad.database, practice, [one], stage=squad.ladder.stages[1])
    strip = practice_strip(squad.database, of_ana(squad))
    assert season_tables.strip_table(strip, foot=Foot.RIGHT).rows() == [
        ("8 March 2026", "6 of 10", "8 of 10"),
        ("1 March 2026", "7 of 10", "9 of 10"),
    ]
    picture = charts.practice_strip_picture(strip, first_sets(squad.database, of_ana(squad)), foot=Foot.RIGHT)
    assert "First sets 7 of 10, later sets 9 of 10: no clear difference." in title(picture)
