"""How sure is this? The page, and the same answers beside figures on the other pages."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date, timedelta

import pytest
from builders import SquadBuilder
from streamlit.testing.v1 import AppTest

from tracker.domain.vocabulary import Foot
from tracker.report.explanations import CERTAINTY, Certainty

OpenPage = Callable[[str], AppTest]
Words = Callable[[AppTest], str]
GATE = "Still ball through a gate"


@pytest.fixture
def season(squad: SquadBuilder) -> SquadBuilder:
    """Ana's right foot ready at the gate, her left one not."""
    for week in range(3):
        for foot, outcomes in ((Foot.RIGHT, "+" * 15), (Foot.LEFT, "+-+--")):
            squad.strikes("Ana", foot, outcomes, day=date(2026, 3, 7) + timedelta(weeks=week), stage=GATE)
    return squad


def test_every_question_is_answered_even_without_a_squad(open_page: OpenPage, words: Words) -> None:
    assert set(CERTAINTY) == set(Certainty)
    app = open_page("sure")
    shown = words(app)
    for question, sentences in CERTAINTY.items():
        assert question.value in shown
        for sentence in sentences:
            assert sentence in shown
    assert not app.get("vega_lite_chart")


def test_the_promise_of_a_stage_is_drawn_and_told(open_page: OpenPage, squad: SquadBuilder, words: Words) -> None:
    app = open_page("sure")
    app.selectbox(key="stage_promised").set_value(GATE).run()
    assert not app.exception
    (picture,) = (json.loads(one.proto.spec) for one in app.get("vega_lite_chart"))
    finding = "of 10 players who really hit 6 of 10, about 1 is called ready within 100 strikes"
    assert finding in picture["description"]
    assert "Real rate 8 of 10: ready line 94 of 100, 8 of the last 10 100 of 100." in picture["description"]
    assert "8 of the last 10" in words(app)


@pytest.mark.parametrize(
    ("page", "questions"),
    [
        ("squad", [Certainty.RANGE, Certainty.DAYS, Certainty.READY]),
        ("player", [Certainty.RANGE, Certainty.CHANGE, Certainty.READY]),
        ("ladder", [Certainty.READY]),
        ("feet", [Certainty.CHANGE, Certainty.LIKE]),
    ],
)
def test_figures_and_statuses_have_the_same_answers_at_hand(
    open_page: OpenPage, season: SquadBuilder, words: Words, page: str, questions: list[Certainty]
) -> None:
    app = open_page(page)
    assert "More on how sure this is" in [link.value for link in app.page_link]
    shown = words(app)
    for question in questions:
        for sentence in CERTAINTY[question]:
            assert sentence in shown


def test_the_ladder_page_says_how_many_ready_calls_to_expect_wrong(
    open_page: OpenPage, season: SquadBuilder, words: Words
) -> None:
    shown = words(open_page("ladder"))
    assert "1 box of the board shows R (ready). Hardly any of these calls should be wrong." in shown
