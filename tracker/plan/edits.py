"""Changes a coach makes to a plan by hand.

What follows from them is worked out anew, and ``constraints.check_plan`` says what they break.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from tracker.domain.ladder import Stage
from tracker.domain.practice_plan import Activity, FootWork, LaneWork, Part, PlayerWork, PracticePlan
from tracker.domain.vocabulary import Foot
from tracker.errors import RequestError
from tracker.plan.choices import farthest_m, foot_choices, known_rate
from tracker.plan.lane_work import MOST_SETS, STRIKE_SECONDS, place_of_lane, sets_that_fit
from tracker.plan.practice_plan import finishing_words, plan_of_parts
from tracker.plan.request import PlanRequest, PresentPlayer
from tracker.plan.success_band import expected_rate

MOST_STRIKES_A_SET = 50


def with_player_moved(
    plan: PracticePlan, request: PlanRequest, *, block: int, player: str, stage: str, lane: int | None = None
) -> PracticePlan:
    """The plan with a player in another lane of a block (counted from 1), or in a new one at a stage when ``lane`` is
    None. The players of that lane share its time anew. Raises RequestError for what is not there."""
    part = _block(plan, block)
    target = next((one for one in part.lanes if one.number == lane), None)
    if lane is not None and target is None:
        raise RequestError(f"There is no lane {lane} in part {block}.")
    work = next((one for row in part.lanes for one in row.players if one.player == player), None)
    name = target.stage if target else stage
    if work is None or plan.field.ladder.stage_named(name) is None:
        raise RequestError(f"{player} is not in part {block}, or there is no stage {name!r}.")
    left = [
        replace(row, players=tuple(one for one in row.players if one.player != player))
        for row in part.lanes
        if row is not target
    ]
    names = [one.player for one in target.players if one.player != player] if target else []
    rows = [row for row in left if row.players] + [_shared(plan, request, part, name, (*names, player))]
    rows.sort(key=lambda row: _place(plan, row))
    lanes = tuple(replace(row, number=number) for number, row in enumerate(rows, start=1))
    return _with_block(plan, request, block, replace(part, lanes=lanes, what=finishing_words(lanes)))


def with_work_changed(
    plan: PracticePlan,
    request: PlanRequest,
    *,
    block: int,
    player: str,
    foot: Foot,
    sets: Sequence[int],
    distance_m: float,
) -> PracticePlan:
    """The plan with other sets, or another distance in metres, for one foot in a block. No sets: the foot rests.

    Raises RequestError for what is not there or cannot be.
    """
    if any(not 1 <= size <= MOST_STRIKES_A_SET for size in sets):
        raise RequestError(f"A set has 1 to {MOST_STRIKES_A_SET} strikes.")
    if not 0.5 <= distance_m <= 60:
        raise RequestError("A strike is from half a metre to 60 metres.")
    part = _block(plan, block)
    one = _player(request, player)

    def changed(row: LaneWork, work: PlayerWork) -> PlayerWork:
        if work.player != player:
            return work
        stage = _stage(plan, row.stage)
        own, known = known_rate(one, foot, plan.field.ladder)
        rate = expected_rate(known_at=own, known_rate=known, stage=stage, distance_m=distance_m)
        done = FootWork(foot=foot, sets=tuple(sets), distance_m=distance_m, expected_rate=rate)
        feet = {foot_work.foot: foot_work for foot_work in work.feet} | {foot: done}
        in_order = (feet[side] for side in (one.other_foot, one.other_foot.opposite) if side in feet)
        return replace(work, feet=tuple(foot_work for foot_work in in_order if foot_work.sets))

    lanes = tuple(replace(row, players=tuple(changed(row, work) for work in row.players)) for row in part.lanes)
    return _with_block(plan, request, block, replace(part, lanes=lanes))


def sets_in(text: str) -> tuple[int, ...]:
    """The sets typed as "10, 5"; none for an empty text. Raises RequestError.

    >>> sets_in("10, 5 5"), sets_in("")
    ((10, 5, 5), ())
    """
    parts = text.replace(",", " ").split()
    if not all(part.isascii() and part.isdigit() for part in parts):
        raise RequestError(f"{text!r}: type the strikes of each set, such as 10, 5.")
    return tuple(int(part) for part in parts)


def _block(plan: PracticePlan, block: int) -> Part:
    if not 1 <= block <= len(plan.finishing):
        raise RequestError(f"There is no part {block} in this plan.")
    return plan.finishing[block - 1]


def _player(request: PlanRequest, name: str) -> PresentPlayer:
    found = next((one for one in request.players if one.name == name), None)
    if found is None:
        raise RequestError(f"{name} is not at this practice.")
    return found


def _stage(plan: PracticePlan, name: str) -> Stage:
    stage = plan.field.ladder.stage_named(name)
    if stage is None:
        raise RequestError(f"There is no stage {name!r}.")
    return stage


def _place(plan: PracticePlan, row: LaneWork) -> tuple[int, int]:
    return place_of_lane(_stage(plan, row.stage))


def _shared(plan: PracticePlan, request: PlanRequest, part: Part, stage: str, names: Sequence[str]) -> LaneWork:
    """A lane whose time is shared evenly by these players, each with both feet."""
    strikes = part.minutes * 60 // (STRIKE_SECONDS * len(names))
    at = _stage(plan, stage)
    return LaneWork(
        number=0, stage=at.name, players=tuple(_work(plan, request, name, at, strikes=strikes) for name in names)
    )


def _work(plan: PracticePlan, request: PlanRequest, name: str, stage: Stage, *, strikes: int) -> PlayerWork:
    player = _player(request, name)
    other = sets_that_fit(math.ceil(strikes * request.phase.other_foot_share), stage.set_sizes, most=MOST_SETS // 2)
    rest = sets_that_fit(strikes - sum(other), stage.set_sizes, most=MOST_SETS - len(other))
    if sum(rest) * request.phase.other_foot_share > sum(other) * (1 - request.phase.other_foot_share):
        rest = other
    feet = ((player.other_foot, other), (player.other_foot.opposite, rest))
    return PlayerWork(
        player=name, feet=tuple(_foot(plan, request, player, foot, stage, sets) for foot, sets in feet if sets)
    )


def _foot(
    plan: PracticePlan, request: PlanRequest, player: PresentPlayer, foot: Foot, stage: Stage, sets: tuple[int, ...]
) -> FootWork:
    """From where the plan would have it strike, else from the stage's own distance as far as the lanes allow."""
    choice = foot_choices(player, foot, plan.field, unit=request.unit).get(stage.name)
    distance = choice.distance_m if choice else min(stage.distance_m, farthest_m(stage, plan.field))
    own, known = known_rate(player, foot, plan.field.ladder)
    rate = expected_rate(known_at=own, known_rate=known, stage=stage, distance_m=distance)
    return FootWork(foot=foot, sets=sets, distance_m=distance, expected_rate=rate)


def _with_block(plan: PracticePlan, request: PlanRequest, block: int, part: Part) -> PracticePlan:
    finishing = list(plan.finishing)
    finishing[block - 1] = part
    new = iter(finishing)
    parts = tuple(next(new) if one.activity is Activity.FINISHING else one for one in plan.parts)
    return plan_of_parts(request, plan.field, parts)
