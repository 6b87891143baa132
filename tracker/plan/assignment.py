"""Who works at which stage in which block: a mixed-integer linear program a block, over the stated constraints.

A program takes what brings most (see ``choices``), more where a foot has not yet been at its own stage, and prefers few
players in a lane and few stages at a time. Block follows block: each knows what the ones before it have used up. At the
end the blocks are put in the order of the ladder, near to far.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum

from tracker.domain.setup import LaneKind, SetUp, lane_kind
from tracker.domain.vocabulary import Foot
from tracker.plan.choices import Choice, working_stage
from tracker.plan.program import Program
from tracker.plan.request import MOST_PLAYERS, PlanRequest
from tracker.plan.timetable import Timetable

MOST_A_LANE, GOOD_A_LANE = 6, 4
"""Players in one lane: the most, and the most without waiting long. Common practice, no source."""
TURN_MIN = 5
"""A focal turn: one logger watches one lane for so long, whatever happens there (Altmann 1974, Behaviour 49:227)."""
FORTNIGHT_DAYS = 14
OWN_STAGE_WORTH, LANE_WORTH, STAGE_COST, LONER_COST = 1.5, 0.15, 0.3, 1.0
MISSED_COST, UNWATCHED_COST = 1000.0, 10.0
_Works = dict[tuple[int, str], int]
"""Variables that say whether a player works at a stage, by player and stage name."""


class Shortage(Enum):
    """What there can be too little of."""

    GATE = "gates"
    GOAL = "goals"
    LANE_WITH_BALLS = "lanes with balls"
    LANE = "lanes side by side"


@dataclass(frozen=True, kw_only=True, slots=True)
class BlockAssignment:
    """One block: the choice of every player, lanes by stage name, the players who are to be watched in it, and what it
    would still take (nothing, but where that was asked for)."""

    chosen: list[Choice]
    lanes: dict[str, int]
    watched: set[int]
    short_of: dict[Shortage, int]


@dataclass(frozen=True, kw_only=True, slots=True)
class _SoFar:
    """What earlier blocks have used up, and what is still to do.

    ``turns`` are focal turns a block; ``spare[player]`` the blocks a player may still work with the preferred foot
    alone; ``to_reach`` the own stages not yet reached; ``to_watch`` the players still to be watched today.
    """

    turns: int
    new_stage: str | None
    spare: dict[int, int]
    to_reach: set[tuple[int, Foot, str]]
    to_watch: set[int]


def due_players(request: PlanRequest) -> list[int]:
    """Players who must be watched today, for by the next practice a fortnight would have passed."""
    return [
        number
        for number, player in enumerate(request.players)
        if player.days_since_observed + request.days_to_next_practice > FORTNIGHT_DAYS
    ]


def assign(
    request: PlanRequest, field: SetUp, table: Timetable, options: Sequence[Sequence[Choice]]
) -> list[BlockAssignment] | None:
    """The assignment of every block, near to far, or None when nothing fits."""
    spare = table.blocks - math.ceil(request.phase.other_foot_share * table.blocks)
    for allowed in dict.fromkeys((spare, 0)):  # blocks with the preferred foot alone must not leave others stuck later
        blocks = _block_after_block(request, field, table, options, spare=allowed)
        if blocks is not None:
            return sorted(blocks, key=lambda block: sum(choice.stage.position for choice in block.chosen))
    return None


def shortages(
    request: PlanRequest, field: SetUp, table: Timetable, options: Sequence[Sequence[Choice]]
) -> dict[Shortage, int]:
    """What would have to be brought for a plan to fit; empty when nothing would help."""
    start = _start(request, field, table, spare=0)
    block = _solved(request, field, options, start, may_be_short=True)
    return {what: count for what, count in block.short_of.items() if count} if block else {}


def _start(request: PlanRequest, field: SetUp, table: Timetable, *, spare: int) -> _SoFar:
    own = {
        (number, foot, working_stage(player, foot, field.ladder).name)
        for number, player in enumerate(request.players)
        for foot in Foot
    }
    return _SoFar(
        turns=request.loggers * (table.block // TURN_MIN),
        new_stage=None,
        spare=dict.fromkeys(range(len(request.players)), spare),
        to_reach=own,
        to_watch=set(due_players(request)),
    )


def _block_after_block(
    request: PlanRequest, field: SetUp, table: Timetable, options: Sequence[Sequence[Choice]], *, spare: int
) -> list[BlockAssignment] | None:
    so_far, blocks = _start(request, field, table, spare=spare), []
    for _ in range(table.blocks):
        block = _solved(request, field, options, so_far, may_be_short=False)
        if block is None:
            return None
        blocks.append(block)
        new = {choice.stage.name for choice in block.chosen if choice.is_new}
        reached = {(choice.player, foot.foot, choice.stage.name) for choice in block.chosen for foot in choice.feet}
        so_far = replace(
            so_far,
            new_stage=next(iter(new), so_far.new_stage),
            spare={choice.player: so_far.spare[choice.player] - (not choice.has_other_foot) for choice in block.chosen},
            to_reach=so_far.to_reach - reached,
            to_watch=so_far.to_watch - block.watched,
        )
    return blocks


def _solved(
    request: PlanRequest,
    field: SetUp,
    options: Sequence[Sequence[Choice]],
    so_far: _SoFar,
    *,
    may_be_short: bool,
) -> BlockAssignment | None:
    """The best block after what came before it, or None when nothing fits."""
    allowed = [[choice for choice in own if _is_allowed(choice, so_far)] for own in options]
    if not all(allowed):
        return None
    program = Program()
    works = {
        (choice.player, choice.stage.name): program.variable(worth=_worth(choice, so_far))
        for own in allowed
        for choice in own
    }
    stages = {choice.stage.name: choice.stage for own in allowed for choice in own}
    kinds = {name: kind for name, stage in stages.items() if (kind := lane_kind(stage)) is not None}
    most = _most_lanes(request, field, may_be_short=may_be_short)
    lanes = {name: program.variable(most=most[kind], worth=LANE_WORTH) for name, kind in kinds.items()}
    short = {what: program.variable(most=MOST_PLAYERS if may_be_short else 0, worth=-MISSED_COST) for what in Shortage}
    for own in allowed:
        program.between([(works[choice.player, choice.stage.name], 1) for choice in own], low=1, high=1)
    _fill_lanes(program, works, lanes)
    _fit_lanes(program, lanes, kinds, short, field, request)
    _one_new_stage(program, works, allowed)
    watched = _watch_the_due(program, works, lanes, so_far)
    answer = program.solve()
    if answer is None:
        return None
    return BlockAssignment(
        chosen=[next(choice for choice in own if answer[works[choice.player, choice.stage.name]]) for own in allowed],
        lanes={name: int(answer[lane]) for name, lane in lanes.items()},
        watched={player for player, parts in watched.items() if answer[parts].sum() > 0.5},
        short_of={what: int(answer[number]) for what, number in short.items()},
    )


def _is_allowed(choice: Choice, so_far: _SoFar) -> bool:
    """Whether a choice leaves room for the one new stage and for the other foot's share."""
    is_second_new = choice.is_new and so_far.new_stage not in (None, choice.stage.name)
    return not is_second_new and (choice.has_other_foot or so_far.spare[choice.player] > 0)


def _worth(choice: Choice, so_far: _SoFar) -> float:
    """What a choice brings; more for each foot that reaches the stage where its question is answered."""
    reached = sum((choice.player, foot.foot, choice.stage.name) in so_far.to_reach for foot in choice.feet)
    return choice.value + OWN_STAGE_WORTH * reached


def _most_lanes(request: PlanRequest, field: SetUp, *, may_be_short: bool) -> dict[LaneKind, int]:
    """The most lanes one stage can have, by the kind of its lanes; the tighter, the quicker the program is solved."""
    pairs = -(-len(request.players) // 2)
    if may_be_short:
        return dict.fromkeys(LaneKind, MOST_PLAYERS)
    return {
        LaneKind.GATE: min(pairs, field.lanes),
        LaneKind.RALLY: min(pairs, (field.lanes + field.rally_stride - 1) // field.rally_stride),
        LaneKind.GOAL: min(pairs, field.goals),
    }


def _fill_lanes(program: Program, works: _Works, lanes: dict[str, int]) -> None:
    """Lanes hold two to six players each; a single one, or more than four, are put up with."""
    for name, lane in lanes.items():
        players = [number for (_, stage), number in works.items() if stage == name]
        everyone = [(number, 1.0) for number in players]
        is_used = program.variable(worth=-STAGE_COST)
        is_alone = program.variable(worth=-LONER_COST)
        long_wait = program.variable(most=MOST_PLAYERS, worth=-LANE_WORTH, is_whole=False)
        program.between([*everyone, (lane, -MOST_A_LANE)], high=0)
        program.between([*everyone, (lane, -GOOD_A_LANE), (long_wait, -1)], high=0)
        program.between([*everyone, (lane, -2), (is_alone, 1)], low=0)
        program.between([(lane, 1), (is_used, -program.most[lane])], high=0)
        program.between([(lane, 1), (is_used, -1)], low=0)
        for player in players:
            program.between([(player, 1), (is_used, -1)], high=0)


def _fit_lanes(
    program: Program,
    lanes: dict[str, int],
    kinds: dict[str, LaneKind],
    short: dict[Shortage, int],
    field: SetUp,
    request: PlanRequest,
) -> None:
    """Lanes fit beside one another (see ``setup_lanes.arrange``), and each has a gate or goal, and balls."""
    gates, rallies, goals = ([lanes[name] for name, one in kinds.items() if one is kind] for kind in LaneKind)
    has_gates, has_rallies = program.variable(), program.variable()
    for own, has_any in ((gates, has_gates), (rallies, has_rallies)):
        for lane in own:
            program.between([(lane, 1), (has_any, -program.most[lane])], high=0)
    stride = field.rally_stride
    wide = [*((one, 1.0) for one in gates), *((one, float(stride)) for one in rallies)]
    program.between([*wide, (has_gates, stride - 1), (short[Shortage.LANE], -1)], high=field.lanes + stride - 1)
    program.between([*((one, 1) for one in goals), (has_gates, 1), (has_rallies, 2)], high=2)
    for what, needing, there in (
        (Shortage.GATE, (*gates, *rallies), request.equipment.gates_that_can_be_made),
        (Shortage.GOAL, goals, field.goals),
        (Shortage.LANE_WITH_BALLS, (*gates, *rallies, *goals), request.equipment.lanes_with_balls),
    ):
        program.between([*((one, 1) for one in needing), (short[what], -1)], high=there)


def _one_new_stage(program: Program, works: _Works, options: Sequence[Sequence[Choice]]) -> None:
    new = [choice for own in options for choice in own if choice.is_new]
    markers = {name: program.variable() for name in dict.fromkeys(choice.stage.name for choice in new)}
    for choice in new:
        program.between([(works[choice.player, choice.stage.name], 1), (markers[choice.stage.name], -1)], high=0)
    program.between([(marker, 1) for marker in markers.values()], high=1)


def _watch_the_due(program: Program, works: _Works, lanes: dict[str, int], so_far: _SoFar) -> dict[int, list[int]]:
    """Those to watch work in lanes that are watched, as far as turns go; who is left over is watched in a later block,
    or found out by the check. Returns the variables that say so, by player."""
    turns = {name: program.variable(most=so_far.turns) for name in lanes}
    watched: dict[int, list[int]] = {}
    for name, turn in turns.items():
        seen = []
        for player in so_far.to_watch:
            if (player, name) in works:
                part = program.variable(is_whole=False)
                program.between([(part, 1), (works[player, name], -1)], high=0)
                watched.setdefault(player, []).append(part)
                seen.append((part, 1.0))
        # A lane that is watched holds two players who are due at least; when all lanes of a stage are, all there are.
        lane, is_all = lanes[name], program.variable()
        program.between([*seen, (turn, -2), (is_all, -len(seen))], high=0)
        program.between([(lane, 1), (turn, -1), (is_all, program.most[lane])], high=program.most[lane])
    program.between([(turn, 1) for turn in turns.values()], high=so_far.turns)
    for parts in watched.values():
        missed = program.variable(worth=-UNWATCHED_COST, is_whole=False)
        program.between([*((part, 1) for part in parts), (missed, 1)], low=1)
    return watched
