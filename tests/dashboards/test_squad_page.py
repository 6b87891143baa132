"""The Squad page: where each player stands, in counts first, and no rank anywhere."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from builders import SquadBuilder
from streamlit.testing.v1 import AppTest

from tracker.domain.vocabulary import Foot
from tracker.review import club

OpenPage = Callable[[str], AppTest]
Words = Callable[[AppTest], str]
GATE, ROLLING = "Still ball through a gate", "Rolling ball"


@pytest.fixture
def season(squad: SquadBuilder) -> SquadBuilder:
    """Ana: 14 of 20 left at the gate, 4 of 5 right rolling. Ben: nothing."""
    for day, outcomes in ((7, "+++++++---"), (14, "+++++++---")):
        squad.strikes("Ana", Foot.LEFT, outcomes, day=date(2026, 3, day), stage=GATE)
    squad.strikes("Ana", Foot.RIGHT, "++++-", day=date(2026, 3, 14), stage=ROLLING)
    return squad


def pictures(app: AppTest) -> list[dict[str, Any]]:
    return [json.loads(picture.proto.spec) for picture in app.get("vega_lite_chart")]


def test_without_players_the_page_says_what_to_do_first(open_page: OpenPage, squad: SquadBuilder) -> None:
    for name in ("Ana", "Ben"):
        club.change_player(squad.database, replace(squad.player(name), active=False))
    app = open_page("squad")
    assert "no players yet" in app.info[0].value


def test_without_strikes_the_page_says_what_to_do_first(open_page: OpenPage, squad: SquadBuilder) -> None:
    app = open_page("squad")
    assert "No strikes here yet" in app.info[0].value
    assert app.page_link[-1].value == "Log strikes on the Today page"


def test_each_foot_is_told_as_a_count_a_likely_range_and_how_sure(
    open_page: OpenPage, season: SquadBuilder, words: Words
) -> None:
    shown = words(open_page("squad"))
    assert '<td class="words">14 of 20</td><td class="words">4 to 9</td><td class="words">getting clearer</td>' in shown
    assert '<td class="words">4 of 5</td><td class="words">too few to say</td>' in shown


def test_the_picture_says_the_finding_and_describes_itself(open_page: OpenPage, season: SquadBuilder) -> None:
    board, coverage, accuracy = pictures(open_page("squad"))
    assert "Left foot: 14 of 20 on target; clearly above that: nobody." in json.dumps(accuracy["title"])
    assert "Ana, left foot: 14 of 20." in accuracy["description"]
    assert "0 of 2 players are ready to move on" in json.dumps(board["title"])
    assert "Ana, left foot: working at Still ball through a gate." in board["description"]
    assert "3 of 4 feet have under 20 strikes" in json.dumps(coverage["title"])


def test_one_stage_can_be_looked_at_alone(open_page: OpenPage, season: SquadBuilder, words: Words) -> None:
    app = open_page("squad")
    app.selectbox(key="stage_shown").select(ROLLING).run()
    shown = words(app)
    assert "4 of 5" in shown
    assert '<td class="words">14 of 20</td>' not in shown


def test_a_season_cuts_the_strikes(open_page: OpenPage, season: SquadBuilder, words: Words) -> None:
    later = club.make_season(season.database, name="later", starts_on=date(2026, 3, 10), ends_on=date(2026, 4, 1))
    app = open_page("squad")
    app.selectbox(key="season").select(later.season_id).run()
    assert '<td class="words">7 of 10</td>' in words(app)


def test_the_board_gives_a_reason_for_every_foot_at_its_stage(
    open_page: OpenPage, season: SquadBuilder, words: Words
) -> None:
    shown = words(open_page("squad"))
    assert "after 20 strikes on 2 practices" in shown
    assert "Too few strikes to say: 5 strikes so far; 10 are the least." in shown


def test_players_stand_in_the_order_of_shirts_and_are_never_ranked(
    open_page: OpenPage, season: SquadBuilder, words: Words
) -> None:
    season.strikes("Ben", Foot.LEFT, "++++++++++", day=date(2026, 3, 14), stage=GATE)
    shown = words(open_page("squad"))
    assert shown.index('<td class="words">Ana') < shown.index('<td class="words">Ben')
    for word in ("rank", "best", "worst", "weak", "p-value"):
        assert word not in shown.lower()


def test_a_second_squad_can_be_chosen(open_page: OpenPage, season: SquadBuilder) -> None:
    other = SquadBuilder.start(season.database, "Another U10", Cleo="left")
    app = open_page("squad")
    app.selectbox(key="squad").select(other.squad.squad_id).run()
    assert "No strikes here yet" in app.info[0].value
