"""What was planned beside what was logged; strikes a week; and whom the touchline page says to watch."""

from __future__ import annotations

from datetime import date, timedelta
from uuid import UUID

import pytest
from builders import SquadBuilder

from tracker.domain.practice import Practice
from tracker.domain.vocabulary import Foot
from tracker.review import pad
from tracker.review.plan_against_practice import plan_against_practice, plan_against_season, practices_with_plan
from tracker.review.watch import WatchReason
from tracker.review.weekly_strikes import unusual_strikes, weekly_strikes
from tracker.store.plans import PlannedStrikes, PlannedTurn, plan_of_practice, save_plan

DAY = date(2026, 3, 14)
GATE, ROLLING = "Still ball through a gate", "Rolling ball"


def planned(squad: SquadBuilder, practice: Practice) -> None:
    """Ana strikes 20 with her left foot at the gate, ten of them watched; Ben ten with his right foot."""
    ana, ben = squad.player("Ana").player_id, squad.player("Ben").player_id
    strikes = [
        PlannedStrikes(player_id=ana, foot=Foot.LEFT, stage=GATE, strikes=20, watched=10),
        PlannedStrikes(player_id=ben, foot=Foot.RIGHT, stage=ROLLING, strikes=10, watched=0),
    ]
    turns = [
        turn(2, 19, ben, Foot.RIGHT, ROLLING),
        turn(1, 14, ana, Foot.RIGHT, GATE),
        turn(1, 14, ana, Foot.LEFT, GATE),
    ]
    with squad.database.transaction() as transaction:
        save_plan(transaction, practice.practice_id, minutes=75, document="{}", strikes=strikes, turns=turns)


def turn(position: int, starts_at: int, player_id: UUID, foot: Foot, stage: str) -> PlannedTurn:
    return PlannedTurn(
        position=position, starts_at=starts_at, minutes=5, logger=1, player_id=player_id, foot=foot, stage=stage
    )


@pytest.fixture
def practice(squad: SquadBuilder) -> Practice:
    """A planned practice in which Ana struck 15 as planned, and Ben five at another stage."""
    practice = squad.practice(DAY)
    planned(squad, practice)
    squad.strikes("Ana", Foot.LEFT, "+-+-+-+-+-+-+-+", day=DAY, stage=GATE)
    squad.strikes("Ben", Foot.RIGHT, "+-+-+", day=DAY, stage=GATE)
    return practice


def test_planned_and_logged_stand_side_by_side(squad: SquadBuilder, practice: Practice) -> None:
    rows = plan_against_practice(squad.database, practice).rows()
    assert rows == [
        ("Ana", "left", GATE, 20, 10, 15),
        ("Ben", "right", ROLLING, 10, 0, 0),
        ("Ben", "right", GATE, 0, 0, 5),
    ]


def test_a_practice_without_a_plan_has_nothing_to_hold_against(squad: SquadBuilder) -> None:
    assert plan_against_practice(squad.database, squad.practice(DAY)).is_empty()
    assert plan_against_season(squad.database, squad.scope).is_empty()
    assert practices_with_plan(squad.database, squad.squad) == []


def test_a_season_counts_only_what_was_done_as_planned(squad: SquadBuilder, practice: Practice) -> None:
    (row,) = plan_against_season(squad.database, squad.scope).to_dicts()
    assert (row["held_on"], row["planned"], row["logged"], row["share"]) == (DAY, 30, 20, 0.5)
    assert (row["stages_planned"], row["stages_worked"], row["other_stages"]) == (2, 1, 0)


def test_a_plan_to_come_is_not_among_those_that_happened(squad: SquadBuilder, practice: Practice) -> None:
    assert practices_with_plan(squad.database, squad.squad) == [practice]
    assert practices_with_plan(squad.database, squad.squad, until=DAY - timedelta(days=1)) == []


def test_another_plan_takes_the_place_of_the_first(squad: SquadBuilder, practice: Practice) -> None:
    with squad.database.transaction() as transaction:
        save_plan(transaction, practice.practice_id, minutes=60, document='{"a": 1}', strikes=[], turns=[])
    found = plan_of_practice(squad.database, practice.practice_id)
    assert found is not None
    assert (found.minutes, found.document) == (60, '{"a": 1}')
    assert plan_against_practice(squad.database, practice)["planned"].sum() == 0


def test_the_touchline_page_watches_whom_the_plan_says_in_its_order(squad: SquadBuilder, practice: Practice) -> None:
    given = pad.give_pass(squad.database, practice, logger="Tess")
    access = pad.access_of(squad.database, given.token)
    assert access is not None
    watched = pad.briefing(squad.database, access).watch
    ana, ben = squad.player("Ana").player_id, squad.player("Ben").player_id
    assert [(one.player_id, one.foot, one.stage) for one in watched] == [
        (ana, Foot.LEFT, GATE),
        (ana, Foot.RIGHT, GATE),
        (ben, Foot.RIGHT, ROLLING),
    ]
    assert {one.why for one in watched} == {WatchReason.PLANNED}
    first = watched[0].planned
    assert first is not None
    assert (first.starts_at, first.ends_at, first.logger) == (14, 19, 1)


def test_without_a_plan_it_watches_whom_strikes_would_tell_most_about(squad: SquadBuilder) -> None:
    given = pad.give_pass(squad.database, squad.practice(DAY), logger="Tess")
    access = pad.access_of(squad.database, given.token)
    assert access is not None
    watched = pad.briefing(squad.database, access).watch
    assert len(watched) == 4
    assert {one.planned for one in watched} == {None}


def test_strikes_are_counted_by_week_blocked_ones_too(squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.LEFT, "+b-", day=date(2026, 3, 10), stage=GATE)
    squad.strikes("Ana", Foot.RIGHT, "++", day=date(2026, 3, 15), stage=GATE)
    squad.strikes("Ben", Foot.RIGHT, "+", day=date(2026, 3, 16), stage=GATE)
    assert weekly_strikes(squad.database, squad.scope).rows() == [
        ("Ana", date(2026, 3, 9), 5),
        ("Ben", date(2026, 3, 16), 1),
    ]


def test_a_week_that_jumps_is_pointed_out_for_information(squad: SquadBuilder) -> None:
    for week, strikes in enumerate((30, 30, 90)):
        squad.strikes("Ana", Foot.LEFT, "+" * strikes, day=DAY + timedelta(weeks=week), stage=GATE)
    (jump,) = unusual_strikes(squad.database, squad.scope)
    assert (jump.player, jump.strikes, jump.mean_before, jump.weeks_before) == ("Ana", 90, 30, 2)
    assert unusual_strikes(squad.database, squad.scope, week=DAY) == []
    assert unusual_strikes(squad.database, squad.scope, week=DAY + timedelta(weeks=2)) == [jump]
