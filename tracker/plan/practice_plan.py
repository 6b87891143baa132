"""The next practice: which stages for whom, for how long and from how far, with which foot, watched by whom.

A mixed-integer program settles who works where (``assignment``); what it leaves open follows plain rules. A plan is
checked against every stated constraint before it is given out, and can be changed by hand and checked again.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from tracker.domain.cautions import practice_cautions
from tracker.domain.practice_plan import Activity, ExpectedStrikes, FocalTurn, LaneWork, Part, PracticePlan
from tracker.domain.setup import SetUp
from tracker.domain.setup_changes import BALLS_A_LANE, EquipmentItem, equipment_for, length_words
from tracker.domain.vocabulary import Foot
from tracker.plan.assignment import GOOD_A_LANE, BlockAssignment, Shortage, assign, due_players, shortages
from tracker.plan.choices import Choice, choices, field_for, foot_choices
from tracker.plan.constraints import check_plan
from tracker.plan.focal_turns import focal_turns
from tracker.plan.lane_work import lanes_of_block, with_share_kept
from tracker.plan.layout import part_changes
from tracker.plan.questions import open_questions
from tracker.plan.request import FEWEST_PLAYERS, MOST_PLAYERS, PlanImpossible, PlanRequest
from tracker.plan.timetable import CHANGE_OVER_MIN, MOST_BLOCKS_OF_ONE_STAGE, Timetable, timetable

TEAM_SIZE = 5
WARM_UP_WORDS = "Jog, turn, jump and balance; then easy passes with both feet, the power built up strike by strike."
_SHORT_WORDS = {
    Shortage.GATE: ("1 more gate", "{} more gates", " (two flags or two cones make one)"),
    Shortage.GOAL: ("1 more goal", "{} more goals", ""),
    Shortage.LANE_WITH_BALLS: ("1 more ball", "{} more balls", ""),
    Shortage.LANE: ("room for 1 more lane", "room for {} more lanes", " side by side"),
}


def plan_practice(request: PlanRequest) -> PracticePlan:
    """The plan for a practice. Raises PlanImpossible with the reason when nothing fits."""
    table = timetable(request.minutes)
    _check_possible(request)
    field = field_for(request)
    options = choices(request, field)
    if all(len(own) <= 1 for own in options):
        table = timetable(request.minutes, most_blocks=MOST_BLOCKS_OF_ONE_STAGE)
    for player, own in zip(request.players, options, strict=True):
        if not own:
            raise PlanImpossible(
                f"With what is at hand there is no stage for {player.name}: gates take two flags or two cones each, "
                "strikes at goal take a goal."
            )
    assignment = assign(request, field, table, options)
    if assignment is None:
        raise PlanImpossible(_what_is_short(request, field, table, options))
    plan = plan_of_parts(request, field, _parts(request, table, assignment))
    if breaches := check_plan(plan, request):
        raise PlanImpossible("Nothing fits all that a plan keeps. " + " ".join(one.sentence for one in breaches))
    return plan


def _check_possible(request: PlanRequest) -> None:
    """Refuses what no assignment could mend."""
    count, equipment = len(request.players), request.equipment
    if not FEWEST_PLAYERS <= count <= MOST_PLAYERS:
        way_out = "wait for more" if count < FEWEST_PLAYERS else "make two groups"
        raise PlanImpossible(
            f"{count} players: a practice off one set-up is for {FEWEST_PLAYERS} to {MOST_PLAYERS}; {way_out}."
        )
    if not equipment.balls:
        raise PlanImpossible("There is no ball. Two a lane are good; one will do for one lane.")
    if equipment.goals + equipment.gates_that_can_be_made < 2:
        raise PlanImpossible("A practice ends with a game, and that takes two goals, or two flags or cones for each.")


def _what_is_short(request: PlanRequest, field: SetUp, table: Timetable, options: Sequence[Sequence[Choice]]) -> str:
    short = shortages(request, field, table, options)
    if not short:
        return (
            "Nothing fits all that a plan keeps: one new stage at most, the other foot's share, and every foot at a "
            "stage that is neither too hard nor too easy. Look at where the players are placed."
        )
    if lanes := short.get(Shortage.LANE_WITH_BALLS):
        equipment = request.equipment
        short[Shortage.LANE_WITH_BALLS] = BALLS_A_LANE * (equipment.lanes_with_balls + lanes) - equipment.balls
    listed = " and ".join(
        (one if count == 1 else many.format(count)) + note
        for what, count in short.items()
        for one, many, note in (_SHORT_WORDS[what],)
    )
    return f"{len(request.players)} players do not fit on what is at hand. It would take {listed}."


def plan_of_parts(request: PlanRequest, field: SetUp, parts: Sequence[Part]) -> PracticePlan:
    """The plan with these parts: turns, expected strikes, questions, equipment and changes follow from them."""
    finishing = [part for part in parts if part.activity is Activity.FINISHING]
    due = {request.players[number].name for number in due_players(request)}
    turns = focal_turns(request, finishing, due=due)
    planned, watched = strikes_by_stage(finishing, turns)
    return PracticePlan(
        held_on=request.held_on,
        minutes=request.minutes,
        field=field,
        parts=tuple(parts),
        focal_turns=turns,
        expected_strikes=_expected(request, planned, watched),
        questions=open_questions(
            request, field.ladder, planned=planned, recorded=planned if request.calls_out_sets else watched
        ),
        equipment=_equipment(request, field, finishing),
        changes=part_changes(field, finishing, unit=request.unit),
        cautions=practice_cautions(request.standard, has_goals=request.equipment.goals > 0),
        remarks=_remarks(request, field, finishing),
    )


def _parts(request: PlanRequest, table: Timetable, assignment: Sequence[BlockAssignment]) -> tuple[Part, ...]:
    return (
        Part(activity=Activity.WARM_UP, starts_at=0, minutes=table.warm_up, what=WARM_UP_WORDS),
        *_finishing(request, table, assignment),
        Part(activity=Activity.GAME, starts_at=table.total - table.game, minutes=table.game, what=_game_words(request)),
    )


def _finishing(request: PlanRequest, table: Timetable, assignment: Sequence[BlockAssignment]) -> list[Part]:
    parts = []
    for block in range(table.blocks):
        lanes = lanes_of_block(request, assignment, block, minutes=table.block)
        parts.append(
            Part(
                activity=Activity.FINISHING,
                starts_at=table.warm_up + CHANGE_OVER_MIN + block * (table.block + CHANGE_OVER_MIN),
                minutes=table.block,
                what=finishing_words(lanes),
                lanes=lanes,
            )
        )
    return with_share_kept(parts, request)


def finishing_words(lanes: Sequence[LaneWork]) -> str:
    """What a block of finishing is, in words: its stages."""
    *others, last = dict.fromkeys(lane.stage for lane in lanes)
    stages = f"{', '.join(others)} and {last}" if others else last
    return f"{stages}: sets with one foot, then the other."


def strikes_by_stage(
    finishing: Sequence[Part], turns: Sequence[FocalTurn]
) -> tuple[Counter[tuple[str, Foot, str]], Counter[tuple[str, Foot, str]]]:
    """Strikes planned, and those of them in a lane that a logger watches then; by player, foot and stage."""
    minutes: Counter[tuple[int, int]] = Counter()
    for turn in turns:
        minutes[turn.block, turn.lane] += turn.minutes
    planned: Counter[tuple[str, Foot, str]] = Counter()
    watched: Counter[tuple[str, Foot, str]] = Counter()
    for block, part in enumerate(finishing, start=1):
        for lane in part.lanes:
            share = min(minutes[block, lane.number] / part.minutes, 1.0)
            for one in lane.players:
                for foot in one.feet:
                    planned[one.player, foot.foot, lane.stage] += foot.strikes
                    watched[one.player, foot.foot, lane.stage] += math.floor(foot.strikes * share)
    return planned, watched


def _expected(
    request: PlanRequest, planned: Counter[tuple[str, Foot, str]], watched: Counter[tuple[str, Foot, str]]
) -> tuple[ExpectedStrikes, ...]:
    def of(strikes: Counter[tuple[str, Foot, str]], name: str, foot: Foot) -> int:
        return sum(count for (player, one, _), count in strikes.items() if (player, one) == (name, foot))

    return tuple(
        ExpectedStrikes(
            player=player.name,
            foot=foot,
            strikes=of(planned, player.name, foot),
            watched=of(watched, player.name, foot),
        )
        for player in request.players
        for foot in Foot
    )


def _equipment(request: PlanRequest, field: SetUp, finishing: Sequence[Part]) -> tuple[EquipmentItem, ...]:
    """What the plan takes: the gates of the part with most of them."""
    gates = max(
        sum(stage.target.is_gate for lane in part.lanes if (stage := field.ladder.stage_named(lane.stage)))
        for part in finishing
    )
    return equipment_for(replace(field, lanes=gates), players=len(request.players))


def _game_words(request: PlanRequest) -> str:
    count, goals = len(request.players), request.equipment.goals
    teams = max(2, math.ceil(count / TEAM_SIZE))
    targets = "two goals" if goals >= 2 else "a goal and a gate" if goals else "two gates"
    taking_turns = "" if teams == 2 else ", two teams at a time, changing every three minutes"
    return f"Small game to {targets}: {teams} teams of about {round(count / teams)}{taking_turns}. Free choice of foot."


def _remarks(request: PlanRequest, field: SetUp, finishing: Sequence[Part]) -> tuple[str, ...]:
    """What a coach should know besides the plan."""
    remarks = list(field.notes)
    goal = request.standard.goal if request.standard else None
    goal_widths = [stage.target.width_m for stage in field.ladder.stages if not stage.target.is_gate]
    if goal and goal_widths and request.equipment.goal_width_m is None and goal.width.metres < max(goal_widths) - 0.1:
        remarks.append(
            f"The ladder's goal is {length_words(max(goal_widths), request.unit)} wide, the goal for "
            f"{request.standard.age_label if request.standard else ''} {goal.width.printed}. "
            "Say how wide your goals are, and the spots come nearer."
        )
    if goal_widths and request.equipment.goal_width_m is not None:
        remarks.append(
            f"The goals are {length_words(max(goal_widths), request.unit)} wide: strikes at goal come from where they "
            "show the same angle as the ladder's."
        )
    alone = [lane.players[0].player for part in finishing for lane in part.lanes if len(lane.players) == 1]
    if alone:
        remarks.append(f"Alone in a lane for a block: {', '.join(dict.fromkeys(alone))}. An adult serves and collects.")
    if any(len(lane.players) > GOOD_A_LANE for part in finishing for lane in part.lanes):
        remarks.append(
            f"More than {GOOD_A_LANE} players share a lane: waiting is long. More gates or balls would help."
        )
    unknown = sum(player.preferred_foot.foot is None for player in request.players)
    if unknown:
        remarks.append(
            f"{unknown} player{'s name' if unknown > 1 else ' names'} no one preferred foot: the foot with fewer "
            "strikes is brought on."
        )
    for player in request.players:
        for foot in Foot:
            if any(one.is_owed for one in foot_choices(player, foot, field, unit=request.unit).values()):
                remarks.append(
                    f"{player.name}'s {foot.value} foot: no stage it has met is neither too easy nor too hard from "
                    "where the lanes allow. Look at where it is placed."
                )
    return tuple(remarks)
