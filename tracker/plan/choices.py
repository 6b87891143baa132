"""What each player may work at: the stages in reach, from where, and how much it would bring."""

from __future__ import annotations

import math
from dataclasses import dataclass

from tracker.domain.ladder import Ladder, Stage
from tracker.domain.setup import LaneKind, SetUp, lane_kind, set_up
from tracker.domain.vocabulary import Foot, LengthUnit, ReadinessStatus
from tracker.plan.request import PlanImpossible, PlanRequest, PresentPlayer
from tracker.plan.success_band import assumed_rate, best_distance_m, is_in_band

FEW_STRIKES = 20
"""Under so many strikes at its stage a foot's question is wide open."""
WORKING_VALUE, PASSED_VALUE, FALLBACK_VALUE, FEW_STRIKES_VALUE = 1.0, 0.35, 0.1, 0.4
MOVED_COST = 0.15
"""What a block at the stage a foot works at is worth, at a stage passed, and out of the band; more for a foot with few
strikes, less from a spot moved by half. Our own weights: they only order what the constraints leave open."""


@dataclass(frozen=True, kw_only=True, slots=True)
class FootChoice:
    """One foot at one stage: from how far, with what expected rate. ``is_owed``: no stage it has met is in the band."""

    foot: Foot
    distance_m: float
    rate: float
    is_owed: bool
    value: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Choice:
    """One player at one stage, with the feet that may work there, the other foot first."""

    player: int
    stage: Stage
    feet: tuple[FootChoice, ...]
    is_new: bool
    other_foot: Foot

    @property
    def has_other_foot(self) -> bool:
        """Whether the foot to bring on may work here."""
        return any(foot.foot is self.other_foot for foot in self.feet)

    @property
    def value(self) -> float:
        """What a block of this is worth."""
        return sum(foot.value for foot in self.feet) / 2


def field_for(request: PlanRequest) -> SetUp:
    """The set-up a request leaves room for. Raises RequestError when the space is too narrow."""
    standard, equipment = request.standard, request.equipment
    area = standard.penalty_area if standard else None
    gates = equipment.gates_that_can_be_made
    return set_up(
        request.playable_ladder,
        # A lane a pair, and for few pairs a spare one, because a rally takes every other lane.
        lanes=min(max(math.ceil(len(request.players) / 2), 3), max(2 * gates - 1, 0)),
        goals=equipment.goals,
        penalty_area_depth_m=area.depth.metres if area else None,
        space_width_m=request.space_width_m,
    )


def working_stage(player: PresentPlayer, foot: Foot, ladder: Ladder) -> Stage:
    """The stage a foot works at now: the next one up when it is ready, the one below when it should revisit."""
    standing = player.standing(foot)
    stage = ladder.stage_named(standing.stage)
    if stage is None:
        raise PlanImpossible(f"{player.name} is placed at {standing.stage!r}, which is no stage of the ladder.")
    position = stage.position
    if standing.status is ReadinessStatus.READY:
        position += 1
    elif standing.status is ReadinessStatus.REVISIT:
        position -= 1
    return ladder.stages[min(max(position, 1), len(ladder.stages)) - 1]


def has_met(player: PresentPlayer, foot: Foot, stage: Stage, ladder: Ladder) -> bool:
    """Whether a foot has worked at a stage: those below its own, and its own once it has struck there."""
    standing = player.standing(foot)
    own = ladder.stage_named(standing.stage)
    if own is None:
        return False
    is_seen = standing.attempts > 0 or standing.status is not ReadinessStatus.GATHERING
    return stage.position < own.position or (stage.position == own.position and is_seen)


def is_new_to(player: PresentPlayer, stage: Stage, ladder: Ladder) -> bool:
    """Whether a player has met a stage with neither foot."""
    return not any(has_met(player, foot, stage, ladder) for foot in Foot)


def farthest_m(stage: Stage, field: SetUp) -> float:
    """From how far a stage may be struck without a wide strike leaving its lane."""
    kind = lane_kind(stage)
    if kind is LaneKind.GOAL:
        return field.farthest_goal_m
    return stage.distance_m if kind is LaneKind.RALLY else field.farthest_gate_m


def known_rate(player: PresentPlayer, foot: Foot, ladder: Ladder) -> tuple[Stage, float]:
    """The stage a foot is placed at, and its pooled rate there, or the one assumed."""
    standing = player.standing(foot)
    own = ladder.stage_named(standing.stage) or ladder.stages[0]
    return own, assumed_rate(own) if standing.pooled_rate is None else standing.pooled_rate


def playable_stages(field: SetUp) -> tuple[Stage, ...]:
    """The stages that the equipment allows, games left out."""
    return tuple(
        stage
        for stage in field.ladder.stages
        if (kind := lane_kind(stage)) and (field.goals if kind is LaneKind.GOAL else field.lanes)
    )


def foot_choices(player: PresentPlayer, foot: Foot, field: SetUp, *, unit: LengthUnit) -> dict[str, FootChoice]:
    """By stage name, from where a foot may work: every stage in reach that is in the success band; where none it has
    met is, the one that comes closest."""
    ladder = field.ladder
    working = working_stage(player, foot, ladder)
    in_reach = [
        stage
        for stage in playable_stages(field)
        if stage.position <= working.position or has_met(player, foot, stage, ladder)
    ]
    if not in_reach:
        return {}
    top = next((stage for stage in reversed(in_reach) if stage.position <= working.position), in_reach[0])
    own, rate = known_rate(player, foot, ladder)
    best = {
        stage.name: best_distance_m(
            known_at=own, known_rate=rate, stage=stage, farthest_m=farthest_m(stage, field), unit=unit
        )
        for stage in in_reach
    }
    met = [stage for stage in in_reach if has_met(player, foot, stage, ladder)] or in_reach[-1:]
    inside = [stage for stage in in_reach if is_in_band(best[stage.name][1])]
    owed = None
    if not any(stage in inside for stage in met):
        owed = min(met, key=lambda stage: abs(best[stage.name][1] - 0.65))
    return {
        stage.name: FootChoice(
            foot=foot,
            distance_m=best[stage.name][0],
            rate=best[stage.name][1],
            is_owed=stage is owed,
            value=_value(player, foot, stage, distance_m=best[stage.name][0], top=top, is_owed=stage is owed),
        )
        for stage in in_reach
        if stage in inside or stage is owed
    }


def choices(request: PlanRequest, field: SetUp) -> list[list[Choice]]:
    """For every player, the stages they may work at."""
    return [_choices_of(number, player, request, field) for number, player in enumerate(request.players)]


def _choices_of(number: int, player: PresentPlayer, request: PlanRequest, field: SetUp) -> list[Choice]:
    other = player.other_foot
    by_foot = {foot: foot_choices(player, foot, field, unit=request.unit) for foot in (other, other.opposite)}
    found = []
    for stage in playable_stages(field):
        feet = tuple(by_foot[foot][stage.name] for foot in by_foot if stage.name in by_foot[foot])
        if not feet:
            continue
        found.append(
            Choice(
                player=number,
                stage=stage,
                feet=feet,
                is_new=is_new_to(player, stage, field.ladder),
                other_foot=other,
            )
        )
    return found


def _value(player: PresentPlayer, foot: Foot, stage: Stage, *, distance_m: float, top: Stage, is_owed: bool) -> float:
    if is_owed:
        return FALLBACK_VALUE
    standing = player.standing(foot)
    moved = MOVED_COST * abs(math.log(distance_m / stage.distance_m)) / math.log(1.5)
    if stage is not top:
        return PASSED_VALUE - moved
    return WORKING_VALUE + FEW_STRIKES_VALUE * max(0.0, 1 - standing.attempts / FEW_STRIKES) - moved
