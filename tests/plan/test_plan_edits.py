"""A coach changes a plan by hand: what follows is worked out anew, and the check says what breaks."""

from __future__ import annotations

from datetime import date

import pytest

from tracker.domain.practice_plan import PlayerWork, PracticePlan
from tracker.domain.vocabulary import Foot
from tracker.errors import RequestError
from tracker.plan.constraints import Constraint, check_plan
from tracker.plan.edits import sets_in, with_player_moved, with_work_changed
from tracker.plan.practice_plan import plan_practice
from tracker.plan.request import PlanRequest, ladder_for_age, players_by_number

LADDER = ladder_for_age(12)
REQUEST = PlanRequest(
    ladder=LADDER, minutes=60, players=players_by_number(8, LADDER), held_on=date(2026, 10, 6), loggers=1
)
PLAN = plan_practice(REQUEST)
FIRST_LANE, SECOND_LANE, *_ = PLAN.finishing[0].lanes
MOVED = FIRST_LANE.players[0].player


def lane_of(plan: PracticePlan, player: str, *, block: int = 1) -> int:
    return next(lane.number for lane in plan.finishing[block - 1].lanes for one in lane.players if one.player == player)


def work_of(plan: PracticePlan, player: str, *, block: int = 1) -> PlayerWork:
    return next(one for lane in plan.finishing[block - 1].lanes for one in lane.players if one.player == player)


def broken(plan: PracticePlan) -> set[Constraint]:
    return {breach.constraint for breach in check_plan(plan, REQUEST)}


def test_a_player_moved_shares_the_time_of_the_new_lane() -> None:
    plan = with_player_moved(PLAN, REQUEST, block=1, player=MOVED, stage="", lane=SECOND_LANE.number)
    assert lane_of(plan, MOVED) == lane_of(plan, SECOND_LANE.players[0].player)
    (lane,) = (one for one in plan.finishing[0].lanes if one.number == lane_of(plan, MOVED))
    assert sum(foot.strikes for one in lane.players for foot in one.feet) * 8 <= plan.finishing[0].minutes * 60
    assert Constraint.TIME not in broken(plan)
    assert plan.finishing[1:] == PLAN.finishing[1:]


def test_turns_strikes_and_questions_follow_a_change() -> None:
    plan = with_work_changed(PLAN, REQUEST, block=1, player=MOVED, foot=Foot.LEFT, sets=(10, 10, 10), distance_m=4.572)
    (expected,) = (one for one in plan.expected_strikes if (one.player, one.foot) == (MOVED, Foot.LEFT))
    before = sum(
        foot.strikes for _, _, one in PLAN.work() if one.player == MOVED for foot in one.feet if foot.foot is Foot.LEFT
    )
    had = sum(foot.strikes for foot in work_of(PLAN, MOVED).feet if foot.foot is Foot.LEFT)
    assert expected.strikes == before - had + 30
    for turn in plan.focal_turns:
        lane = next(one for one in plan.finishing[turn.block - 1].lanes if one.number == turn.lane)
        assert set(turn.players) == {one.player for one in lane.players}


def test_a_new_stage_too_many_is_told() -> None:
    rolling, carry = LADDER.stages[2].name, LADDER.stages[4].name
    plan = with_player_moved(PLAN, REQUEST, block=1, player=MOVED, stage=rolling)
    plan = with_player_moved(plan, REQUEST, block=2, player=MOVED, stage=carry)
    assert Constraint.ONE_NEW_STAGE in broken(plan)
    assert any("new today" in one.sentence for one in check_plan(plan, REQUEST))


def test_an_empty_lane_goes_and_the_others_are_numbered_anew() -> None:
    plan = PLAN
    for one in FIRST_LANE.players:
        plan = with_player_moved(
            plan, REQUEST, block=1, player=one.player, stage="", lane=lane_of(plan, SECOND_LANE.players[0].player)
        )
    lanes = plan.finishing[0].lanes
    assert len(lanes) == len(PLAN.finishing[0].lanes) - 1
    assert [lane.number for lane in lanes] == list(range(1, len(lanes) + 1))


def test_a_foot_without_sets_rests_and_the_share_is_told() -> None:
    plan = PLAN
    for block in range(1, len(PLAN.finishing) + 1):
        for foot in work_of(PLAN, MOVED, block=block).feet:
            if foot.foot is REQUEST.players[0].other_foot:
                plan = with_work_changed(
                    plan, REQUEST, block=block, player=MOVED, foot=foot.foot, sets=(), distance_m=foot.distance_m
                )
    assert Constraint.OTHER_FOOT in broken(plan)


def test_a_spot_too_far_back_is_told() -> None:
    plan = with_work_changed(PLAN, REQUEST, block=1, player=MOVED, foot=Foot.LEFT, sets=(10,), distance_m=30)
    assert Constraint.LANES in broken(plan)


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"block": 9}, "part 9"),
        ({"player": "Nobody"}, "Nobody"),
        ({"sets": (500,)}, "1 to 50"),
        ({"distance_m": 0.0}, "half a metre"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(change: dict[str, object], word: str) -> None:
    given: dict[str, object] = {"block": 1, "player": MOVED, "foot": Foot.LEFT, "sets": (5,), "distance_m": 5.0}
    with pytest.raises(RequestError, match=word):
        with_work_changed(PLAN, REQUEST, **{**given, **change})  # type: ignore[arg-type]


def test_a_lane_or_stage_that_is_not_there_is_refused() -> None:
    with pytest.raises(RequestError, match="no lane 99"):
        with_player_moved(PLAN, REQUEST, block=1, player=MOVED, stage="", lane=99)
    with pytest.raises(RequestError, match="no stage"):
        with_player_moved(PLAN, REQUEST, block=1, player=MOVED, stage="Headers")


def test_sets_are_typed_as_numbers() -> None:
    assert sets_in(" 10,5  5 ") == (10, 5, 5)
    with pytest.raises(RequestError, match="10, five"):
        sets_in("10, five")
