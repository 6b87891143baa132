"""The closed sets of words, and the little they know."""

from __future__ import annotations

import pytest

from tracker.domain.vocabulary import Foot, Miss, Outcome, PreferredFoot, Source, Surface


@pytest.mark.parametrize("foot", Foot)
def test_each_foot_is_the_opposite_of_its_opposite(foot: Foot) -> None:
    assert foot.opposite is not foot
    assert foot.opposite.opposite is foot


def test_a_preferred_foot_is_a_foot_only_when_the_player_names_one() -> None:
    assert {preferred: preferred.foot for preferred in PreferredFoot} == {
        PreferredFoot.LEFT: Foot.LEFT,
        PreferredFoot.RIGHT: Foot.RIGHT,
        PreferredFoot.BOTH: None,
        PreferredFoot.UNKNOWN: None,
    }


def test_attempts_are_on_target_plus_off_target_and_a_blocked_strike_is_neither() -> None:
    assert {outcome for outcome in Outcome if outcome.is_attempt} == {Outcome.ON_TARGET, Outcome.OFF_TARGET}


def test_the_words_stored_in_data_never_change() -> None:
    assert list(Foot) == ["left", "right"]
    assert list(Outcome) == ["on target", "off target", "blocked"]
    assert list(Miss) == ["left", "right", "over", "short"]
    assert list(Source) == ["tap", "call-out", "paper", "file"]
    assert list(Surface) == ["laces", "inside", "outside", "toe", "heel", "other"]
