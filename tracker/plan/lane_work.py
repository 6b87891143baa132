"""From an assignment to lanes of players with their sets."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import chain, zip_longest

from tracker.domain.ladder import Stage
from tracker.domain.setup import LaneKind, lane_kind
from tracker.domain.vocabulary import Foot
from tracker.plan.assignment import Assignment
from tracker.plan.choices import Choice
from tracker.plan.practice import FootWork, LaneWork, Part, PlayerWork
from tracker.plan.request import PlanRequest, PresentPlayer

STRIKE_SECONDS = 8
"""Between two strikes in one lane. Common practice, no source."""
MOST_SETS = 4
"""A foot strikes no more sets than this in one block; what time is left is for words and water. Our own choice."""
_LANE_ORDER = (LaneKind.RALLY, LaneKind.GATE, LaneKind.GOAL)


def lanes_of_block(request: PlanRequest, assignment: Assignment, block: int, *, minutes: int) -> tuple[LaneWork, ...]:
    """The lanes of a block, numbered as they are laid out. Who shares one is settled by the stage, by who is to be
    watched, by preferred feet and by the order of the squad; never by a rate."""
    stages = {choice.stage.name: choice.stage for choice in assignment.chosen[block]}
    lanes: list[LaneWork] = []
    for stage in sorted(stages.values(), key=_place_of_lane):
        here = [choice for choice in assignment.chosen[block] if choice.stage is stage]
        due = [choice for choice in here if choice.player in assignment.watched[block]]
        rest = [choice for choice in here if choice.player not in assignment.watched[block]]
        seated = [*_feet_mixed(due, request.players), *_feet_mixed(rest, request.players)]
        for group in _shared_out(seated, assignment.lanes[block][stage.name]):
            strikes = minutes * 60 // (STRIKE_SECONDS * len(group))
            players = tuple(_work(choice, request, strikes=strikes) for choice in group)
            lanes.append(LaneWork(number=len(lanes) + 1, stage=stage.name, players=players))
    return tuple(lanes)


def _place_of_lane(stage: Stage) -> tuple[int, int]:
    """Rallies, then gates, then goals, as they are numbered on the field; each kind in the order of the ladder."""
    return _LANE_ORDER.index(lane_kind(stage) or LaneKind.GATE), stage.position


def _feet_mixed(choices: Sequence[Choice], players: Sequence[PresentPlayer]) -> list[Choice]:
    """The same players with those who bring on their left foot and those who bring on their right in turn."""
    left, right = (
        [choice for choice in choices if players[choice.player].other_foot is foot] for foot in (Foot.LEFT, Foot.RIGHT)
    )
    return [one for one in chain.from_iterable(zip_longest(left, right)) if one is not None]


def _shared_out(seated: list[Choice], lanes: int) -> Iterator[list[Choice]]:
    """The players in so many groups, as even as can be, the larger first."""
    lanes = max(1, min(lanes, len(seated)))
    size, larger = divmod(len(seated), lanes)
    start = 0
    for lane in range(lanes):
        end = start + size + (lane < larger)
        yield seated[start:end]
        start = end


def _work(choice: Choice, request: PlanRequest, *, strikes: int) -> PlayerWork:
    """The sets of a player who has so many strikes in a block."""
    sizes = choice.stage.set_sizes
    if len(choice.feet) == 1:
        sets = [_sets(strikes, sizes)]
    else:
        share = choice.other_foot_share
        other = _sets(math.ceil(strikes * share), sizes)
        preferred = _sets(min(strikes - sum(other), math.floor(sum(other) * (1 - share) / share)), sizes)
        sets = [other, preferred]
    return PlayerWork(
        player=request.players[choice.player].name,
        feet=tuple(
            FootWork(foot=foot.foot, sets=done, distance_m=foot.distance_m, expected_rate=foot.rate)
            for foot, done in zip(choice.feet, sets, strict=True)
        ),
    )


def _sets(strikes: int, sizes: tuple[int, ...]) -> tuple[int, ...]:
    """Whole sets in the order of the stage that fit into so many strikes; one short set when none does.

    >>> _sets(27, (10, 5)), _sets(12, (10, 5)), _sets(9, (10, 5)), _sets(3, (10, 5))
    ((10, 5, 5, 5), (10,), (5,), (3,))
    """
    done: list[int] = []
    left = strikes
    for size in (*sizes, *([sizes[-1]] * MOST_SETS)):
        if size <= left and len(done) < MOST_SETS:
            done.append(size)
            left -= size
    return tuple(done) if done else ((strikes,) if strikes > 0 else ())


def with_share_kept(parts: Sequence[Part], request: PlanRequest) -> list[Part]:
    """The parts with sets of the preferred foot taken away, the last first, until the other foot has its share."""
    share = request.phase.other_foot_share
    other_foot = {player.name: player.other_foot for player in request.players}
    too_many = dict.fromkeys(other_foot, 0.0)
    for part in parts:
        for lane in part.lanes:
            for one in lane.players:
                for foot in one.feet:
                    is_other = foot.foot is other_foot[one.player]
                    too_many[one.player] += -foot.strikes * (1 - share) / share if is_other else foot.strikes

    def kept(one: PlayerWork) -> PlayerWork:
        feet = []
        for foot in one.feet:
            sets = list(foot.sets)
            while sets and foot.foot is not other_foot[one.player] and too_many[one.player] > 0:
                too_many[one.player] -= sets.pop()
            feet.append(replace(foot, sets=tuple(sets)))
        return replace(one, feet=tuple(feet))

    trimmed = [
        replace(part, lanes=tuple(replace(lane, players=tuple(map(kept, lane.players))) for lane in part.lanes))
        for part in reversed(parts)
    ]
    return trimmed[::-1]
