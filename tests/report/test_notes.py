"""The sentence beside a figure that would mislead alone."""

from __future__ import annotations

from typing import Any

import polars as pl
import pytest

from tracker.domain.vocabulary import LengthUnit
from tracker.report.notes import (
    aim_note,
    change_note,
    gap_note,
    ready_calls_words,
    trust_note,
    with_gap_notes,
)
from tracker.review.ready_rule import ReadyCalls
from tracker.stats.agreement import Trust
from tracker.stats.aim import AimCase
from tracker.stats.change import ChangeVerdict

GAP: dict[str, Any] = {
    "gap": 0.20,
    "low": 0.05,
    "high": 0.34,
    "raw_gap": -0.04,
    "preferred_attempts": 200,
    "other_attempts": 200,
    "preferred_distance_m": 18.4,
    "other_distance_m": 13.6,
    "disagrees": True,
}
CHANGE: dict[str, Any] = {
    "verdict": ChangeVerdict.UP.value,
    "alone_verdict": ChangeVerdict.UP.value,
    "raw_verdict": ChangeVerdict.NO_CLEAR_CHANGE.value,
    "change": 0.25,
    "raw_change": -0.08,
    "practices": 10,
    "disagrees": True,
}


def test_a_gap_that_raw_rates_hide_is_explained_by_where_the_feet_struck_from() -> None:
    assert gap_note(GAP) == (
        "At the same stage, distance and surface the preferred foot is ahead by 2 of 10, clearly. "
        "All strikes together hide it: the feet are alike. "
        "The other foot struck from nearer on average: 13.6 m against 18.4 m."
    )


def test_the_reader_s_unit_is_used() -> None:
    assert gap_note(GAP, unit=LengthUnit.YARDS).endswith("14.9 yd against 20.1 yd.")


def test_a_raw_gap_that_is_only_difficulty_is_called_so() -> None:
    row = {**GAP, "gap": 0.0, "low": -0.1, "high": 0.1, "raw_gap": -0.24, "other_distance_m": 18.5}
    assert gap_note(row) == (
        "All strikes together look clear: the other foot is ahead by 2 of 10. At the same stage, distance and surface "
        "it is not: the feet are alike. The feet struck at different stages or with different surfaces."
    )


def test_feet_without_like_strikes_are_said_not_to_compare() -> None:
    row = {**GAP, "gap": None, "low": -1.0, "high": 1.0, "disagrees": False}
    assert "never struck at the same stage" in gap_note(row)
    assert gap_note({**row, "other_attempts": 0}) == ""


def test_figures_that_tell_the_same_need_no_note() -> None:
    assert gap_note({**GAP, "disagrees": False}) == ""
    assert change_note({**CHANGE, "disagrees": False}) == ""
    assert with_gap_notes(pl.DataFrame([GAP]))["note"].to_list() == [gap_note(GAP)]


def test_a_player_who_climbed_is_told_why_the_raw_rate_fell() -> None:
    assert change_note(CHANGE) == (
        "Raw, the rate fell by 1 of 10; the strikes became harder meanwhile (stage, distance). "
        "At the same stage and distance it rose by 2 of 10."
    )


def test_a_rise_by_easier_strikes_is_called_so() -> None:
    row = {
        **CHANGE,
        "verdict": "no clear change",
        "alone_verdict": "no clear change",
        "change": 0.02,
        "raw_change": 0.3,
    }
    assert "became easier" in change_note(row)
    assert change_note(row).endswith("At the same stage and distance it hardly moved.")


def test_a_verdict_taken_back_among_many_feet_says_so() -> None:
    row = {**CHANGE, "verdict": "no clear change", "disagrees": False}
    assert change_note(row) == "Clear on its own, but among so many feet chance alone may bring one like it."


def test_why_there_is_no_verdict_is_said() -> None:
    few = {**CHANGE, "verdict": ChangeVerdict.TOO_FEW_PRACTICES.value, "practices": 1}
    assert change_note(few) == "A verdict needs 3 practices on different days; so far it has 1 practice."
    inseparable = {**CHANGE, "verdict": ChangeVerdict.NOT_SEPARABLE.value}
    assert change_note(inseparable).startswith("Stage or distance changed along with time")


@pytest.mark.parametrize(
    ("low", "high", "lean"), [(-3.0, -0.5, "Leans to the left."), (0.5, 3.0, "Leans to the right."), (-1.0, 1.0, "")]
)
def test_a_clear_bias_is_put_into_words(low: float, high: float, lean: str) -> None:
    assert aim_note({"bias_low": low, "bias_high": high, "case": AimCase.BIAS_AND_SPREAD.value}) == lean


@pytest.mark.parametrize("case", list(AimCase))
def test_what_strikes_cannot_tell_is_put_into_words(case: AimCase) -> None:
    note = aim_note({"bias_low": None, "bias_high": None, "case": case.value})
    assert bool(note) is (case is not AimCase.BIAS_AND_SPREAD)


@pytest.mark.parametrize(
    ("strikes", "trust", "words"),
    [
        (0, Trust.UNDECIDED, "nothing to compare"),
        (60, Trust.TRUSTWORTHY, "can be trusted."),
        (60, Trust.NOT_YET, "not yet trustworthy"),
        (60, Trust.UNDECIDED, "cannot be told."),
        (12, Trust.TRUSTWORTHY, "40 strikes seen twice would tell more."),
    ],
)
def test_whether_counts_can_be_trusted_is_a_sentence(strikes: int, trust: Trust, words: str) -> None:
    assert words in trust_note({"strikes_compared": strikes, "trust": trust.value})


def test_ready_calls_are_counted_and_how_many_to_expect_wrong() -> None:
    def words(ready: int, wrong: float) -> str:
        return ready_calls_words(ReadyCalls(ready=ready, judged=30, expected_wrong=wrong, risk=0.1))

    assert words(12, 2.0).endswith("Expect at most about 2 of these calls to be wrong.")
    assert words(29, 0.1).endswith("Expect hardly any of these calls to be wrong.")
    assert words(0, 0.0) == "None of 30 scores is at ready."
