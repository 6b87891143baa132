"""What a coach reads about numbers: counts first, ranges second, never a rank."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.domain.ladder_file import shipped_ladders
from tracker.domain.vocabulary import Foot, LengthUnit, Miss, Outcome, PreferredFoot, Surface
from tracker.report import glossary, wording


@given(n=st.integers(1, 2000), data=st.data())
def test_a_likely_range_lies_within_nought_and_ten_and_holds_the_rate(n: int, data: st.DataObject) -> None:
    low = data.draw(st.floats(0, 1))
    high = data.draw(st.floats(low, 1))
    numbers = [int(word) for word in wording.interval_words(low, high).split() if word.isdigit()]
    assert all(0 <= number <= 10 for number in numbers)
    assert min(numbers) <= 10 * (low + high) / 2 + 0.5
    assert wording.rate_words(n, n) == f"{n:,} of {n:,}"


def test_too_few_strikes_are_counted_but_not_judged() -> None:
    said = wording.standing_words(on_target=9, attempts=9, low=0.7, high=1.0, practices=3)
    assert said == "9 of 9 on target: too few to say."


def test_many_strikes_of_few_days_are_no_steady_picture() -> None:
    assert glossary.confidence_words(300, 2) == "getting clearer"
    assert glossary.confidence_words(50, 3) == "steady picture"


@given(metres=st.floats(0.5, 100), unit=st.sampled_from(LengthUnit))
def test_a_length_typed_as_it_was_shown_is_the_same_within_a_hand(metres: float, unit: LengthUnit) -> None:
    assert wording.in_metres(wording.in_unit(metres, unit), unit) == pytest.approx(metres, abs=0.05 + 1e-9)


def test_an_instant_is_told_by_its_local_day() -> None:
    instant = datetime(2026, 3, 12, 23, 30, tzinfo=UTC)
    local = instant.astimezone()
    assert wording.date_words(instant) == wording.date_words(date(local.year, local.month, local.day))
    assert wording.clock_words(instant) == f"{local:%H:%M}"


def test_a_foot_is_preferred_or_other_and_never_weak() -> None:
    assert glossary.foot_words(Foot.LEFT, PreferredFoot.RIGHT) == "Left foot (other)"
    assert glossary.foot_words(Foot.LEFT, PreferredFoot.BOTH) == "Left foot"
    assert [glossary.preferred_words(one) for one in PreferredFoot] == ["left", "right", "both feet alike", "not said"]


def test_what_happened_is_one_outcome_or_the_count_of_a_set() -> None:
    row = {"strike_ids": ["a"], "outcome": "off target", "miss": "over", "attempts": 1, "on_target": 0}
    assert wording.what_happened(row) == "off target, over"
    assert wording.what_happened({**row, "strike_ids": ["a", "b"], "attempts": 10, "on_target": 7}) == (
        "set of 10, 7 on target"
    )
    assert glossary.outcome_words(Outcome.BLOCKED) == "blocked"
    assert glossary.outcome_words(Outcome.OFF_TARGET, Miss.SHORT) == "off target, short"


def test_the_context_names_the_stage_its_distance_and_the_surface() -> None:
    stage = shipped_ladders()[1].stages[2]
    assert wording.context_words(stage, Surface.INSIDE, None, LengthUnit.YARDS) == "Rolling ball, 11 yd, inside"
    assert wording.context_words(stage, None, 9.144, LengthUnit.YARDS) == "Rolling ball, 10 yd"
    assert wording.context_words(None, None, None, LengthUnit.METRES) == "No stage"


def test_every_rate_a_shipped_ladder_names_has_a_small_denominator() -> None:
    for stage in (stage for ladder in shipped_ladders() for stage in ladder.stages):
        assert int(wording.share_words(stage.p_ready).split()[-1]) <= 20


def test_the_note_on_days_is_left_out_where_it_says_nothing() -> None:
    assert wording.correlation_note(10, 10.0) == ""
    assert "these 60 tell as much as 41" in wording.correlation_note(60, 41.2)
