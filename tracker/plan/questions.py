"""Which questions are open, and after how many practices like this one they should be answered."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import lru_cache

import numpy as np

from tracker.domain.ladder import Ladder, Stage
from tracker.domain.practice_plan import OpenQuestion
from tracker.domain.setup import lane_kind
from tracker.domain.vocabulary import Foot
from tracker.plan.choices import known_rate, working_stage
from tracker.plan.request import PlanRequest, PresentPlayer
from tracker.plan.success_band import expected_rate
from tracker.review.ready_rule import line_of
from tracker.stats.proportion import proportion
from tracker.stats.readiness import expected_strikes_to_ready

KNOWN_HALF_WIDTH, KNOWN_LEVEL = 0.15, 0.90
"""A foot's rate is known when it is likely (9 in 10) within 15 points, about 30 strikes: our own mark."""
FEWEST_PRACTICES = 2
"""Ready takes evidence from two practices."""
MOST_STRIKES_RECKONED = 400
_NUMBERS = ("no", "one more", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def open_questions(
    request: PlanRequest,
    ladder: Ladder,
    *,
    planned: Mapping[tuple[str, Foot, str], int],
    recorded: Mapping[tuple[str, Foot, str], int],
) -> tuple[OpenQuestion, ...]:
    """Is this foot ready at the stage it works at? One question a player and foot, but for stages that are games.

    ``planned`` and ``recorded``: strikes of this practice, and those of them that will be recorded, by player, foot
    and stage.
    """
    return tuple(
        _question(
            player,
            foot,
            stage,
            ladder,
            planned=planned.get((player.name, foot, stage.name), 0),
            a_practice=recorded.get((player.name, foot, stage.name), 0),
        )
        for player in request.players
        for foot in Foot
        if lane_kind(stage := working_stage(player, foot, ladder)) is not None
    )


def strikes_needed(player: PresentPlayer, foot: Foot, stage: Stage, ladder: Ladder, *, a_practice: int) -> float:
    """Further strikes until the question is answered: the ready line is to be expected, or the rate is known.

    ``a_practice`` are the strikes recorded a practice; those of one practice hang together, so that more dates tell
    more than more strikes a date.
    """
    known = strikes_to_know(player, foot, stage, ladder) * _design_effect(a_practice, ladder)
    return max(min(strikes_to_ready(player, foot, stage, ladder), known), 1.0)


def strikes_to_know(player: PresentPlayer, foot: Foot, stage: Stage, ladder: Ladder) -> float:
    """Further strikes, as many independent ones, until a rate is known; 0 when it is."""
    standing, done = player.standing(foot), 0.0
    if stage.name == standing.stage and standing.attempts:
        done = standing.attempts / _design_effect(standing.attempts / max(standing.practices, 1), ladder)
    return max(_until_known(round(rate_at(player, foot, stage, ladder), 2)) - done, 0.0)


def strikes_to_ready(player: PresentPlayer, foot: Foot, stage: Stage, ladder: Ladder) -> float:
    """Further strikes until a foot is to be expected at the ready line of a stage; inf when hardly ever."""
    standing = player.standing(foot)
    is_own = stage.name == standing.stage
    if is_own and standing.expected_strikes_to_ready is not None:
        return standing.expected_strikes_to_ready
    score = round(standing.score, 2) if is_own else 0.0
    return _to_ready(ladder, stage, round(rate_at(player, foot, stage, ladder), 2), score)


def rate_at(player: PresentPlayer, foot: Foot, stage: Stage, ladder: Ladder) -> float:
    """The rate (0..1) to plan with at a stage from its own distance, carried over from the stage the foot is placed at.

    For planning, never to be told as the player's rate.
    """
    own, rate = known_rate(player, foot, ladder)
    if stage is own:
        return rate
    return expected_rate(known_at=own, known_rate=rate, stage=stage, distance_m=stage.distance_m)


def _question(
    player: PresentPlayer, foot: Foot, stage: Stage, ladder: Ladder, *, planned: int, a_practice: int
) -> OpenQuestion:
    whose = f"{player.name}'s {foot.value} foot"
    standing = player.standing(foot)
    before = standing.practices if stage.name == standing.stage else 0
    practices: int | None
    if before >= FEWEST_PRACTICES and not strikes_to_know(player, foot, stage, ladder):
        practices, sentence = 0, f"{whose} is well known at {stage.name}: {_outlook(player, foot, stage, ladder)}."
    elif not a_practice:
        why = "is not watched" if planned else "does not strike"
        practices, sentence = None, f"{whose} {why} at {stage.name} in this practice: its question stays open."
    else:
        needed = math.ceil(strikes_needed(player, foot, stage, ladder, a_practice=a_practice) / a_practice)
        practices = max(needed, FEWEST_PRACTICES - before, 1)
        number = _NUMBERS[practices] if practices < len(_NUMBERS) else str(practices)
        sentence = (
            f"About {number} practice{'s' if practices > 1 else ''} until we know about {whose} at {stage.name} "
            f"({a_practice} strike{'s' if a_practice > 1 else ''} a practice)."
        )
    return OpenQuestion(player=player.name, foot=foot, stage=stage.name, practices=practices, sentence=sentence)


def _outlook(player: PresentPlayer, foot: Foot, stage: Stage, ladder: Ladder) -> str:
    """What a well-known foot can be expected to do at its present rate."""
    strikes = strikes_to_ready(player, foot, stage, ladder)
    if strikes > ladder.horizon_strikes:
        return "at the present rate it is not ready there soon"
    return f"at the present rate it is ready after about {max(5 * math.ceil(strikes / 5), 5)} more strikes"


def _design_effect(a_practice: float, ladder: Ladder) -> float:
    """How many strikes count for one, for those of a practice hang together."""
    return 1 + max(a_practice - 1, 0.0) * ladder.correlation


@lru_cache(maxsize=4096)
def _to_ready(ladder: Ladder, stage: Stage, rate: float, score: float) -> float:
    return float(expected_strikes_to_ready(rate, score, line=line_of(ladder, stage)))


@lru_cache(maxsize=256)
def _until_known(rate: float) -> float:
    """Independent strikes until the interval of a rate is narrow enough."""
    strikes = np.arange(1, MOST_STRIKES_RECKONED + 1)
    interval = proportion(rate * strikes, strikes, level=KNOWN_LEVEL)
    return float(strikes[np.argmax((interval.high - interval.low) / 2 <= KNOWN_HALF_WIDTH)])
