"""Who works at which stage in which block: a mixed-integer linear program over the stated constraints.

It takes what brings most (see ``choices``), asks for each foot's own stage at least once, prefers few players in a
lane and few stages at a time, and goes from near to far.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from dataclasses import field as dataclass_field
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
MISSED_COST = 1000.0


class Shortage(Enum):
    """What there can be too little of."""

    GATE = "gates"
    GOAL = "goals"
    LANE_WITH_BALLS = "lanes with balls"
    LANE = "lanes side by side"


@dataclass(frozen=True, kw_only=True, slots=True)
class Assignment:
    """The choice of every player in every block, lanes by block and stage name, and what it would still take.

    ``chosen[block][player]``; ``lanes[block][stage]``; ``watched[block]`` are players to be watched in a block.
    """

    chosen: list[list[Choice]]
    lanes: list[dict[str, int]]
    watched: list[set[int]]
    short_of: dict[Shortage, int] = dataclass_field(default_factory=dict)


@dataclass(frozen=True, kw_only=True, slots=True)
class _Variables:
    """Numbers of the program's variables: by (block, choice), (block, stage), and (block, due player)."""

    works: dict[tuple[int, int, str], int]
    lanes: dict[tuple[int, str], int]
    watched: dict[tuple[int, int], list[int]]
    short: dict[Shortage, int]


def due_players(request: PlanRequest) -> list[int]:
    """Players who must be watched today, for by the next practice a fortnight would have passed."""
    return [
        number
        for number, player in enumerate(request.players)
        if player.days_since_observed + request.days_to_next_practice > FORTNIGHT_DAYS
    ]


def assign(
    request: PlanRequest, field: SetUp, table: Timetable, options: Sequence[Sequence[Choice]]
) -> Assignment | None:
    """The best assignment, or None when nothing fits."""
    return _solved(request, field, table, options, may_be_short=False)


def shortages(
    request: PlanRequest, field: SetUp, table: Timetable, options: Sequence[Sequence[Choice]]
) -> dict[Shortage, int]:
    """What would have to be brought for a plan to fit; empty when nothing would help."""
    found = _solved(request, field, table, options, may_be_short=True)
    return {what: count for what, count in found.short_of.items() if count} if found else {}


def _solved(
    request: PlanRequest,
    field: SetUp,
    table: Timetable,
    options: Sequence[Sequence[Choice]],
    *,
    may_be_short: bool,
) -> Assignment | None:
    program = Program()
    stages = {choice.stage.name: choice.stage for own in options for choice in own}
    kinds = {name: kind for name, stage in stages.items() if (kind := lane_kind(stage)) is not None}
    blocks = range(table.blocks)
    works = {
        (block, choice.player, choice.stage.name): program.variable(worth=choice.value)
        for block in blocks
        for own in options
        for choice in own
    }
    most = _most_lanes(request, field, may_be_short=may_be_short)
    lanes = {
        (block, name): program.variable(most=most[kind], worth=LANE_WORTH)
        for block in blocks
        for name, kind in kinds.items()
    }
    short = {what: program.variable(most=MOST_PLAYERS if may_be_short else 0, worth=-MISSED_COST) for what in Shortage}
    variables = _Variables(works=works, lanes=lanes, watched={}, short=short)
    for block in blocks:
        _everyone_works(program, variables, block, options)
        _fit_lanes(program, variables, block, field, request, kinds)
    _one_new_stage(program, variables, options, blocks=table.blocks)
    _other_foot(program, variables, options, blocks=table.blocks, share=request.phase.other_foot_share)
    _watch_the_due(program, variables, request, table, options)
    _own_stages(program, variables, request, field, options, blocks=table.blocks)
    _near_to_far(program, variables, options, blocks=table.blocks)
    answer = program.solve()
    if answer is None:
        return None
    chosen = [[next(c for c in own if answer[works[b, c.player, c.stage.name]]) for own in options] for b in blocks]
    return Assignment(
        chosen=chosen,
        lanes=[{name: int(answer[lanes[block, name]]) for name in stages} for block in blocks],
        watched=[
            {player for (at, player), parts in variables.watched.items() if at == block and answer[parts].sum() > 0.5}
            for block in blocks
        ],
        short_of={what: int(answer[number]) for what, number in short.items()},
    )


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


def _everyone_works(program: Program, variables: _Variables, block: int, options: Sequence[Sequence[Choice]]) -> None:
    for own in options:
        program.between([(variables.works[block, c.player, c.stage.name], 1) for c in own], low=1, high=1)


def _fit_lanes(
    program: Program,
    variables: _Variables,
    block: int,
    field: SetUp,
    request: PlanRequest,
    kinds: dict[str, LaneKind],
) -> None:
    """Lanes hold two to six players each, fit beside one another, and have a gate or goal and balls."""
    by_kind: dict[LaneKind, list[int]] = {kind: [] for kind in LaneKind}
    for name, kind in kinds.items():
        lane = variables.lanes[block, name]
        by_kind[kind].append(lane)
        players = [number for (at, _, stage), number in variables.works.items() if (at, stage) == (block, name)]
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
    gates, rallies, goals = (by_kind[kind] for kind in LaneKind)
    short, stride = variables.short, field.rally_stride
    has_gates, has_rallies = program.variable(), program.variable()
    wide = [(one, 1.0) for one in gates] + [(one, float(stride)) for one in rallies]
    program.between([*wide, (has_gates, stride - 1), (short[Shortage.LANE], -1)], high=field.lanes + stride - 1)
    for kind_lanes, has_any in ((gates, has_gates), (rallies, has_rallies)):
        for lane in kind_lanes:
            program.between([(lane, 1), (has_any, -program.most[lane])], high=0)
    gate_count = request.equipment.gates_that_can_be_made
    program.between([*((one, 1) for one in (*gates, *rallies)), (short[Shortage.GATE], -1)], high=gate_count)
    struck = [(one, 1) for one in goals]
    program.between([*struck, (short[Shortage.GOAL], -1)], high=field.goals)
    program.between([*struck, (has_gates, 1), (has_rallies, 2)], high=2)
    lanes = [(one, 1) for one in (*gates, *rallies, *goals)]
    program.between([*lanes, (short[Shortage.LANE_WITH_BALLS], -1)], high=request.equipment.lanes_with_balls)


def _one_new_stage(
    program: Program, variables: _Variables, options: Sequence[Sequence[Choice]], *, blocks: int
) -> None:
    new = [choice for own in options for choice in own if choice.is_new]
    markers = {name: program.variable() for name in dict.fromkeys(choice.stage.name for choice in new)}
    for choice in new:
        for block in range(blocks):
            work = variables.works[block, choice.player, choice.stage.name]
            program.between([(work, 1), (markers[choice.stage.name], -1)], high=0)
    program.between([(marker, 1) for marker in markers.values()], high=1)


def _other_foot(
    program: Program, variables: _Variables, options: Sequence[Sequence[Choice]], *, blocks: int, share: float
) -> None:
    """Enough blocks in which the other foot may work; where both may, it can be given all strikes of a block."""
    for own in options:
        work = [
            (variables.works[block, choice.player, choice.stage.name], 1)
            for block in range(blocks)
            for choice in own
            if choice.has_other_foot
        ]
        program.between(work, low=share * blocks)


def _watch_the_due(
    program: Program,
    variables: _Variables,
    request: PlanRequest,
    table: Timetable,
    options: Sequence[Sequence[Choice]],
) -> None:
    """Everyone who is due works in a lane that is watched; what cannot be is found out later, with the reason."""
    due = due_players(request)
    turns_a_block = request.loggers * (table.block // TURN_MIN)
    stages = {choice.stage.name for player in due for choice in options[player]}
    turns = {(b, name): program.variable(most=turns_a_block) for b in range(table.blocks) for name in stages}
    seen: dict[tuple[int, str], list[int]] = {key: [] for key in turns}
    for player in due:
        parts = []
        for block in range(table.blocks):
            variables.watched[block, player] = []
            for choice in options[player]:
                part = program.variable(is_whole=False)
                program.between([(part, 1), (variables.works[block, player, choice.stage.name], -1)], high=0)
                seen[block, choice.stage.name].append(part)
                variables.watched[block, player].append(part)
                parts.append(part)
        missed = program.variable(worth=-MISSED_COST / 10, is_whole=False)
        program.between([*((part, 1) for part in parts), (missed, 1)], low=1)
    for (block, name), parts in seen.items():
        # A lane that is watched holds two players who are due at least; when all lanes of a stage are, all there are.
        turn, lane, is_all = turns[block, name], variables.lanes[block, name], program.variable()
        program.between([*((part, 1) for part in parts), (turn, -2), (is_all, -len(parts))], high=0)
        program.between([(lane, 1), (turn, -1), (is_all, program.most[lane])], high=program.most[lane])
    for block in range(table.blocks):
        program.between([(turns[block, name], 1) for name in stages], high=turns_a_block)


def _own_stages(
    program: Program,
    variables: _Variables,
    request: PlanRequest,
    field: SetUp,
    options: Sequence[Sequence[Choice]],
    *,
    blocks: int,
) -> None:
    """Worth more when each foot gets to the stage it works at, for there its question is answered."""
    for player, own in zip(request.players, options, strict=True):
        for foot in Foot:
            name = working_stage(player, foot, field.ladder).name
            there = [choice for choice in own if choice.stage.name == name]
            if there:
                reached = program.variable(worth=OWN_STAGE_WORTH, is_whole=False)
                work = [(variables.works[block, there[0].player, name], -1) for block in range(blocks)]
                program.between([(reached, 1), *work], high=0)


def _near_to_far(program: Program, variables: _Variables, options: Sequence[Sequence[Choice]], *, blocks: int) -> None:
    """Blocks in the order of the ladder, taken over all players."""
    for block in range(blocks - 1):
        terms = [
            (variables.works[at, choice.player, choice.stage.name], sign * choice.stage.position)
            for own in options
            for choice in own
            for at, sign in ((block, 1), (block + 1, -1))
        ]
        program.between(terms, high=0)
