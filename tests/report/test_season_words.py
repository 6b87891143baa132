"""What a coach reads about a season and the ladder: counts first, ranges second, kind and plain."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any
from uuid import uuid4

import polars as pl
import pytest

from tracker.domain.vocabulary import PreferredFoot
from tracker.report import ladder_words, pad_words, season_words
from tracker.review.agreement_with_coach import Decision, SinceThen
from tracker.stats.change import ChangeVerdict

CHANGE: dict[str, Any] = {
    "player": "Ana",
    "foot": "left",
    "verdict": ChangeVerdict.UP.value,
    "start_rate": 0.42,
    "end_rate": 0.71,
    "low": 0.08,
    "high": 0.45,
    "practices": 12,
    "change": 0.29,
    "raw_change": 0.29,
    "disagrees": False,
    "alone_verdict": ChangeVerdict.UP.value,
}
GAP: dict[str, Any] = {"gap": 0.21, "low": 0.06, "high": 0.34}


def test_a_change_is_told_with_both_ends_and_its_range() -> None:
    assert season_words.change_words(CHANGE) == (
        "Clearly up: from 4 of 10 to 7 of 10 at the same stage and distance (likely between 1 and 5 more of 10)."
    )


def test_too_few_practices_have_no_verdict_and_say_why() -> None:
    said = season_words.change_words({**CHANGE, "verdict": ChangeVerdict.TOO_FEW_PRACTICES.value, "practices": 2})
    assert said.startswith("No verdict yet. A verdict needs 3 practices")


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({}, "preferred foot ahead by 2 of 10, likely 1 to 3"),
        ({"gap": -0.2, "low": -0.34, "high": -0.06}, "other foot ahead by 2 of 10, likely 1 to 3"),
        ({"low": -0.12}, "preferred foot ahead by 2 of 10; likely from other ahead by 1 to preferred ahead by 3"),
        ({"gap": 0.01, "low": -0.1, "high": 0.1}, "feet alike; likely from other ahead by 1 to preferred ahead by 1"),
        ({"gap": None}, "cannot be compared"),
    ],
)
def test_a_gap_names_the_foot_that_is_ahead(changed: dict[str, Any], words: str) -> None:
    assert season_words.gap_words({**GAP, **changed}) == words


def test_a_name_that_ends_in_a_full_stop_gets_no_second_one() -> None:
    changes = pl.DataFrame([{**CHANGE, "player": "Noor H."}])
    assert season_words.changed_words(changes)[0] == "Clearly up at the same stage and distance: Noor H. (left)."
    assert season_words.ended("Ready: Noor H.") == "Ready: Noor H."


def test_nobody_is_told_as_nobody() -> None:
    assert season_words.listed([]) == "nobody"
    assert season_words.no_gap_words(PreferredFoot.UNKNOWN).startswith("This player names no preferred foot")


def test_first_sets_are_judged_only_where_it_is_clear() -> None:
    row = {"first_rate": 0.5, "later_rate": 0.7, "low": -0.3, "high": -0.1}
    assert season_words.first_set_words(row) == "First sets are clearly the poorer ones: 5 of 10, later sets 7 of 10."
    assert "no clear difference" in season_words.first_set_words({**row, "high": 0.1})


def test_what_became_of_early_moves_is_counted() -> None:
    rows = [
        (Decision.EARLIER.value, SinceThen.MOVED_BACK.value),
        (Decision.EARLIER.value, SinceThen.READY.value),
        (Decision.AS_SUGGESTED.value, SinceThen.MOVED_ON.value),
        (Decision.NO_SUGGESTION.value, SinceThen.MOVED_ON.value),
    ]
    assert ladder_words.agreement_lines(pl.DataFrame(rows, schema=["decision", "since_then"], orient="row")) == [
        "3 decisions with a suggestion beside them: 1 as the tool suggested, 2 at a higher stage, 0 at a lower one.",
        "Placed higher than suggested, and since then: 1 moved back since, 1 ready there.",
        "Placed as suggested, and since then: 1 moved on since.",
    ]


def test_a_pass_can_be_used_until_it_runs_out_or_is_revoked() -> None:
    now = datetime(2026, 3, 12, 18, tzinfo=UTC)
    base = {"held_on": date(2026, 3, 12), "label": "", "created_at": now}
    ends = {"open": (datetime(2026, 3, 12, 23, tzinfo=UTC), None), "old": (datetime(2026, 3, 11, tzinfo=UTC), None)}
    ends["gone"] = (datetime(2026, 3, 12, 23, tzinfo=UTC), now)  # type: ignore[assignment]
    passes = pl.DataFrame(
        [
            {**base, "token_id": str(uuid4()), "logger": name, "expires_at": end, "revoked_at": revoked}
            for name, (end, revoked) in ends.items()
        ]
    )
    usable, ended = pad_words.split_passes(passes, now=now)
    assert [words.split(",")[0] for _, words in usable] == ["open"]
    assert ended.select("Who logged", "How").rows() == [("old", "ran out"), ("gone", "revoked")]
