"""The Ladder page: who is ready, who waits for what, who should revisit, and the decisions."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import pytest
from builders import SquadBuilder
from streamlit.testing.v1 import AppTest

from tracker.domain.vocabulary import Foot, ReadinessStatus
from tracker.review import decisions

OpenPage = Callable[[str], AppTest]
Words = Callable[[AppTest], str]
GATE, ROLLING = "Still ball through a gate", "Rolling ball"


@pytest.fixture
def season(squad: SquadBuilder) -> SquadBuilder:
    """Ana is ready at the gate with both feet; Ben works there with the left one."""
    for day in (7, 14, 21):
        for foot in Foot:
            squad.strikes("Ana", foot, "++++++++++", day=date(2026, 3, day), stage=GATE)
        squad.strikes("Ben", Foot.LEFT, "+-+-+-", day=date(2026, 3, day), stage=GATE)
    return squad


def press(app: AppTest, label: str, *, number: int = 0) -> AppTest:
    [one for one in app.button if one.label == label][number].click().run()
    assert not app.exception
    return app


def test_without_strikes_the_page_says_what_to_do_first(open_page: OpenPage, squad: SquadBuilder) -> None:
    assert "No strikes here yet" in open_page("ladder").info[0].value


def test_without_a_squad_the_page_is_a_form_to_make_one(open_page: OpenPage) -> None:
    assert "There is no squad yet" in open_page("ladder").info[0].value


def test_the_three_answers_stand_first(open_page: OpenPage, season: SquadBuilder) -> None:
    lines = [one.value for one in open_page("ladder").text]
    assert lines[0] == "Who is ready, who waits for what, who should revisit?"
    assert lines[1] == "Ready to move on: Ana (both feet)."
    assert lines[2:4] == ["Fell back where they work now: nobody.", "Fell back after moving on: nobody."]


def test_the_group_hears_a_suggestion_with_its_reasons(open_page: OpenPage, season: SquadBuilder, words: Words) -> None:
    shown = words(open_page("ladder"))
    assert "1 of 2 are ready on both feet at Still ball through a gate (11 yd): stay there with the group." in shown
    assert "Wait for both feet: Ben." in shown
    assert f'<td class="words">{ROLLING}</td><td class="words">Ana</td><td class="words">–</td>' in shown


def test_one_press_takes_a_suggestion_with_its_note(open_page: OpenPage, season: SquadBuilder, words: Words) -> None:
    app = open_page("ladder")
    app.text_input(key="note").set_value("calm under pressure").run()
    press(app, "Move on")
    (placement,) = decisions.placements_of(season.database, season.player("Ana"))
    assert (placement.foot, placement.stage, placement.note) == (Foot.LEFT, ROLLING, "calm under pressure")
    assert (placement.suggested_stage, placement.suggested_status) == (ROLLING, ReadinessStatus.READY)
    assert app.success[0].value == "Ana, left foot, works at Rolling ball from now on."
    assert app.text_input(key="note").value == ""
    assert "Of 1 decisions" not in words(app)
    assert "1 decision: as suggested 1, earlier 0, lower 0." in words(app)


def test_a_decision_is_taken_back_where_it_was_made(open_page: OpenPage, season: SquadBuilder) -> None:
    app = press(press(open_page("ladder"), "Move on"), "Take back")
    assert decisions.placements_of(season.database, season.player("Ana")) == []
    assert app.success[0].value.startswith("Taken back: ")


def test_a_coach_may_decide_otherwise_and_is_told_what_became_of_it(
    open_page: OpenPage, season: SquadBuilder, words: Words
) -> None:
    app = open_page("ladder")
    ben = season.player("Ben")
    app.selectbox(key="player_decided").select(ben.player_id).run()
    app.selectbox(key=f"placed_at:{ben.player_id}:left").set_value(ROLLING)
    app.button(key="FormSubmitter:place:left-Place").click().run()
    (placement,) = decisions.placements_of(season.database, ben)
    assert (placement.stage, placement.suggested_stage) == (ROLLING, GATE)
    shown = words(app)
    assert "Moved earlier than suggested: 1 few strikes there yet." in shown
    assert "earlier than suggested" in shown


def test_a_foot_that_falls_back_is_named_and_offered_the_way_back(
    open_page: OpenPage, season: SquadBuilder, words: Words
) -> None:
    season.placed("Ben", Foot.LEFT, ROLLING, day=date(2026, 3, 22))
    for day in (23, 24, 25, 26):
        season.strikes("Ben", Foot.LEFT, "----------", day=date(2026, 3, day), stage=ROLLING)
    app = open_page("ladder")
    assert app.text[2].value == "Fell back where they work now: Ben (left)."
    press(app, "Move back")
    assert decisions.placements_of(season.database, season.player("Ben"))[-1].stage == GATE
    assert "The tool suggests no move now." not in words(app)  # Ana is still ready
