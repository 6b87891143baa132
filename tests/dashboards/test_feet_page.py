"""The Feet page: is the other foot catching up?"""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date

from builders import SquadBuilder
from streamlit.testing.v1 import AppTest

from tracker.domain.vocabulary import Foot

OpenPage = Callable[[str], AppTest]
Words = Callable[[AppTest], str]
GATE = "Still ball through a gate"


def season_of(squad: SquadBuilder) -> SquadBuilder:
    """Ana's left foot goes from 0 to 10 of ten, her right stays at 8; five practices."""
    for day, left in ((1, 0), (8, 2), (15, 5), (22, 8), (29, 10)):
        squad.strikes("Ana", Foot.LEFT, "+" * left + "-" * (10 - left), day=date(2026, 3, day), stage=GATE)
        squad.strikes("Ana", Foot.RIGHT, "++++++++--", day=date(2026, 3, day), stage=GATE)
    return squad


def test_without_strikes_the_page_says_what_to_do_first(open_page: OpenPage, squad: SquadBuilder) -> None:
    assert "No strikes here yet" in open_page("feet").info[0].value


def test_without_players_the_page_says_what_to_do_first(open_page: OpenPage) -> None:
    assert "There is no squad yet" in open_page("feet").info[0].value


def test_the_first_line_is_the_question_and_the_next_the_answer(open_page: OpenPage, squad: SquadBuilder) -> None:
    season_of(squad)
    app = open_page("feet")
    assert app.text[0].value == "Is the other foot catching up?"
    (picture,) = (json.loads(one.proto.spec) for one in app.get("vega_lite_chart"))
    assert "Left foot (other): catching up. At the start left 1, right 8 of 10" in picture["description"]
    assert app.markdown[0].value == "**Catching up: 1 of 1 (Ana). Falling behind: 0. Not clear: 0.**"
    assert any(one.value.startswith("Clearly up ") and one.value.endswith(": Ana (left).") for one in app.text)


def test_the_gap_is_shown_at_the_start_in_the_middle_and_at_the_end(
    open_page: OpenPage, squad: SquadBuilder, words: Words
) -> None:
    season_of(squad)
    app = open_page("feet")
    (picture,) = (json.loads(one.proto.spec) for one in app.get("vega_lite_chart"))
    assert "at the end left 9, right 8 of 10. Start: left 1, right 8 of 10." in picture["description"]
    assert '<td class="words">Middle</td>' in words(app)


def test_a_player_who_prefers_no_foot_is_told_why_there_is_no_gap(open_page: OpenPage, squad: SquadBuilder) -> None:
    odd = SquadBuilder.start(squad.database, "Aardvarks", Cleo="both")
    for day in (1, 8, 15):
        odd.strikes("Cleo", Foot.LEFT, "++--", day=date(2026, 3, day), stage=GATE)
    assert any("names no preferred foot" in one.value for one in open_page("feet").text)


def test_few_practices_get_no_verdict_and_no_picture(open_page: OpenPage, squad: SquadBuilder, words: Words) -> None:
    squad.strikes("Ana", Foot.LEFT, "++--", day=date(2026, 3, 1), stage=GATE)
    app = open_page("feet")
    assert not app.get("vega_lite_chart")
    assert "No verdict yet." in words(app)
