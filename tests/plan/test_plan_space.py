"""Over the whole space of squads, times and equipment: a plan that keeps every stated constraint, or a plain reason.

The constraints are judged here anew from the plan and the request, beside ``check_plan`` saying that none breaks.
"""

from __future__ import annotations

import random
import re
import time
from dataclasses import replace
from datetime import date
from statistics import NormalDist

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tracker.domain.ladder import Ladder, Stage
from tracker.domain.practice_plan import Activity, PracticePlan
from tracker.domain.standards import AgeStandard, Federation
from tracker.domain.standards_file import standard_for
from tracker.domain.target import angular_width_deg
from tracker.domain.vocabulary import BallArrival, Foot, LengthUnit, PreferredFoot, ReadinessStatus
from tracker.errors import RequestError
from tracker.plan.choices import field_for
from tracker.plan.constraints import check_plan
from tracker.plan.practice_plan import plan_practice
from tracker.plan.request import (
    Equipment,
    FootPhase,
    FootStanding,
    PlanImpossible,
    PlanRequest,
    PresentPlayer,
    ladder_for_age,
    players_by_number,
)

TODAY = date(2026, 10, 6)
AMPLE = Equipment(gates=12, goals=2, balls=24)
NORMAL = NormalDist()


def expected_rate(ladder: Ladder, standing: FootStanding, stage: Stage, distance_m: float) -> float:
    """P(on target) of the aim model: a spread in degrees that makes the known rate at the known stage, carried over in
    proportion to the spreads of a ready player at either stage."""
    own = ladder.stage_named(standing.stage)
    assert own is not None
    known = (own.p_not_yet + own.p_ready) / 2 if standing.pooled_rate is None else standing.pooled_rate

    def spread(at: Stage, rate: float) -> float:
        return at.angular_width_deg / 2 / NORMAL.inv_cdf((1 + rate) / 2)

    carried = spread(own, min(max(known, 0.05), 0.98)) * spread(stage, stage.p_ready) / spread(own, own.p_ready)
    return 2 * NORMAL.cdf(angular_width_deg(stage.target.width_m, distance_m) / 2 / carried) - 1


def met_positions(ladder: Ladder, standing: FootStanding) -> range:
    """Positions of the stages a foot has worked at: all below its own, and its own once it has struck there."""
    own = ladder.stage_named(standing.stage)
    assert own is not None
    has_struck = standing.attempts > 0 or standing.status is not ReadinessStatus.GATHERING
    return range(1, own.position + has_struck)


def assert_times(plan: PracticePlan, request: PlanRequest) -> None:
    first, *finishing, last = plan.parts
    assert first.activity is Activity.WARM_UP
    assert first.starts_at == 0
    assert first.minutes >= 5
    assert last.activity is Activity.GAME
    assert last.minutes >= 8
    assert last.starts_at + last.minutes <= request.minutes
    assert finishing
    assert all(part.activity is Activity.FINISHING for part in finishing)
    ends = [part.starts_at + part.minutes for part in plan.parts]
    assert all(end <= after.starts_at for end, after in zip(ends, plan.parts[1:], strict=False))


def assert_everyone_works(plan: PracticePlan, request: PlanRequest) -> None:
    names = sorted(player.name for player in request.players)
    for part in plan.finishing:
        assert sorted(work.player for lane in part.lanes for work in lane.players) == names
        assert all(1 <= len(lane.players) <= 6 for lane in part.lanes)
        for lane in part.lanes:
            strikes = sum(foot.strikes for work in lane.players for foot in work.feet)
            assert strikes * 8 <= part.minutes * 60
        stages = [plan.field.ladder.stage_named(lane.stage) for lane in part.lanes]
        at_goals = sum(1 for stage in stages if stage and not stage.target.is_gate)
        assert at_goals <= request.equipment.goals
        assert len(stages) - at_goals <= request.equipment.gates_that_can_be_made
        assert len(stages) <= max(request.equipment.balls // 2, 1)


def assert_one_new_stage_at_most(plan: PracticePlan, request: PlanRequest) -> None:
    ladder, players = plan.field.ladder, {player.name: player for player in request.players}
    new = set()
    for _, lane, work in plan.work():
        stage, player = ladder.stage_named(lane.stage), players[work.player]
        assert stage is not None
        if not any(stage.position in met_positions(ladder, player.standing(foot)) for foot in Foot):
            new.add(stage.name)
    assert len(new) <= 1


def assert_other_foot_has_its_share(plan: PracticePlan, request: PlanRequest) -> None:
    share = {FootPhase.BLOCK: 0.50, FootPhase.UPKEEP: 0.25}[request.phase]
    for player in request.players:
        done = [foot for _, _, work in plan.work() if work.player == player.name for foot in work.feet]
        other = sum(foot.strikes for foot in done if foot.foot is player.other_foot)
        assert sum(foot.strikes for foot in done) > 0
        assert other >= share * sum(foot.strikes for foot in done) - 1e-9


def is_excused(plan: PracticePlan, request: PlanRequest, standing: FootStanding) -> bool:
    """Whether no stage the foot has met can be put into the band from any whole distance the lanes allow."""
    ladder, step = plan.field.ladder, {LengthUnit.YARDS: 0.9144, LengthUnit.METRES: 1.0}[request.unit]
    for stage in ladder.stages:
        if stage.position not in met_positions(ladder, standing) or stage.ball_arrival is BallArrival.GAME:
            continue
        if not (plan.field.lanes if stage.target.is_gate else plan.field.goals):
            continue
        is_rally = stage.target.is_gate and stage.ball_arrival is BallArrival.PASSED
        limit = plan.field.farthest_gate_m if stage.target.is_gate else plan.field.length_m / 2
        most = min(stage.distance_m if is_rally else limit, 1.5 * stage.distance_m)
        least = max(0.5 * stage.distance_m, min(2.5, stage.distance_m))
        distances = [step * number for number in range(1, 60) if least - 1e-6 <= step * number <= most + 1e-6]
        for distance in (stage.distance_m, *distances):
            if 0.50 <= expected_rate(ladder, standing, stage, distance) <= 0.80:
                return False
    return True


def assert_neither_too_hard_nor_too_easy(plan: PracticePlan, request: PlanRequest) -> None:
    ladder, players = plan.field.ladder, {player.name: player for player in request.players}
    for _, lane, work in plan.work():
        stage = ladder.stage_named(lane.stage)
        assert stage is not None
        for foot in work.feet:
            standing = players[work.player].standing(foot.foot)
            rate = expected_rate(ladder, standing, stage, foot.distance_m)
            assert rate == pytest.approx(foot.expected_rate, abs=1e-9)
            assert 0.50 - 1e-6 <= rate <= 0.80 + 1e-6 or is_excused(plan, request, standing), (work, stage.name)


def assert_everyone_is_watched_once_a_fortnight(plan: PracticePlan, request: PlanRequest) -> None:
    finishing = plan.finishing
    seats = {
        (block, lane.number): tuple(work.player for work in lane.players)
        for block, part in enumerate(finishing, start=1)
        for lane in part.lanes
    }
    watched, busy = set(), set()
    for turn in plan.focal_turns:
        part = finishing[turn.block - 1]
        assert turn.players == seats[turn.block, turn.lane]
        assert part.starts_at <= turn.starts_at
        assert turn.starts_at + turn.minutes <= part.starts_at + part.minutes
        assert 1 <= turn.logger <= request.loggers
        assert (turn.logger, turn.starts_at) not in busy
        busy.add((turn.logger, turn.starts_at))
        watched.update(turn.players)
    for player in request.players:
        days = min(standing.days_since_observed or 0 for standing in (player.left, player.right))
        if days + request.days_to_next_practice > 14:
            assert player.name in watched


def assert_every_constraint(plan: PracticePlan, request: PlanRequest) -> None:
    assert_times(plan, request)
    assert_everyone_works(plan, request)
    assert_one_new_stage_at_most(plan, request)
    assert_other_foot_has_its_share(plan, request)
    assert_neither_too_hard_nor_too_easy(plan, request)
    assert_everyone_is_watched_once_a_fortnight(plan, request)
    assert check_plan(plan, request) == []


REASONS = (
    "players do not fit on what is at hand. It would take",
    "There is no ball.",
    "that takes two goals",
    "there is no stage for",
    "should be watched today",
    "m of width, but the space is",
    "Look at where the players are placed",
)


def assert_plain(reason: str) -> None:
    assert any(known in reason for known in REASONS), reason
    assert reason.endswith(".")
    assert not any(sign in reason for sign in ("{", "}", "None", "Shortage", "<"))


@st.composite
def standings(draw: st.DrawFn, ladder: Ladder) -> FootStanding:
    attempts = draw(st.sampled_from([0, 0, 4, 15, 40, 90]))
    return FootStanding(
        stage=draw(st.sampled_from(ladder.stages)).name,
        status=draw(st.sampled_from(ReadinessStatus)) if attempts else ReadinessStatus.GATHERING,
        attempts=attempts,
        practices=min(attempts // 10, 4),
        pooled_rate=draw(st.one_of(st.none(), st.floats(0, 1))) if attempts else None,
        days_since_observed=draw(st.one_of(st.none(), st.integers(0, 30))),
    )


def standard_or_none(draw: st.DrawFn, age: int) -> AgeStandard | None:
    federation = draw(st.sampled_from([None, Federation.US_SOCCER, Federation.THE_FA, Federation.IFAB]))
    return standard_for(federation, age) if federation else None


@st.composite
def requests(draw: st.DrawFn) -> PlanRequest:
    age = draw(st.integers(8, 18))
    ladder, count = ladder_for_age(age), draw(st.integers(4, 24))
    if draw(st.booleans()):
        players = players_by_number(count, ladder)
    else:
        players = tuple(
            PresentPlayer(
                name=f"Player {number}",
                left=draw(standings(ladder)),
                right=draw(standings(ladder)),
                preferred_foot=draw(st.sampled_from(PreferredFoot)),
            )
            for number in range(count)
        )
    return PlanRequest(
        ladder=ladder,
        minutes=draw(st.integers(30, 90)),
        players=players,
        held_on=TODAY,
        equipment=Equipment(
            gates=draw(st.integers(0, 8)),
            goals=draw(st.integers(0, 3)),
            balls=draw(st.integers(0, 24)),
            flags=draw(st.integers(0, 8)),
            cones=draw(st.integers(0, 20)),
            goal_width_m=draw(st.one_of(st.none(), st.floats(1.5, 7.32))),
        ),
        loggers=draw(st.integers(0, 3)),
        standard=standard_or_none(draw, age),
        phase=draw(st.sampled_from(FootPhase)),
        space_width_m=draw(st.floats(10, 70)),
        days_to_next_practice=draw(st.integers(1, 14)),
        calls_out_sets=draw(st.booleans()),
        unit=draw(st.sampled_from(LengthUnit)),
    )


@given(requests())
@settings(max_examples=70)
def test_there_is_a_plan_that_keeps_every_constraint_or_a_plain_reason(request: PlanRequest) -> None:
    try:
        plan = plan_practice(request)
    except RequestError as error:
        assert_plain(str(error))
        return
    assert_every_constraint(plan, request)


@given(requests())
@settings(max_examples=50)
def test_bringing_what_the_reason_asks_for_makes_room_for_all(request: PlanRequest) -> None:
    lacking = what_is_lacking(request)
    if not lacking:
        return
    own, field = request.equipment, field_for(request)
    brought = replace(
        own,
        gates=own.gates + lacking.get("gate", 0),
        goals=own.goals + lacking.get("goal", 0),
        balls=own.balls + lacking.get("ball", 0),
    )
    space_width_m = request.space_width_m + lacking.get("lane", 0) * field.spacing_m
    assert not what_is_lacking(replace(request, equipment=brought, space_width_m=space_width_m))


def what_is_lacking(request: PlanRequest) -> dict[str, int]:
    """What the reason of a refusal asks for, by thing; empty when there is a plan or another reason."""
    try:
        plan_practice(request)
    except RequestError as error:
        found = re.findall(r"(\d+) more (gate|goal|ball|lane)", str(error))
        return {thing: int(count) for count, thing in found}
    return {}


def some_squad(count: int, ladder: Ladder, *, seed: int) -> tuple[PresentPlayer, ...]:
    """A squad in mid-season: feet near one another on the ladder, most of them with strikes."""
    chance = random.Random(seed)

    def standing(position: int) -> FootStanding:
        attempts = chance.choice([0, 12, 30, 60])
        return FootStanding(
            stage=ladder.stages[min(max(position, 0), 6)].name,
            status=chance.choice(list(ReadinessStatus)) if attempts else ReadinessStatus.GATHERING,
            attempts=attempts,
            practices=attempts // 12,
            pooled_rate=chance.uniform(0.35, 0.85) if attempts else None,
            days_since_observed=chance.choice([None, 3, 7, 14]),
        )

    middle = chance.randint(0, 6)
    return tuple(
        PresentPlayer(
            name=f"Player {number}",
            left=standing(middle + chance.randint(-1, 1)),
            right=standing(middle + chance.randint(-1, 1)),
            preferred_foot=chance.choice(list(PreferredFoot)),
        )
        for number in range(count)
    )


@pytest.mark.parametrize("age", range(8, 19), ids=lambda age: f"U{age}")
def test_with_equipment_for_all_there_is_always_a_plan_and_it_comes_at_once(age: int) -> None:
    ladder = ladder_for_age(age)
    for count, minutes in ((4, 90), (9, 45), (16, 75), (24, 30), (24, 90)):
        request = PlanRequest(
            ladder=ladder,
            minutes=minutes,
            players=some_squad(count, ladder, seed=100 * age + count + minutes),
            held_on=TODAY,
            equipment=AMPLE,
            loggers=3,
            standard=standard_for(Federation.US_SOCCER, age),
        )
        start = time.perf_counter()
        plan = plan_practice(request)
        print(f"U{age}, {count} players, {minutes} min: {time.perf_counter() - start:.2f} s")  # noqa: T201
        assert_every_constraint(plan, request)


def test_the_same_request_gives_the_same_plan() -> None:
    ladder = ladder_for_age(12)
    players = some_squad(16, ladder, seed=7)
    request = PlanRequest(ladder=ladder, minutes=75, players=players, held_on=TODAY, equipment=AMPLE, loggers=2)
    assert plan_practice(request) == plan_practice(request)


@pytest.mark.parametrize("minutes", [29, 121])
def test_too_short_or_too_long_a_practice_is_refused(minutes: int) -> None:
    ladder = ladder_for_age(12)
    request = PlanRequest(ladder=ladder, minutes=minutes, players=players_by_number(8, ladder), held_on=TODAY)
    with pytest.raises(PlanImpossible, match=f"A practice of {minutes} minutes cannot be planned"):
        plan_practice(request)
