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


def row(*cells: str) -> str:
    """A row of a table as the page writes it."""
    return "".join(f'<td class="words">{cell}</td>' for cell in cells)


def test_the_three_answers_stand_first(open_page: OpenPage, season: SquadBuilder, words: Words) -> None:
    app = open_page("ladder")
    lines = [one.value for one in app.text]
    assert lines[0] == "Who is ready to move on, who waits for what, who should go back?"
    shown = words(app)
    assert "Ready to move on: 2 feet. Fell back: 0 feet where they practise now, 0 feet at earlier stages." in shown
    for foot in ("left", "right"):
        assert row(f"Ana, {foot}", f"Move on from {GATE} (2) to {ROLLING}") in shown
    assert "the fall reached line" not in shown


def test_the_group_hears_a_suggestion_with_its_reasons(open_page: OpenPage, season: SquadBuilder, words: Words) -> None:
    shown = words(open_page("ladder"))
    assert "1 of 2 are done with Still ball through a gate (11 yd) with both feet: stay there with the group." in shown
    assert "Both feet still to come: Ben." in shown
    assert row(f"2. {GATE}", "Ana", "–", "–") in shown


def test_one_press_takes_a_suggestion_with_its_note(open_page: OpenPage, season: SquadBuilder, words: Words) -> None:
    app = open_page("ladder")
    app.text_input(key="note").set_value("calm under pressure").run()
    press(app, "Move on")
    (placement,) = decisions.placements_of(season.database, season.player("Ana"))
    assert (placement.foot, placement.stage, placement.note) == (Foot.LEFT, ROLLING, "calm under pressure")
    assert (placement.suggested_stage, placement.suggested_status) == (ROLLING, ReadinessStatus.READY)
    assert app.success[0].value == "Ana, left foot, practises Rolling ball from now on."
    assert app.text_input(key="note").value == ""
    assert "Of 1 decisions" not in words(app)
    assert "1 decision with a suggestion beside them: 1 as the tool suggested, 0 at a higher stage" in words(app)


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
    assert "Placed higher than suggested, and since then: 1 few strikes there yet." in shown
    assert "earlier than suggested" in shown


def test_a_foot_fallen_back_at_a_passed_stage_is_named_with_it_and_at_the_last_stage_there_is_no_way_on(
    open_page: OpenPage, season: SquadBuilder, words: Words
) -> None:
    season.placed("Ana", Foot.LEFT, season.stages[-1], day=date(2026, 3, 22))
    for day in (24, 25):
        season.strikes("Ana", Foot.LEFT, "-" * 10, day=date(2026, 3, day), stage=GATE)
        season.strikes("Ana", Foot.LEFT, "+" * 20, day=date(2026, 3, day), stage=season.stages[-1])
    shown = words(open_page("ladder"))
    advice = f"Ready at {season.stages[-1]} (7), the last stage: nothing to move on to; keep in the warm-up: {GATE} (2)"
    assert row("Ana, left", advice) in shown


def test_a_foot_that_falls_back_is_named_and_offered_the_way_back(
    open_page: OpenPage, season: SquadBuilder, words: Words
) -> None:
    season.placed("Ben", Foot.LEFT, ROLLING, day=date(2026, 3, 22))
    for day in (23, 24, 25, 26):
        season.strikes("Ben", Foot.LEFT, "----------", day=date(2026, 3, day), stage=ROLLING)
    app = open_page("ladder")
    assert row("Ben, left", f"Go back from {ROLLING} (3) to {GATE}") in words(app)
    press(app, "Move back")
    assert decisions.placements_of(season.database, season.player("Ben"))[-1].stage == GATE
    assert "The tool suggests no move now." not in words(app)  # Ana is still ready
