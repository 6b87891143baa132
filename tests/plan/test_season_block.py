"""Six to twelve weeks ahead, from where the squad stands now."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

import pytest

from tracker.domain.ladder_file import shipped_ladders
from tracker.domain.vocabulary import PreferredFoot, ReadinessStatus
from tracker.errors import RequestError
from tracker.plan.request import Equipment, FootPhase, FootStanding, PlanRequest, PresentPlayer, players_by_number
from tracker.plan.season_block import SeasonBlock, season_block

LADDER = shipped_ladders()[1]
SERVED, STILL, ROLLING, *_ = (stage.name for stage in LADDER.stages)
MONDAY = date(2026, 10, 5)


def squad_at(stage: str, rate: float, status: ReadinessStatus = ReadinessStatus.WORKING) -> tuple[PresentPlayer, ...]:
    standing = FootStanding(stage=stage, status=status, attempts=30, practices=2, pooled_rate=rate)
    return tuple(
        PresentPlayer(name=name, left=standing, right=standing, preferred_foot=PreferredFoot.RIGHT)
        for name in ("Ana", "Ben", "Cem", "Dua", "Eli", "Fay", "Gus", "Hal")
    )


def request_for(players: tuple[PresentPlayer, ...], *, today: date = MONDAY) -> PlanRequest:
    return PlanRequest(
        ladder=LADDER, minutes=75, players=players, held_on=today, equipment=Equipment(gates=8, balls=20)
    )


def stages_in(block: SeasonBlock, week: int) -> list[str]:
    return [one.stage for one in block.weeks[week - 1].stages]


def test_a_block_is_eight_weeks_with_the_other_foot_unless_said_otherwise() -> None:
    block = season_block(request_for(squad_at(STILL, 0.6)), starts_on=MONDAY)
    assert [week.number for week in block.weeks] == list(range(1, 9))
    assert {week.phase for week in block.weeks} == {FootPhase.BLOCK}
    assert [week.starts_on for week in block.weeks] == [MONDAY + timedelta(weeks=number) for number in range(8)]


def test_after_the_other_foot_weeks_a_quarter_of_the_strikes_keeps_it_up() -> None:
    block = season_block(request_for(squad_at(STILL, 0.6)), starts_on=MONDAY, weeks=12)
    assert [week.phase for week in block.weeks] == [FootPhase.BLOCK] * 8 + [FootPhase.UPKEEP] * 4
    assert "at least half of them with the other foot" in block.weeks[0].sentence
    assert "at least a quarter of them with the other foot" in block.weeks[-1].sentence


def test_a_block_that_starts_in_mid_week_counts_from_its_monday() -> None:
    block = season_block(request_for(squad_at(STILL, 0.6)), starts_on=MONDAY + timedelta(days=3))
    assert block.weeks[0].starts_on == MONDAY


@pytest.mark.parametrize(("weeks", "reviewed"), [(6, [3, 4, 6]), (8, [4, 8]), (12, [4, 6, 8, 12])])
def test_it_is_looked_back_on_halfway_at_the_end_and_every_four_weeks(weeks: int, reviewed: list[int]) -> None:
    block = season_block(request_for(squad_at(STILL, 0.6)), starts_on=MONDAY, weeks=weeks)
    assert [week.number for week in block.weeks if week.review] == reviewed
    assert block.reviews == tuple(MONDAY + timedelta(weeks=number, days=-1) for number in reviewed)


def test_a_squad_that_is_sure_moves_up_and_one_that_is_not_stays() -> None:
    sure = season_block(request_for(squad_at(STILL, 0.82)), starts_on=MONDAY)
    unsure = season_block(request_for(squad_at(STILL, 0.45)), starts_on=MONDAY)
    assert stages_in(sure, 1) == [STILL]
    order = [stage.name for stage in LADDER.stages]
    positions = [order.index(stages_in(sure, week)[0]) for week in range(1, 9)]
    assert positions == sorted(positions)
    assert max(after - before for before, after in pairwise(positions)) == 1
    assert ROLLING in [name for week in (2, 3, 4) for name in stages_in(sure, week)]
    assert all(stages_in(unsure, week) == [STILL] for week in range(1, 9))


def test_as_readiness_changes_the_weeks_ahead_change_and_those_past_are_over() -> None:
    ready = request_for(squad_at(STILL, 0.8, ReadinessStatus.READY), today=MONDAY + timedelta(weeks=2, days=1))
    block = season_block(ready, starts_on=MONDAY)
    assert [week.is_past for week in block.weeks] == [True, True] + [False] * 6
    assert block.weeks[0].sentence == "Week 1 is over."
    assert block.weeks[0].stages == ()
    assert stages_in(block, 3) == [ROLLING]


def test_a_new_squad_starts_at_the_first_stage() -> None:
    block = season_block(request_for(players_by_number(16, LADDER)), starts_on=MONDAY)
    assert [(one.stage, one.feet) for one in block.weeks[0].stages] == [(SERVED, 32)]


def test_strikes_a_week_grow_with_the_practices_and_fall_with_the_players() -> None:
    few = request_for(squad_at(STILL, 0.6))
    many = request_for(players_by_number(24, LADDER))
    one, two = (season_block(few, starts_on=MONDAY, practices_a_week=a_week).weeks[0].strikes for a_week in (1, 2))
    assert two == 2 * one > 0
    assert season_block(many, starts_on=MONDAY, practices_a_week=2).weeks[0].strikes < two


@pytest.mark.parametrize("weeks", [5, 13])
def test_a_block_of_another_length_is_refused(weeks: int) -> None:
    with pytest.raises(RequestError, match=f"6 to 12 weeks long, not {weeks}"):
        season_block(request_for(squad_at(STILL, 0.6)), starts_on=MONDAY, weeks=weeks)


def test_a_week_without_practice_is_refused() -> None:
    with pytest.raises(RequestError, match="1 to 7 practices, not 0"):
        season_block(request_for(squad_at(STILL, 0.6)), starts_on=MONDAY, practices_a_week=0)


def test_feet_that_work_at_the_game_are_planned_below_it() -> None:
    top = request_for(squad_at(LADDER.stages[-1].name, 0.5))
    assert stages_in(season_block(replace(top), starts_on=MONDAY), 1) == [LADDER.stages[-2].name]
