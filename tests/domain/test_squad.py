"""Squads, seasons and players: what is legal, and what is refused with a reason."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.domain.identity import uuid7
from tracker.domain.squad import Player, Season, Squad, checked_name
from tracker.domain.vocabulary import PreferredFoot


def a_player(*, name: str = "Zoë", shirt_number: int | None = 7, birth_year: int | None = 2014) -> Player:
    return Player(
        player_id=uuid7(),
        squad_id=uuid7(),
        display_name=name,
        shirt_number=shirt_number,
        birth_year=birth_year,
        preferred_foot=PreferredFoot.UNKNOWN,
        active=True,
    )


@pytest.mark.parametrize("name", ["Zoë", "O'Neill", "Łukasz", "美咲", '=HYPERLINK("x")', "<script>", "Sam, 7"])
def test_any_script_and_any_punctuation_is_a_legal_name(name: str) -> None:
    assert a_player(name=name).display_name == name


def test_outer_and_doubled_spaces_are_dropped_from_a_name() -> None:
    assert a_player(name="  Mary   Ann ").display_name == "Mary Ann"


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("", "player must have 1 to 80 characters, but has 0"),
        ("   ", "but has 0"),
        ("x" * 81, "but has 81"),
        ("a\0b", "contains a control character"),
    ],
)
def test_a_name_without_letters_too_long_or_with_control_characters_is_refused(name: str, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        a_player(name=name)


@given(st.text(max_size=100))
def test_a_checked_name_is_clean_and_checking_it_again_changes_nothing(text: str) -> None:
    try:
        name = checked_name(text, what="player")
    except ValueError:
        return
    assert 1 <= len(name) <= 80
    assert name == name.strip()
    assert checked_name(name, what="player") == name


def test_shirt_number_and_birth_year_may_be_missing() -> None:
    player = a_player(shirt_number=None, birth_year=None)
    assert (player.shirt_number, player.birth_year) == (None, None)


@pytest.mark.parametrize("shirt_number", [-1, 1000])
def test_a_shirt_number_has_at_most_three_digits(shirt_number: int) -> None:
    with pytest.raises(ValueError, match=f"shirt_number must be 0 to 999, but is {shirt_number}"):
        a_player(shirt_number=shirt_number)


@pytest.mark.parametrize("birth_year", [1989, 2101, 14])
def test_a_birth_year_is_a_whole_year(birth_year: int) -> None:
    with pytest.raises(ValueError, match=f"birth_year must be 1990 to 2100, but is {birth_year}"):
        a_player(birth_year=birth_year)


def test_a_season_of_one_day_is_a_season() -> None:
    season = Season(season_id=uuid7(), name="Cup day", starts_on=date(2026, 5, 1), ends_on=date(2026, 5, 1))
    assert season.starts_on == season.ends_on


def test_a_season_that_ends_before_it_starts_is_refused() -> None:
    with pytest.raises(ValueError, match="season '2025-26' ends on 2025-05-31, before it starts on 2025-09-01"):
        Season(season_id=uuid7(), name="2025-26", starts_on=date(2025, 9, 1), ends_on=date(2025, 5, 31))


def test_a_squad_needs_a_name() -> None:
    with pytest.raises(ValueError, match="squad must have 1 to 80 characters"):
        Squad(squad_id=uuid7(), name=" ", ladder_name="U11–U12")
