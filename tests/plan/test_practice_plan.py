"""A coach's cases: what a plan says of the next practice, and what becomes of it when changed by hand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date

import pytest

from tracker.domain.cautions import CautionKind
from tracker.domain.ladder_file import shipped_ladders
from tracker.domain.practice_plan import Activity, FootWork, LaneWork, Part, PracticePlan
from tracker.domain.setup import LaneKind
from tracker.domain.standards import Federation
from tracker.domain.standards_file import standard_for
from tracker.domain.vocabulary import Foot, LengthUnit, PreferredFoot, ReadinessStatus
from tracker.errors import RequestError
from tracker.plan.constraints import Constraint, check_plan
from tracker.plan.layout import lay_out, plan_table
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
from tracker.plan.timetable import timetable

U8_U10, U11_U12, U13_U18 = shipped_ladders()
SERVED, STILL, ROLLING, RALLY, CARRY, LAY_OFF, GAME = (stage.name for stage in U11_U12.stages)
TUESDAY = date(2026, 10, 6)
KIT = Equipment(gates=8, goals=2, balls=20)


def working(stage: str, rate: float = 0.6, attempts: int = 30, days: int = 3) -> FootStanding:
    return FootStanding(
        stage=stage,
        status=ReadinessStatus.WORKING,
        attempts=attempts,
        practices=2,
        pooled_rate=rate,
        days_since_observed=days,
    )


def player(name: str, left: FootStanding, right: FootStanding, preferred: str = "right") -> PresentPlayer:
    return PresentPlayer(name=name, left=left, right=right, preferred_foot=PreferredFoot(preferred))


KAYA = player("Kaya", left=working(STILL, 0.55), right=working(ROLLING, 0.65))
NAMES = ("Ana", "Ben", "Cem", "Dua", "Eli", "Fay", "Gus")
SQUAD = (KAYA, *(player(name, working(STILL, 0.6), working(STILL, 0.7)) for name in NAMES))


def request_for(*players: PresentPlayer, **changed: object) -> PlanRequest:
    given: dict[str, object] = {"minutes": 75, "equipment": KIT, "held_on": TUESDAY, "ladder": U11_U12}
    return PlanRequest(players=players or SQUAD, **{**given, **changed})  # type: ignore[arg-type]


def feet_of(plan: PracticePlan, name: str) -> list[tuple[str, FootWork]]:
    return [(lane.stage, foot) for _, lane, work in plan.work() if work.player == name for foot in work.feet]


def strikes_of(plan: PracticePlan, name: str, foot: Foot) -> int:
    return sum(one.strikes for _, one in feet_of(plan, name) if one.foot is foot)


def test_seventy_five_minutes_are_warm_up_three_blocks_and_a_game() -> None:
    plan = plan_practice(request_for())
    assert [(part.activity, part.starts_at, part.minutes) for part in plan.parts] == [
        (Activity.WARM_UP, 0, 12),
        (Activity.FINISHING, 14, 13),
        (Activity.FINISHING, 29, 13),
        (Activity.FINISHING, 44, 13),
        (Activity.GAME, 59, 16),
    ]
    assert "two goals" in plan.parts[-1].what


@pytest.mark.parametrize("minutes", range(30, 121))
def test_every_minute_of_a_practice_is_accounted_for(minutes: int) -> None:
    for most_blocks in (1, 2, 3):
        table = timetable(minutes, most_blocks=most_blocks)
        assert table.total == minutes
        assert table.block >= 8
        assert 1 <= table.blocks <= most_blocks


def test_each_foot_gets_to_the_stage_it_works_at() -> None:
    plan = plan_practice(request_for())
    done = {(stage, foot.foot) for stage, foot in feet_of(plan, "Kaya")}
    assert {(STILL, Foot.LEFT), (ROLLING, Foot.RIGHT)} <= done
    assert "Alone in a lane for a block: Kaya. An adult serves and collects." in plan.remarks


def test_in_a_block_at_least_half_of_the_strikes_are_with_the_other_foot_and_a_quarter_after_it() -> None:
    block = plan_practice(request_for())
    after = plan_practice(request_for(phase=FootPhase.UPKEEP))
    for name in ("Kaya", *NAMES):
        left, right = (strikes_of(block, name, foot) for foot in Foot)
        assert left >= right > 0
        left, right = (strikes_of(after, name, foot) for foot in Foot)
        assert left >= 0.25 * (left + right)
        assert left < right


def test_sets_are_ten_then_five_with_the_other_foot_first() -> None:
    plan = plan_practice(request_for(*SQUAD[1:]))
    for _, _, work in plan.work():
        assert [foot.foot for foot in work.feet] == [Foot.LEFT, Foot.RIGHT]
        assert all(foot.sets[0] == 10 and set(foot.sets[1:]) <= {5} for foot in work.feet)


def test_a_pair_on_one_lane_has_a_strike_every_eight_seconds_between_them() -> None:
    plan = plan_practice(request_for(*SQUAD[1:]))
    for part, lane, _ in plan.work():
        strikes = sum(foot.strikes for work in lane.players for foot in work.feet)
        assert 0.7 * part.minutes * 60 / 8 <= strikes <= part.minutes * 60 / 8
    assert sum(one.strikes for one in plan.expected_strikes) == sum(
        foot.strikes for _, _, work in plan.work() for foot in work.feet
    )


def test_those_who_share_a_lane_stand_at_the_same_stage_and_the_rate_does_not_settle_who_they_are() -> None:
    mirrored = tuple(
        replace(one, left=replace(one.left, pooled_rate=rate), right=replace(one.right, pooled_rate=rate))
        for one, rate in zip(SQUAD, (0.70, 0.52, 0.68, 0.54, 0.66, 0.56, 0.64, 0.58), strict=True)
    )
    backwards = tuple(
        replace(one, left=other.left, right=other.right)
        for one, other in zip(mirrored, (mirrored[0], *mirrored[:0:-1]), strict=True)
    )

    def pairs(players: tuple[PresentPlayer, ...]) -> list[list[tuple[str, ...]]]:
        plan = plan_practice(request_for(*players, minutes=30))
        return [[tuple(work.player for work in lane.players) for lane in part.lanes] for part in plan.finishing]

    assert pairs(mirrored) == pairs(backwards)


def test_the_spot_moves_nearer_for_a_foot_that_would_seldom_succeed_and_back_for_one_that_nearly_always_does() -> None:
    unsure = player("Unsure", working(STILL, 0.40), working(STILL, 0.70))
    sure = player("Sure", working(SERVED, 0.70), working(SERVED, 0.88))
    plan = plan_practice(request_for(unsure, sure, *SQUAD[2:]))
    still, served = (U11_U12.stage_named(name) for name in (STILL, SERVED))
    assert still is not None
    assert served is not None
    near = [foot for stage, foot in feet_of(plan, "Unsure") if foot.foot is Foot.LEFT and stage == STILL]
    far = [foot for stage, foot in feet_of(plan, "Sure") if foot.foot is Foot.RIGHT and stage == SERVED]
    assert near
    assert far
    assert all(foot.distance_m < still.distance_m and foot.expected_rate >= 0.5 for foot in near)
    assert all(foot.distance_m > served.distance_m and foot.expected_rate <= 0.8 for foot in far)


def test_spots_are_whole_yards_or_whole_metres() -> None:
    unsure = tuple(replace(one, left=working(STILL, 0.40)) for one in SQUAD)
    for unit, step in ((LengthUnit.YARDS, 0.9144), (LengthUnit.METRES, 1.0)):
        plan = plan_practice(request_for(*unsure, unit=unit))
        moved = {foot.distance_m for _, foot in feet_of(plan, "Ana") if foot.foot is Foot.LEFT}
        assert moved
        assert all(distance / step == pytest.approx(round(distance / step), abs=1e-3) for distance in moved)


def test_a_ready_player_goes_on_to_the_next_stage_and_only_one_stage_is_new() -> None:
    ready = replace(working(STILL, 0.82), status=ReadinessStatus.READY)
    higher = replace(working(CARRY, 0.78), status=ReadinessStatus.READY)
    players = [player("Ira", ready, ready), *SQUAD[1:7], player("Jo", higher, higher)]
    plan = plan_practice(request_for(*players))
    ira = {stage for stage, _ in feet_of(plan, "Ira")}
    jo = {stage for stage, _ in feet_of(plan, "Jo")}
    assert (ROLLING in ira) + (LAY_OFF in jo) == 1


def test_a_squad_of_which_nothing_is_known_begins_with_the_first_stage_and_a_longer_game() -> None:
    ladder = ladder_for_age(12)
    plan = plan_practice(request_for(*players_by_number(16, ladder)))
    assert {lane.stage for _, lane, _ in plan.work()} == {SERVED}
    assert len(plan.finishing) == 2
    assert plan.parts[-1].minutes > 16
    assert {foot.distance_m for _, foot in feet_of(plan, "Player 1")} == {U11_U12.stages[0].distance_m}


def test_gates_stand_on_one_line_while_others_strike_at_the_goal_behind_their_backs() -> None:
    at_goals = [player(name, working(LAY_OFF, 0.6), working(LAY_OFF, 0.65)) for name in ("Kim", "Lou", "Max", "Nia")]
    at_gates = [player(name, working(SERVED, 0.6), working(SERVED, 0.65)) for name in NAMES]
    plan = plan_practice(request_for(*at_goals, *at_gates))
    layouts = [lay_out(plan.field, part) for part in plan.finishing]
    mixed = [lanes for lanes in layouts if {lane.kind for lane in lanes} == {LaneKind.GATE, LaneKind.GOAL}]
    assert mixed
    for lanes in mixed:
        assert max(lane.spot.y_m for lane in lanes if lane.kind is LaneKind.GOAL) <= plan.field.length_m / 2
        assert min(lane.spot.y_m for lane in lanes if lane.kind is LaneKind.GATE) > plan.field.length_m / 2


def test_who_was_not_watched_for_long_is_watched_first() -> None:
    long_ago = player("Ole", working(STILL, 0.6, days=12), working(STILL, 0.6, days=12))
    plan = plan_practice(request_for(*SQUAD[1:], long_ago, minutes=30, loggers=1))
    assert "Ole" in plan.focal_turns[0].players
    assert len({turn.starts_at for turn in plan.focal_turns}) == len(plan.focal_turns) == 2


def test_two_loggers_watch_different_lanes_at_a_time() -> None:
    plan = plan_practice(request_for(loggers=2))
    by_minute: dict[int, list[int]] = {}
    for turn in plan.focal_turns:
        by_minute.setdefault(turn.starts_at, []).append(turn.lane)
    assert all(len(set(lanes)) == 2 for lanes in by_minute.values())
    assert {player for turn in plan.focal_turns for player in turn.players} == {one.name for one in SQUAD}


def test_about_how_many_practices_until_we_know_about_a_foot() -> None:
    plan = plan_practice(request_for())
    left = next(one for one in plan.questions if one.player == "Kaya" and one.foot is Foot.LEFT)
    assert left.stage == STILL
    assert left.practices is not None
    assert left.sentence.startswith("About ")
    assert "until we know about Kaya's left foot at Still ball through a gate" in left.sentence


def test_a_foot_whose_rate_is_known_well_has_no_open_question() -> None:
    known = player("Ola", working(STILL, 0.55, attempts=300), working(STILL, 0.78, attempts=300))
    known = replace(known, left=replace(known.left, practices=12), right=replace(known.right, practices=12))
    left, right = (one for one in plan_practice(request_for(*SQUAD, known)).questions if one.player == "Ola")
    assert left.practices == right.practices == 0
    assert left.sentence == (
        "Ola's left foot is well known at Still ball through a gate: at the present rate it is not ready there soon."
    )
    assert "at the present rate it is ready after about" in right.sentence


def test_it_takes_more_practices_when_only_watched_strikes_are_recorded() -> None:
    called = plan_practice(request_for())
    silent = plan_practice(request_for(calls_out_sets=False))

    pairs = [
        (before.practices, after.practices)
        for before, after in zip(called.questions, silent.questions, strict=True)
        if before.practices and after.practices
    ]
    assert pairs
    assert all(before <= after for before, after in pairs)
    assert sum(after - before for before, after in pairs) > 0
    assert any("is not watched at" in one.sentence for one in silent.questions)
    assert all(one.watched <= one.strikes for one in silent.expected_strikes)


def test_a_question_this_practice_does_not_work_on_stays_open() -> None:
    plan = plan_practice(
        request_for(*SQUAD[1:], player("Pim", working(CARRY), working(CARRY)), equipment=Equipment(goals=0))
    )
    pim = next(one for one in plan.questions if one.player == "Pim")
    assert pim.practices is None
    assert (
        pim.sentence == "Pim's left foot does not strike at Carry and shoot in this practice: its question stays open."
    )


def test_the_plan_carries_what_to_bring_what_to_move_and_what_to_mind() -> None:
    plan = plan_practice(request_for(standard=standard_for(Federation.THE_FA, 12)))
    assert {item.name for item in plan.equipment} == {"goals", "flags", "flat cones", "balls", "bibs"}
    assert len(plan.changes) == len(plan.finishing)
    assert "Ball" not in plan.changes[0].moves[0]
    assert plan.changes[0].moves[0].startswith("Lane")
    kinds = [caution.kind for caution in plan.cautions]
    assert kinds[0] is CautionKind.WARM_UP
    assert {CautionKind.GOALS, CautionKind.LANES, CautionKind.HEADING, CautionKind.WEATHER, CautionKind.PAIN} <= set(
        kinds
    )
    heading = next(caution for caution in plan.cautions if caution.kind is CautionKind.HEADING)
    assert "5 headers" in heading.text


def test_a_lane_whose_stage_stays_is_left_alone() -> None:
    plan = plan_practice(request_for(*players_by_number(8, U11_U12)))
    assert plan.changes[1].moves == ()
    assert plan.changes[1].stays[1].startswith("Lanes 1, 2, 3, 4 as they are")


def test_goals_smaller_than_the_ladders_are_told_and_bring_the_spots_nearer() -> None:
    standard = standard_for(Federation.US_SOCCER, 8)
    carry = U8_U10.stages[4]
    players = [player(name, working(carry.name), working(carry.name)) for name in NAMES]
    told = plan_practice(request_for(*players, ladder=U8_U10, standard=standard))
    assert any("Say how wide your goals are" in remark for remark in told.remarks)
    small = replace(KIT, goal_width_m=1.83)
    plan = plan_practice(request_for(*players, ladder=U8_U10, standard=standard, equipment=small))
    shots = [foot.distance_m for _, lane, work in plan.work() for foot in work.feet if lane.stage == carry.name]
    assert not any("Say how wide" in remark for remark in plan.remarks)
    assert all(distance < carry.distance_m for distance in shots)


def test_the_table_has_a_row_for_every_part_and_stage() -> None:
    table = plan_table(plan_practice(request_for()))
    assert table.columns == [
        "stage", "minutes", "players", "distance_m", "target_width_m", "sets", "equipment", "cautions",
    ]  # fmt: skip
    assert table["stage"][0] == "warm-up"
    assert table["stage"][-1] == "game"
    assert table.filter(stage=STILL)["sets"][0].startswith("10, 5")


@pytest.mark.parametrize(
    ("changed", "reason"),
    [
        ({"equipment": replace(KIT, balls=0)}, "There is no ball"),
        ({"equipment": Equipment(gates=1, goals=0, cones=0)}, "that takes two goals"),
        ({"equipment": Equipment(gates=0, goals=2, cones=0)}, "there is no stage for Kaya"),
        (
            {"equipment": replace(KIT, balls=3)},
            r"8 players do not fit on what is at hand\. It would take 1 more ball\.",
        ),
        ({"space_width_m": 5.0}, r"needs \d+\.\d m of width, but the space is 5 m wide"),
    ],
)
def test_what_is_missing_is_named(changed: dict[str, object], reason: str) -> None:
    with pytest.raises(RequestError, match=reason):
        plan_practice(request_for(**changed))


def test_too_few_or_too_many_players_get_a_way_out() -> None:
    with pytest.raises(PlanImpossible, match=r"3 players: .* wait for more"):
        plan_practice(request_for(*SQUAD[:3]))
    with pytest.raises(PlanImpossible, match=r"25 players: .* make two groups"):
        plan_practice(request_for(*players_by_number(25, U11_U12)))


def test_a_player_who_is_due_cannot_be_watched_when_nobody_logs() -> None:
    long_ago = player("Ole", working(STILL, days=20), working(STILL, days=20))
    with pytest.raises(PlanImpossible, match=r"Ole should be watched today.*Nobody is here to log\."):
        plan_practice(request_for(*SQUAD, long_ago, loggers=0))


def test_a_foot_that_is_too_good_for_all_it_has_met_is_told() -> None:
    star = player("Star", working(SERVED, 0.99), working(SERVED, 0.6))
    plan = plan_practice(request_for(*SQUAD, star))
    assert any(remark.startswith("Star's left foot: no stage it has met") for remark in plan.remarks)
    assert check_plan(plan, request_for(*SQUAD, star)) == []


def test_two_players_of_one_name_or_at_no_stage_are_refused() -> None:
    with pytest.raises(RequestError, match="same name"):
        request_for(KAYA, KAYA)
    with pytest.raises(RequestError, match="Kaya is placed at 'Nowhere': no such stage"):
        request_for(player("Kaya", working("Nowhere"), working(STILL)))


# Changed by hand, and checked


def edited(plan: PracticePlan, part: int, change: Callable[[Part], Part]) -> PracticePlan:
    parts = list(plan.parts)
    parts[part] = change(parts[part])
    return replace(plan, parts=tuple(parts))


def with_lane(part: Part, change: Callable[[LaneWork], LaneWork]) -> Part:
    return replace(part, lanes=(change(part.lanes[0]), *part.lanes[1:]))


def with_foot(lane: LaneWork, foot: int, **changed: object) -> LaneWork:
    first, *others = lane.players
    feet = list(first.feet)
    feet[foot] = replace(feet[foot], **changed)  # type: ignore[arg-type]
    return replace(lane, players=(replace(first, feet=tuple(feet)), *others))


def no_lanes_alike(lane: LaneWork) -> LaneWork:
    return replace(lane, players=lane.players[1:])


@pytest.mark.parametrize(
    ("constraint", "change", "sentence"),
    [
        (
            Constraint.WARM_UP_FIRST,
            lambda plan: replace(plan, parts=plan.parts[1:]),
            "The practice does not begin with a warm-up.",
        ),
        (
            Constraint.WARM_UP_FIRST,
            lambda plan: edited(plan, 0, lambda part: replace(part, minutes=3)),
            "The warm-up lasts 3 minutes; give it at least 5.",
        ),
        (
            Constraint.ENDS_WITH_A_GAME,
            lambda plan: replace(plan, parts=plan.parts[:-1]),
            "The practice does not end with a game.",
        ),
        (
            Constraint.TIME,
            lambda plan: edited(plan, -1, lambda part: replace(part, minutes=20)),
            "The practice takes 79 minutes, but there are 75.",
        ),
        (
            Constraint.TIME,
            lambda plan: edited(plan, 2, lambda part: replace(part, starts_at=20)),
            "The finishing at minute 20 begins before the part before it has ended.",
        ),
        (
            Constraint.TIME,
            lambda plan: edited(plan, 1, lambda part: with_lane(part, lambda lane: with_foot(lane, 0, sets=(90,)))),
            "in 13 minutes there is room for about 97.",
        ),
        (
            Constraint.EVERYONE_WORKS,
            lambda plan: edited(plan, 1, lambda part: with_lane(part, no_lanes_alike)),
            "is in no lane at minute 14.",
        ),
        (
            Constraint.STAGES,
            lambda plan: edited(plan, 1, lambda part: with_lane(part, lambda lane: replace(lane, stage="Lob"))),
            "'Lob' is no stage of the ladder.",
        ),
        (
            Constraint.OTHER_FOOT,
            lambda plan: edited(plan, 1, lambda part: with_lane(part, lambda lane: with_foot(lane, 0, sets=()))),
            "with the left foot, the one to bring on; it should be at least 50%.",
        ),
        (
            Constraint.SUCCESS_BAND,
            lambda plan: edited(plan, 1, lambda part: with_lane(part, lambda lane: with_foot(lane, 1, distance_m=3.0))),
            "of 10 expected; 5 to 8 is the aim. Move the spot back, or change the stage.",
        ),
        (
            Constraint.WATCHED,
            lambda plan: replace(plan, focal_turns=(*plan.focal_turns, plan.focal_turns[0])),
            "Logger 1 is not there, or watches two lanes at once, at minute 14.",
        ),
        (
            Constraint.LANES,
            lambda plan: edited(
                plan, 1, lambda part: with_lane(part, lambda lane: with_foot(lane, 1, distance_m=30.0))
            ),
            "from so far that a wide strike would leave the lane.",
        ),
    ],
)
def test_a_plan_changed_by_hand_says_what_it_breaks(
    constraint: Constraint, change: Callable[[PracticePlan], PracticePlan], sentence: str
) -> None:
    request = request_for()
    plan = plan_practice(request)
    assert check_plan(plan, request) == []
    breaches = check_plan(change(plan), request)
    assert any(one.constraint is constraint and sentence in one.sentence for one in breaches), breaches


def test_a_second_new_stage_put_in_by_hand_is_told_with_the_players_it_is_new_to() -> None:
    request = request_for()
    plan = plan_practice(request)
    for part, stage in ((1, CARRY), (2, LAY_OFF)):
        plan = edited(plan, part, lambda one, stage=stage: with_lane(one, lambda lane: replace(lane, stage=stage)))  # type: ignore[misc]
    told = [one.sentence for one in check_plan(plan, request) if one.constraint is Constraint.ONE_NEW_STAGE]
    assert len(told) == 1
    assert told[0].startswith("2 stages are new today, and one is enough: Carry and shoot (for ")


def test_all_players_at_two_goals_need_shorter_queues_or_gates() -> None:
    request = request_for(*players_by_number(14, U11_U12))
    plan = plan_practice(request)
    everyone = tuple(work for lane in plan.finishing[0].lanes for work in lane.players)
    crowded = LaneWork(number=1, stage=SERVED, players=everyone)
    breaches = check_plan(edited(plan, 1, lambda part: replace(part, lanes=(crowded,))), request)
    assert "Lane 1 at minute 14 has 14 players; six is the most." in [one.sentence for one in breaches]


def test_less_equipment_than_the_plan_takes_is_told() -> None:
    request = request_for()
    plan = plan_practice(request)
    told = [
        one.sentence
        for one in check_plan(plan, replace(request, equipment=Equipment(gates=1, goals=2, balls=4, cones=0)))
    ]
    assert any("the plan takes 4 gates, but there are 1" in sentence for sentence in told)


def test_ladders_that_ship_are_found_by_age_and_others_asked_for() -> None:
    assert [ladder_for_age(age).name for age in (8, 10, 11, 12, 13, 18)] == [
        "U8–U10", "U8–U10", "U11–U12", "U11–U12", "U13–U18", "U13–U18",
    ]  # fmt: skip
    with pytest.raises(RequestError, match="No ladder that ships is for U7"):
        ladder_for_age(7)
