"""The tables and sentences of a plan, in the order of shirts, in the reader's unit and language."""

from __future__ import annotations

from datetime import date

import polars as pl

from tracker.domain.cautions import Jump
from tracker.domain.practice_plan import Activity, ExpectedStrikes, FootWork, LaneWork, OpenQuestion, Part, PlayerWork
from tracker.domain.vocabulary import Foot, LengthUnit
from tracker.report import plan_sentences, plan_tables


def work(name: str, *feet: tuple[Foot, tuple[int, ...]]) -> PlayerWork:
    return PlayerWork(
        player=name,
        feet=tuple(FootWork(foot=foot, sets=sets, distance_m=10.0584, expected_rate=0.6) for foot, sets in feet),
    )


PART = Part(
    activity=Activity.FINISHING,
    starts_at=14,
    minutes=13,
    what="",
    lanes=(
        LaneWork(
            number=1,
            stage="Rolling ball",
            players=(work("Ana", (Foot.LEFT, (10, 5))), work("Zoë", (Foot.RIGHT, (10,)), (Foot.LEFT, (5, 5)))),
        ),
    ),
)


def question(practices: int | None, *, player: str = "Kaya") -> OpenQuestion:
    return OpenQuestion(player=player, foot=Foot.LEFT, stage="Rolling ball", practices=practices, sentence="")


def test_a_lane_names_its_players_in_the_order_of_shirts() -> None:
    assert plan_tables.lanes_table(PART, order=["Zoë", "Ana"]).row(0) == ("1", "Rolling ball", "Zoë and Ana")
    assert plan_tables.lanes_table(PART, order=[]).row(0)[2] == "Ana and Zoë"


def test_sets_stand_under_their_foot_with_the_distance() -> None:
    rows = plan_tables.work_table(PART, order=["Zoë", "Ana"], unit=LengthUnit.METRES).rows()
    assert rows == [("Zoë", "1", "2 × 5 from 10.1 m", "10 from 10.1 m"), ("Ana", "1", "10, 5 from 10.1 m", "–")]


def test_open_questions_come_soonest_first_and_known_ones_not_at_all() -> None:
    asked = [question(3), question(0), question(None), question(1, player="Ana")]
    assert [one.player for one in plan_sentences.soonest(asked)] == ["Ana", "Kaya"]
    told = [plan_sentences.question_words(one) for one in asked]
    assert told[0] == "About 3 practices until we know about Kaya's left foot at Rolling ball."
    assert told[1].endswith("known well already.")
    assert "stays open" in told[2]


def test_strikes_that_are_watched_are_named() -> None:
    expected = ExpectedStrikes(player="Kaya", foot=Foot.LEFT, strikes=40, watched=0)
    assert plan_sentences.strikes_words(expected) == "40"


def test_a_jump_is_told_without_a_claim() -> None:
    jump = Jump(player="Kaya", week=date(2026, 9, 28), strikes=190, mean_before=65.0, weeks_before=3)
    assert plan_sentences.jump_words(jump) == (
        "Kaya: 190 strikes in the week of 28 Sep, 65 a week in the 3 weeks before. "
        "For information: no accepted limit is known. Ask how the legs feel."
    )


def test_weeks_of_a_player_without_strikes_are_dashes() -> None:
    weeks = pl.DataFrame(
        {
            "player": ["Ana", "Ben"],
            "week": [date(2026, 3, 9), date(2026, 3, 16)],
            "strikes": [5, 7],
        }
    )
    assert plan_tables.weekly_table(weeks).rows() == [("Ana", "5", "–"), ("Ben", "–", "7")]


def test_what_was_not_planned_and_what_was_not_logged_are_dashes() -> None:
    frame = pl.DataFrame(
        {
            "player": ["Ana", "Ana"],
            "foot": ["left", "right"],
            "stage": ["Rolling ball", None],
            "planned": [10, 0],
            "watched": [0, 0],
            "logged": [0, 5],
        }
    )
    assert plan_tables.against_table(frame).rows() == [
        ("Ana", "left", "Rolling ball", "10", "–"),
        ("Ana", "right", "no stage", "–", "5"),
    ]
    assert plan_tables.against_words(frame) == "10 strikes were planned, 5 were logged."
