"""Why a foot has its status, in sentences a coach can stand behind."""

from __future__ import annotations

import math
from datetime import UTC, datetime
from typing import Any

import polars as pl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.domain.vocabulary import ReadinessStatus
from tracker.report import glossary, readiness_words

ROW: dict[str, Any] = {
    "player": "Ana",
    "foot": "left",
    "stage": "Rolling ball",
    "status": "working",
    "score": 2.1,
    "ready_line": 4.1,
    "attempts": 34,
    "on_target": 22,
    "practices": 3,
    "false_ready_risk": 0.1,
    "horizon": 100,
    "expected_strikes_to_ready": 18.0,
    "became_ready_at": None,
    "is_passed": False,
}


def reason(**changed: Any) -> str:
    return readiness_words.readiness_reason({**ROW, **changed})


def test_a_working_foot_hears_its_score_its_strikes_and_what_is_still_to_come() -> None:
    assert reason() == "Working: score 2.1 of 4.1 after 34 strikes on 3 practices; about 18 more strikes at this rate."


@pytest.mark.parametrize(
    ("expected", "words"),
    [
        (0.4, "about 1 more strike at this rate."),
        (100.0, "about 100 more strikes at this rate."),
        (101.0, "more than 100 more strikes at this rate."),
        (None, "at this rate the ready line is still a long way off."),
        (math.inf, "at this rate the ready line is still a long way off."),
    ],
)
def test_strikes_still_to_come_are_told_only_as_far_as_they_can_be_known(expected: float | None, words: str) -> None:
    assert reason(expected_strikes_to_ready=expected).endswith(words)


def test_one_practice_alone_does_not_make_a_foot_ready() -> None:
    said = reason(score=4.2, attempts=22, practices=1)
    assert said == (
        "Working: score 4.2 of 4.1 after 22 strikes, so the ready line is reached, but by strikes of one practice. "
        "Ready needs two practices: look again next time."
    )


def test_a_score_under_the_line_never_reads_as_at_the_line() -> None:
    assert "score 4.0 of 4.1" in reason(score=4.09, ready_line=4.1)


@given(line=st.floats(0.5, 9), under=st.floats(0.0001, 1))
def test_no_score_under_its_line_is_shown_as_high_as_the_line(line: float, under: float) -> None:
    score, shown_line = readiness_words.score_words(max(0.0, line - under), line).removeprefix("score ").split(" of ")
    assert float(score) < float(shown_line) or math.isclose(float(shown_line), line)


def test_a_ready_foot_hears_since_when_and_how_often_that_would_be_wrong() -> None:
    since = datetime(2026, 3, 12, 12, tzinfo=UTC)
    assert reason(status="ready", became_ready_at=since) == (
        "Ready since 12 March 2026: a player who is not yet there would get this far within 100 strikes "
        "only 1 time in 10."
    )


def test_a_foot_moved_on_by_the_coach_says_so() -> None:
    assert reason(status="ready", is_passed=True) == "Passed: the coach moved this foot on from here."


def test_a_gathering_foot_hears_how_many_strikes_are_the_least() -> None:
    assert reason(status="gathering", attempts=6) == "Too few strikes to say: 6 strikes so far; 10 are the least."
    assert reason(status="gathering", attempts=1).startswith("Too few strikes to say: 1 strike so far")
    assert reason(status="gathering", attempts=0) == "Too few strikes to say: none at this stage yet; 10 are the least."


def test_revisit_says_whether_the_foot_moved_on_or_was_placed_too_high() -> None:
    since = datetime(2026, 3, 12, 18, tzinfo=UTC)
    said = reason(status="ready", is_passed=True, became_ready_at=since)
    assert said == "Passed: ready since 12 March 2026, and moved on."
    assert "since this foot moved on" in reason(status="revisit", is_passed=True)
    assert "The stage before suits it better for now." in reason(status="revisit")


@pytest.mark.parametrize("status", list(ReadinessStatus))
@pytest.mark.parametrize("passed", [True, False])
def test_every_reason_is_one_or_two_kind_plain_sentences(status: ReadinessStatus, *, passed: bool) -> None:
    said = reason(status=status.value, is_passed=passed, became_ready_at=None)
    word = glossary.PASSED.word if status is ReadinessStatus.READY else glossary.status_word(status)
    assert said.startswith(word.capitalize())
    assert said.endswith(".")
    assert said.count(". ") <= 1
    for word in ("weak", "best", "worst", "fail", "rank", "talent", "natural", "below average", "p =", "%"):
        assert word not in said.lower()


def test_reasons_are_added_row_by_row() -> None:
    board = pl.DataFrame([ROW, {**ROW, "status": "gathering", "attempts": 3}])
    assert [one.split(":")[0] for one in readiness_words.with_reasons(board)["reason"]] == [
        "Working",
        "Too few strikes to say",
    ]
    assert readiness_words.with_reasons(board.clear()).schema["reason"] == pl.String
