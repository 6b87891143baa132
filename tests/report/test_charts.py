"""The pictures: what they show, that they say it in words, and that side, shape and dash carry it without colour."""

from __future__ import annotations

from datetime import date
from typing import Any

import altair as alt
import pytest
from builders import SquadBuilder

from tracker.domain.vocabulary import Dimension, Foot, PreferredFoot, ReadinessStatus
from tracker.report import chart_style, charts
from tracker.report.glossary import PASSED_SIGN, status_sign
from tracker.review.accuracy import accuracy
from tracker.review.readiness import evidence, readiness
from tracker.review.scope import Scope

GATE = "Still ball through a gate"
FIRST, SECOND = date(2026, 3, 7), date(2026, 3, 14)


@pytest.fixture
def season(squad: SquadBuilder) -> SquadBuilder:
    """Two practices of Ana's left foot (14 of 20), five strikes of her right one."""
    for day in (FIRST, SECOND):
        squad.strikes("Ana", Foot.LEFT, "+++++++---", day=day, stage=GATE)
    squad.strikes("Ana", Foot.RIGHT, "++++-", day=SECOND, stage=GATE)
    return squad


def of_ana(season: SquadBuilder) -> Scope:
    return Scope(squad=season.squad, player=season.player("Ana"))


def accuracy_picture(season: SquadBuilder) -> alt.LayerChart:
    found = accuracy(season.database, season.scope)
    return charts.accuracy_by_foot(found)


def board_picture(season: SquadBuilder, players: list[str]) -> alt.LayerChart:
    board = readiness(season.database, season.scope, cluster=False)
    return charts.ladder_board(board, ladder=season.ladder, players=players)


def over_practices(season: SquadBuilder, foot: Foot) -> alt.LayerChart:
    split = [Dimension.PLAYER, Dimension.FOOT, Dimension.PRACTICE]
    found = accuracy(season.database, of_ana(season), by=split)
    return charts.accuracy_over_practices(found, foot=foot, preferred=PreferredFoot.RIGHT)


def evidence_picture(season: SquadBuilder, foot: Foot = Foot.LEFT) -> alt.LayerChart:
    stage = season.ladder.stages[1]
    return charts.evidence_line(evidence(season.database, of_ana(season), foot=foot, stage=stage, cluster=False))


def rows(picture: dict[str, Any], *, having: str) -> list[dict[str, Any]]:
    """The rows of the first data set that has a column."""
    return next(data for data in picture["datasets"].values() if data and having in data[0])


def title(picture: dict[str, Any]) -> str:
    expression: str = picture["title"]["text"]["expr"]
    return expression


def test_every_picture_is_valid_fits_its_frame_and_describes_itself(season: SquadBuilder) -> None:
    pictures = [
        accuracy_picture(season),
        board_picture(season, ["Ana", "Ben"]),
        *(over_practices(season, foot) for foot in Foot),
        *(evidence_picture(season, foot) for foot in Foot),
    ]
    for picture in pictures:
        drawn = picture.to_dict()
        assert drawn["width"] == "container"
        assert len(drawn["description"]) > 40
        assert drawn["title"]["subtitle"]
        assert drawn["title"]["anchor"] == "start"


def test_the_left_foot_has_the_left_panel_and_the_right_foot_the_right_one(season: SquadBuilder) -> None:
    season.strikes("Ana", Foot.RIGHT, "++++-", day=FIRST, stage=GATE)
    left, right = rows(accuracy_picture(season).to_dict(), having="likely_from")
    assert left["at"] == pytest.approx(7.0)
    assert 0 <= left["likely_from"] < left["at"] < left["likely_to"] <= 10
    assert right["at"] == pytest.approx(charts.RIGHT_PANEL + 8.0)


def test_under_ten_strikes_no_dot_is_drawn_but_a_word(season: SquadBuilder) -> None:
    drawn = accuracy_picture(season).to_dict()
    dots = [layer for layer in drawn["layer"] if layer["mark"]["type"] == "point"]
    assert {row["foot"] for row in drawn["datasets"][dots[0]["data"]["name"]]} == {"left"}
    words = [layer for layer in drawn["layer"] if layer["encoding"].get("text", {}).get("field") == "few"]
    assert [row["few"] for row in drawn["datasets"][words[0]["data"]["name"]]] == ["too few (5)"]


def test_rates_run_from_nought_to_ten_whatever_they_are(season: SquadBuilder) -> None:
    over = over_practices(season, Foot.LEFT).to_dict()
    domains = [layer["encoding"]["y"].get("scale", {}).get("domain") for layer in over["layer"]]
    assert [0, 10] in domains
    panel = accuracy_picture(season).to_dict()["layer"][0]["encoding"]["x"]["scale"]["domain"]
    assert panel == [0, charts.RIGHT_PANEL + 10]


def test_feet_differ_by_shape_and_dash_as_well_as_colour(season: SquadBuilder) -> None:
    for table in (chart_style.FOOT_COLOUR, chart_style.FOOT_SHAPE, chart_style.FOOT_DASH, chart_style.FOOT_SIGN):
        assert table[Foot.LEFT] != table[Foot.RIGHT]
    lines = [
        next(
            layer["mark"]
            for layer in over_practices(season, foot).to_dict()["layer"]
            if layer["mark"]["type"] == "line"
        )
        for foot in Foot
    ]
    assert [line["strokeDash"] for line in lines] == [[1, 0], [5, 3]]


def test_statuses_differ_by_sign_and_signs_stand_out_from_their_shade() -> None:
    assert len({PASSED_SIGN, *(status_sign(status) for status in ReadinessStatus)}) == len(ReadinessStatus) + 1
    for status in ReadinessStatus:
        ink = chart_style.PAPER if status is ReadinessStatus.READY else chart_style.INK
        assert contrast(chart_style.STATUS_FILL[status], ink) >= 7


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours (WCAG 2.2, relative luminance)."""

    def luminance(colour: str) -> float:
        parts = [int(colour[start : start + 2], 16) / 255 for start in (1, 3, 5)]
        red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue

    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def test_the_board_has_a_half_for_every_player_stage_and_foot_in_the_order_given(season: SquadBuilder) -> None:
    drawn = board_picture(season, ["Ben", "Ana"]).to_dict()
    cells = rows(drawn, having="sign")
    assert len(cells) == 2 * len(season.stages) * 2
    assert drawn["layer"][0]["encoding"]["y"]["sort"] == ["Ben", "Ana"]
    struck = {(cell["player"], cell["stage"], cell["foot"]): cell["sign"] for cell in cells if cell["sign"]}
    skipped = {("Ana", season.stages[0], foot): "»" for foot in ("left", "right")}
    assert struck == {**skipped, ("Ana", GATE, "left"): "W", ("Ana", GATE, "right"): "?"}
    here = [cell for cell in cells if cell["edge_width"] > 2]
    assert [(cell["player"], cell["foot"]) for cell in here] == [("Ana", "left"), ("Ana", "right")]


def test_the_title_of_the_board_counts_who_is_ready(season: SquadBuilder) -> None:
    assert "0 of 2 players are ready to move on" in title(board_picture(season, ["Ana", "Ben"]).to_dict())
    for day in (FIRST, SECOND):
        season.strikes("Ben", Foot.LEFT, "++++++++++", day=day, stage=GATE)
    assert "1 of 2 players are ready to move on, 0 of them with both feet" in title(
        board_picture(season, ["Ana", "Ben"]).to_dict()
    )


def test_a_stage_the_coach_moved_on_from_is_passed_and_one_that_fell_back_asks_for_a_visit(squad: SquadBuilder) -> None:
    squad.placed("Ana", Foot.LEFT, "Rolling ball", day=FIRST)
    squad.placed("Ana", Foot.RIGHT, "Rolling ball", day=FIRST)
    squad.strikes("Ana", Foot.LEFT, "+" * 9 + "-", day=SECOND, stage=GATE)
    for day in (SECOND, date(2026, 3, 21)):
        squad.strikes("Ana", Foot.RIGHT, "-" * 10, day=day, stage=GATE)
    cells = rows(board_picture(squad, ["Ana"]).to_dict(), having="sign")
    at_gate = {cell["foot"]: (cell["sign"], cell["status_word"]) for cell in cells if cell["stage"] == GATE}
    assert at_gate == {"left": ("✓", "passed"), "right": ("▼", "revisit")}


def test_ready_is_black_only_where_there_is_something_to_decide(squad: SquadBuilder) -> None:
    for foot, stage in ((Foot.LEFT, squad.stages[-1]), (Foot.RIGHT, GATE)):
        squad.placed("Ana", foot, stage, day=FIRST)
        for day in (SECOND, date(2026, 3, 21)):
            squad.strikes("Ana", foot, "+" * 20, day=day, stage=stage)
    cells = rows(board_picture(squad, ["Ana"]).to_dict(), having="sign")
    fills = {cell["foot"]: cell["fill"] for cell in cells if cell["sign"] == "R"}
    assert fills == {"left": chart_style.CALM_READY_FILL, "right": chart_style.STATUS_FILL[ReadinessStatus.READY]}


def test_a_foot_just_moved_has_an_empty_box_in_a_thick_frame(squad: SquadBuilder) -> None:
    squad.placed("Ana", Foot.LEFT, "Rolling ball", day=FIRST)
    cells = rows(board_picture(squad, ["Ana"]).to_dict(), having="sign")
    assert [(cell["stage"], cell["sign"]) for cell in cells if cell["edge_width"] > 2] == [("Rolling ball", "")]


def test_a_game_stands_apart_from_the_other_stages(squad: SquadBuilder) -> None:
    columns = board_picture(squad, ["Ana"]).to_dict()["layer"][0]["encoding"]["x"]["scale"]["domain"]
    assert [column.split("\n")[0] for column in columns] == ["1", "2", "3", "4", "5", "6", "0", "7"]


def test_a_board_without_any_strikes_is_empty_but_drawn(squad: SquadBuilder) -> None:
    cells = rows(board_picture(squad, ["Ana"]).to_dict(), having="sign")
    assert {cell["status"] for cell in cells} == {"no strikes"}


def test_accuracy_over_practices_tells_the_count_and_which_foot_it_is(season: SquadBuilder) -> None:
    drawn = over_practices(season, Foot.LEFT).to_dict()
    assert "Left foot (other): 14 of 20 on target over 2 practices" in title(drawn)
    assert "14 March 2026: 7 of 10." in drawn["description"]


def test_the_evidence_line_marks_practices_the_ready_line_and_the_placement(season: SquadBuilder) -> None:
    season.placed("Ana", Foot.LEFT, GATE, day=SECOND)
    drawn = evidence_picture(season).to_dict()
    assert [row["step"] for row in rows(drawn, having="day")] == [0, 10]
    assert [row["day"] for row in rows(drawn, having="day")] == ["7 Mar", "14 Mar"]
    assert rows(drawn, having="words")[0]["score"] == pytest.approx(4.1, abs=0.3)
    assert [(row["step"], row["side"]) for row in rows(drawn, having="placed")] == [(10, "right")]
    assert "Left foot, Still ball through a gate: score" in title(drawn)


def test_a_foot_that_is_ready_says_so_in_the_title(squad: SquadBuilder) -> None:
    for day in (FIRST, SECOND):
        squad.strikes("Ana", Foot.LEFT, "++++++++++", day=day, stage=GATE)
    assert "ready since 14 March 2026" in title(evidence_picture(squad).to_dict())


def test_no_more_than_five_practice_days_are_written(squad: SquadBuilder) -> None:
    for day in range(1, 29):
        squad.strikes("Ana", Foot.LEFT, "+-", day=date(2026, 2, day), stage=GATE)
    assert sum(bool(row["day"]) for row in rows(evidence_picture(squad).to_dict(), having="day")) <= 5


def test_a_name_is_data_in_every_picture(squad: SquadBuilder) -> None:
    name = "<script>alert(1)</script>"
    odd = SquadBuilder.start(squad.database, "Odd", **{name: "left"})
    odd.strikes(name, Foot.LEFT, "++++++++++", day=FIRST, stage=GATE)
    drawn = accuracy_picture(odd).to_dict()
    assert {row["player"] for row in rows(drawn, having="at")} == {name}
    assert name not in str(drawn["title"])
