"""Cautions: where they belong, what they rest on, and what they do not claim."""

from __future__ import annotations

import re
from datetime import date, timedelta

import pytest

from tracker.domain.cautions import (
    CautionKind,
    Jump,
    WeekOfStrikes,
    heading_caution,
    jumps,
    practice_cautions,
)
from tracker.domain.ladder_file import shipped_ladders
from tracker.domain.standards import Federation, own_standard
from tracker.domain.standards_file import standard_for

LADDER = shipped_ladders()[1]
MONDAY = date(2026, 9, 7)


def weeks_of(player: str, *strikes: int) -> list[WeekOfStrikes]:
    return [
        WeekOfStrikes(player=player, week=MONDAY + timedelta(weeks=number), strikes=count)
        for number, count in enumerate(strikes)
    ]


def test_a_practice_has_every_caution_warm_up_first_each_with_its_source() -> None:
    cautions = practice_cautions(standard_for(Federation.US_SOCCER, 12), has_goals=True)
    assert cautions[0].kind is CautionKind.WARM_UP
    assert {caution.kind for caution in cautions} == set(CautionKind)
    assert all(caution.text and caution.source for caution in cautions)


def test_goals_are_anchored_when_there_are_goals() -> None:
    kinds = [caution.kind for caution in practice_cautions(None, has_goals=False)]
    assert CautionKind.GOALS not in kinds
    goals = next(one for one in practice_cautions(None, has_goals=True) if one.kind is CautionKind.GOALS)
    assert goals.text.startswith("Anchor every goal before the first strike")


@pytest.mark.parametrize(
    ("federation", "age", "words"),
    [
        (Federation.US_SOCCER, 10, "No heading, in practice or in games"),
        (Federation.US_SOCCER, 13, "15 to 20 headers a player a week"),
        (Federation.THE_FA, 12, "one training session a month with heading, and 5 headers"),
        (Federation.THE_FA, 15, "one training session a week with heading, and 10 headers"),
        (Federation.SCOTTISH_FA, 11, "No heading in training"),
        (Federation.CANADA_SOCCER, 11, "no limit was found for Canada Soccer, U11"),
    ],
)
def test_the_heading_rule_is_that_of_the_federation_and_age(federation: Federation, age: int, words: str) -> None:
    caution = heading_caution(standard_for(federation, age))
    assert words in caution.text
    assert "Check your own federation's current rules" in caution.text


def test_a_club_that_sets_its_own_heading_rule_reads_it_back() -> None:
    own = own_standard(
        9, set_on=MONDAY, goal_width_m=3.0, goal_height_m=2.0, heading_in_training="No heading until U14."
    )
    assert "No heading until U14." in heading_caution(own).text


def test_a_week_with_far_more_strikes_than_before_is_pointed_out() -> None:
    assert jumps(weeks_of("Kaya", 60, 70, 65, 190)) == [
        Jump(player="Kaya", week=MONDAY + timedelta(weeks=3), strikes=190, mean_before=65, weeks_before=3)
    ]


@pytest.mark.parametrize(
    "strikes",
    [(300,), (60, 100), (5, 30), (100, 110, 120, 130), (0, 39)],
    ids=["a first week", "less than twice", "few strikes", "a steady rise", "few after none"],
)
def test_weeks_that_are_not_unusual_are_left_alone(strikes: tuple[int, ...]) -> None:
    assert jumps(weeks_of("Kaya", *strikes)) == []


def test_only_the_last_four_weeks_count_and_players_are_kept_apart() -> None:
    assert len(jumps(weeks_of("Kaya", 10, 200, 200, 200, 200, 200))) == 1
    assert jumps([*weeks_of("Ana", 20, 20), *weeks_of("Ben", 200, 200)]) == []


def test_no_caution_claims_what_medicine_would_have_to_prove() -> None:
    texts = [caution.text for caution in practice_cautions(standard_for(Federation.THE_FA, 12), has_goals=True)]
    claims = re.compile(
        r"\b(prevents?|cures?|heals?|safe (number|limit)|injury risk|diagnos\w+|treat\w*)\b", re.IGNORECASE
    )
    assert not [text for text in texts if claims.search(text)]
    assert any("a doctor or a physiotherapist" in text for text in texts)
