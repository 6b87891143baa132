"""From an assignment to lanes of players with their sets."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import chain, zip_longest

from tracker.domain.ladder import Stage
from tracker.domain.practice_plan import FootWork, LaneWork, Part, PlayerWork
from tracker.domain.setup import LaneKind, lane_kind
from tracker.domain.vocabulary import Foot
from tracker.plan.assignment import BlockAssignment
from tracker.plan.choices import Choice
from tracker.plan.request import PlanRequest, PresentPlayer

STRIKE_SECONDS = 8
"""Between two strikes in one lane. Common practice, no source."""
MOST_SETS = 8
"""A player strikes no more sets than this in one block; what time is left is for words and water. Our own choice."""
_LANE_ORDER = (LaneKind.RALLY, LaneKind.GATE, LaneKind.GOAL)


def lanes_of_block(
    request: PlanRequest, assignment: Sequence[BlockAssignment], block: int, *, minutes: int
) -> tuple[LaneWork, ...]:
    """The lanes of a block, numbered as they are laid out. Who shares one is settled by the stage, by who is to be
    watched, by preferred feet and by the order of the squad; never by a rate."""
    chosen, lanes_at, watched = assignment[block].chosen, assignment[block].lanes, assignment[block].watched
    stages = {choice.stage.name: choice.stage for choice in chosen}
    shares = [
        _share_where_both([one.chosen[number] for one in assignment], least=request.phase.other_foot_share)
        for number in range(len(request.players))
    ]
    lanes: list[LaneWork] = []
    for stage in sorted(stages.values(), key=place_of_lane):
        here = [choice for choice in chosen if choice.stage is stage]
        due = [choice for choice in here if choice.player in watched]
        rest = [choice for choice in here if choice.player not in watched]
        seated = [*_feet_mixed(due, request.players), *_feet_mixed(rest, request.players)]
        for group in _shared_out(seated, lanes_at[stage.name]):
            strikes = minutes * 60 // (STRIKE_SECONDS * len(group))
            players = tuple(_work(one, request, strikes=strikes, other_share=shares[one.player]) for one in group)
            lanes.append(LaneWork(number=len(lanes) + 1, stage=stage.name, players=players))
    return tuple(lanes)


def place_of_lane(stage: Stage) -> tuple[int, int]:
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


def _share_where_both(chosen: Sequence[Choice], *, least: float) -> float:
    """The other foot's share in blocks where both feet work, so that it has at least its share over all blocks."""
    both = sum(len(choice.feet) == 2 for choice in chosen)
    alone = sum(len(choice.feet) == 1 and choice.has_other_foot for choice in chosen)
    return min(max((least * len(chosen) - alone) / both, least), 1.0) if both else least


def _work(choice: Choice, request: PlanRequest, *, strikes: int, other_share: float) -> PlayerWork:
    """The sets of a player who has so many strikes in a block; a foot without any is left out."""
    sizes = choice.stage.set_sizes
    if len(choice.feet) == 1:
        sets = [sets_that_fit(strikes, sizes, most=MOST_SETS)]
    else:
        other = sets_that_fit(
            math.ceil(strikes * other_share), sizes, most=MOST_SETS if other_share == 1 else MOST_SETS // 2
        )
        left = min(strikes - sum(other), math.floor(sum(other) * (1 - other_share) / other_share + 1e-9))
        sets = [other, sets_that_fit(left, sizes, most=MOST_SETS - len(other))]
    return PlayerWork(
        player=request.players[choice.player].name,
        feet=tuple(
            FootWork(foot=foot.foot, sets=done, distance_m=foot.distance_m, expected_rate=foot.rate)
            for foot, done in zip(choice.feet, sets, strict=True)
            if done
        ),
    )


def sets_that_fit(strikes: int, sizes: tuple[int, ...], *, most: int) -> tuple[int, ...]:
    """Whole sets in the order of the stage that fit into so many strikes; one short set when none does.

    >>> [sets_that_fit(strikes, (10, 5), most=4) for strikes in (27, 90, 9, 3)]
    [(10, 5, 5, 5), (10, 5, 5, 5), (5,), (3,)]
    """
    done: list[int] = []
    left = strikes
    for size in (*sizes, *([sizes[-1]] * most)):
        if size <= left and len(done) < most:
            done.append(size)
            left -= size
    return tuple(done) if done else ((strikes,) if strikes > 0 else ())


def with_share_kept(parts: Sequence[Part], request: PlanRequest) -> list[Part]:
    """The parts with sets of the preferred foot taken away until the other foot has its share: the last first, and
    where both feet work before where only this one does."""
    share = request.phase.other_foot_share
    other_foot = {player.name: player.other_foot for player in request.players}
    too_many = dict.fromkeys(other_foot, 0.0)
    for part in parts:
        for lane in part.lanes:
            for one in lane.players:
                for foot in one.feet:
                    is_other = foot.foot is other_foot[one.player]
                    too_many[one.player] += -foot.strikes * (1 - share) / share if is_other else foot.strikes

    def kept(one: PlayerWork, *, least_feet: int) -> PlayerWork:
        feet = []
        for foot in one.feet:
            sets = list(foot.sets)
            while (
                sets
                and len(one.feet) >= least_feet
                and foot.foot is not other_foot[one.player]
                and too_many[one.player] > 0
            ):
                too_many[one.player] -= sets.pop()
            feet.append(replace(foot, sets=tuple(sets)))
        return replace(one, feet=tuple(foot for foot in feet if foot.sets))

    trimmed = list(parts)
    for least_feet in (2, 1):
        for place in reversed(range(len(trimmed))):
            lanes = tuple(
                replace(lane, players=tuple(kept(one, least_feet=least_feet) for one in lane.players))
                for lane in trimmed[place].lanes
            )
            trimmed[place] = replace(trimmed[place], lanes=lanes)
    return trimmed
