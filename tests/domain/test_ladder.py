"""Finding one's way on a ladder."""

from __future__ import annotations

from tracker.domain.ladder_file import shipped_ladders

LADDER = shipped_ladders()[1]


def test_a_stage_is_found_by_name_whatever_the_case_and_outer_spaces() -> None:
    assert LADDER.stage_named("  still BALL through a gate ") is LADDER.stages[1]


def test_an_unknown_name_finds_no_stage() -> None:
    assert LADDER.stage_named("Penalty") is None


def test_the_stage_after_is_the_next_one_and_none_at_the_top() -> None:
    following = [LADDER.stage_after(stage) for stage in LADDER.stages]
    assert following == [*LADDER.stages[1:], None]


def test_the_set_size_is_the_first_set_of_a_practice() -> None:
    assert LADDER.stages[0].set_sizes == (10, 5)
    assert LADDER.stages[0].set_size == 10


def test_the_angular_width_of_a_us_9v9_goal_from_fourteen_yards_is_twice_the_arctangent_of_a_quarter() -> None:
    carry = LADDER.stage_named("Carry and shoot")
    assert carry is not None
    assert round(carry.angular_width_deg, 4) == 28.0725
