"""What a plan is asked for: who is there and where each foot stands, how long, with what equipment."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

from tracker.domain.ladder import Ladder, Stage
from tracker.domain.ladder_file import shipped_ladders
from tracker.domain.setup import USUAL_WIDTH_M
from tracker.domain.setup_changes import BALLS_A_LANE
from tracker.domain.standards import AgeStandard, Federation
from tracker.domain.standards_file import standard_for
from tracker.domain.target import METRES_PER_YARD, Target
from tracker.domain.vocabulary import Foot, LengthUnit, PreferredFoot, ReadinessStatus
from tracker.errors import RequestError

FEWEST_PLAYERS, MOST_PLAYERS = 4, 24
SHORTEST_PRACTICE_MIN, LONGEST_PRACTICE_MIN = 30, 120
OTHER_FOOT_SHARE, UPKEEP_SHARE = 0.50, 0.25
"""Least share of strikes with the other foot, in a block and after it: Haaland & Hoff 2003, Scand J Med Sci Sports
13:179, had players use it in all training for eight weeks; gains faded once training stopped (SciELO
S1980-00372015000200125). The shares themselves are our own working choice."""


class PlanImpossible(RequestError):
    """Nothing fits the request; the text says what is in the way."""


class FootPhase(StrEnum):
    """Whether the season is in an other-foot block, or keeps up what one has brought."""

    BLOCK = "block"
    UPKEEP = "upkeep"

    @property
    def other_foot_share(self) -> float:
        """The least share of a player's strikes with the other foot."""
        return OTHER_FOOT_SHARE if self is FootPhase.BLOCK else UPKEEP_SHARE


@dataclass(frozen=True, kw_only=True, slots=True)
class FootStanding:
    """Where one foot stands: the stage it works at, and what is known of it there.

    ``attempts`` and ``practices`` count at that stage in the present stretch. ``pooled_rate`` (0..1) leans on the
    squad; None when nothing is known. ``expected_strikes_to_ready`` is the ready board's, ``score`` its score in log
    units. ``days_since_observed``: since a logger last watched this player; None starts the count today.
    """

    stage: str
    status: ReadinessStatus = ReadinessStatus.GATHERING
    attempts: int = 0
    practices: int = 0
    pooled_rate: float | None = None
    score: float = 0.0
    expected_strikes_to_ready: float | None = None
    days_since_observed: int | None = None

    def __post_init__(self) -> None:
        if self.attempts < 0 or self.practices < 0 or self.score < 0:
            raise ValueError("attempts, practices and score must not be below 0")
        if self.pooled_rate is not None and not 0 <= self.pooled_rate <= 1:
            raise ValueError(f"pooled_rate must be from 0 to 1, but is {self.pooled_rate}")


@dataclass(frozen=True, kw_only=True, slots=True)
class PresentPlayer:
    """A player at the practice."""

    name: str
    left: FootStanding
    right: FootStanding
    preferred_foot: PreferredFoot = PreferredFoot.UNKNOWN

    def standing(self, foot: Foot) -> FootStanding:
        """Where a foot stands."""
        return self.left if foot is Foot.LEFT else self.right

    @property
    def other_foot(self) -> Foot:
        """The foot to bring on: opposite the preferred one; where none is named, the one with fewer strikes."""
        preferred = self.preferred_foot.foot
        if preferred is not None:
            return preferred.opposite
        return Foot.RIGHT if self.right.attempts < self.left.attempts else Foot.LEFT

    @property
    def days_since_observed(self) -> int:
        """Since a logger last watched the player with either foot."""
        return min(standing.days_since_observed or 0 for standing in (self.left, self.right))


@dataclass(frozen=True, kw_only=True, slots=True)
class Equipment:
    """What is at hand. ``gates`` are ready-made; two flags or two cones make another. ``goal_width_m``: when the goals
    are not those of the ladder."""

    gates: int = 0
    goals: int = 2
    balls: int = 12
    flags: int = 0
    cones: int = 20
    goal_width_m: float | None = None

    def __post_init__(self) -> None:
        if min(self.gates, self.goals, self.balls, self.flags, self.cones) < 0:
            raise ValueError("equipment cannot be fewer than none")

    @property
    def gates_that_can_be_made(self) -> int:
        """Gates, of poles, flags or cones."""
        return self.gates + self.flags // 2 + self.cones // 2

    @property
    def lanes_with_balls(self) -> int:
        """Lanes that have balls enough; one ball alone still serves one lane."""
        return max(self.balls // BALLS_A_LANE, min(self.balls, 1))


@dataclass(frozen=True, kw_only=True, slots=True)
class PlanOptions:
    """What a coach says of a practice besides who is there and how long it is.

    ``phase`` None: as the squad's block of weeks says. Without ``federation`` and ``age`` no standard is asked.
    """

    equipment: Equipment = Equipment()
    loggers: int = 1
    federation: Federation | None = None
    age: int | None = None
    phase: FootPhase | None = None
    space_width_m: float = USUAL_WIDTH_M
    days_to_next_practice: int = 7
    calls_out_sets: bool = True

    @property
    def standard(self) -> AgeStandard | None:
        """The numbers of the federation for the age. Raises RequestError where it has none."""
        if self.federation is None or self.age is None:
            return None
        return standard_for(self.federation, self.age)


AS_USUAL = PlanOptions()
"""What is taken when a coach says nothing of it."""


@dataclass(frozen=True, kw_only=True, slots=True)
class PlanRequest:
    """All a plan depends on. ``calls_out_sets``: pairs call out every set, so that all strikes are recorded; without it
    only those a logger watches are. ``days_to_next_practice`` says who must be watched today."""

    ladder: Ladder
    minutes: int
    players: tuple[PresentPlayer, ...]
    held_on: date
    equipment: Equipment = Equipment()
    loggers: int = 1
    standard: AgeStandard | None = None
    phase: FootPhase = FootPhase.BLOCK
    space_width_m: float = USUAL_WIDTH_M
    days_to_next_practice: int = 7
    calls_out_sets: bool = True
    unit: LengthUnit = LengthUnit.YARDS

    def __post_init__(self) -> None:
        names = [player.name for player in self.players]
        if len(set(names)) < len(names):
            raise RequestError("Two players have the same name: a plan tells them apart by it.")
        for player in self.players:
            for foot in Foot:
                if self.ladder.stage_named(player.standing(foot).stage) is None:
                    raise RequestError(f"{player.name} is placed at {player.standing(foot).stage!r}: no such stage.")
        if self.loggers < 0 or self.days_to_next_practice < 1:
            raise RequestError("There cannot be fewer than no loggers, or less than a day to the next practice.")

    @property
    def playable_ladder(self) -> Ladder:
        """The ladder with the goals that are at hand, struck at from where they show the same angle, to a whole yard or
        metre: half the width from half the distance is as hard."""
        width = self.equipment.goal_width_m
        if width is None:
            return self.ladder
        step = METRES_PER_YARD if self.unit is LengthUnit.YARDS else 1.0

        def to_goal_at_hand(stage: Stage) -> Stage:
            if stage.target.is_gate:
                return stage
            distance = max(round(stage.distance_m * width / stage.target.width_m / step), 1) * step
            target = Target(width_m=width, height_m=stage.target.height_m)
            return replace(stage, target=target, distance_m=round(distance, 4))

        return replace(self.ladder, stages=tuple(map(to_goal_at_hand, self.ladder.stages)))


def players_by_number(count: int, ladder: Ladder) -> tuple[PresentPlayer, ...]:
    """Players of whom nothing is known yet, at the first stage with both feet."""
    first = FootStanding(stage=ladder.stages[0].name)
    return tuple(PresentPlayer(name=f"Player {number}", left=first, right=first) for number in range(1, count + 1))


def ladder_for_age(age: int) -> Ladder:
    """The shipped ladder whose age band holds an age. Raises RequestError.

    >>> ladder_for_age(9).name
    'U8–U10'
    """
    bands = {ladder: [int(number) for number in re.findall(r"\d+", ladder.age_band)] for ladder in shipped_ladders()}
    for ladder, (youngest, oldest) in bands.items():
        if youngest <= age <= oldest:
            return ladder
    raise RequestError(f"No ladder that ships is for U{age}. Use a ladder of your own.")
