"""A squad whose truth is known: how each foot really strikes, and what it struck.

A strike leaves at an angle off the middle of the target that is normal around the day's bias; the day's bias is normal
around the foot's own. So strikes of one day hang together, and over many days angles are normal again: the true rate at
a target is the share of that curve inside the angle the target shows.
"""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass, field

import numpy as np
from scipy.stats import norm

from tracker.domain.ladder import Ladder, Stage
from tracker.domain.vocabulary import Foot

DAY_SD_DEG = 1.5
"""How far a foot's bias wanders from one day to the next."""
FIRST_STAGE = 1
"""Everybody starts at the second stage of the ladder, a still ball."""


@dataclass(frozen=True, kw_only=True)
class TrueFoot:
    """Bias and spread in degrees; the spread goes evenly from ``start`` to ``end`` over the season."""

    bias: float
    start: float
    end: float

    def spread_deg(self, progress: float) -> float:
        """The spread over many days when this share (0..1) of the season has passed."""
        return math.hypot(self.start + (self.end - self.start) * progress, DAY_SD_DEG)

    def rate(self, stage: Stage, progress: float) -> float:
        """The true rate at a stage."""
        half = stage.angular_width_deg / 2
        shape = norm(self.bias, self.spread_deg(progress))
        return float(shape.cdf(half) - shape.cdf(-half))


@dataclass(frozen=True, kw_only=True)
class Struck:
    """Strikes of one foot at one stage on one day, in order: degrees off the middle, left below 0."""

    player: str
    foot: Foot
    stage: Stage
    practice: int
    progress: float
    angles: tuple[float, ...]

    @property
    def misses(self) -> tuple[str | None, ...]:
        """For each strike the side it missed on, or None where it was on target."""
        half = self.stage.angular_width_deg / 2
        return tuple(None if abs(one) < half else "left" if one < 0 else "right" for one in self.angles)

    @property
    def on_target(self) -> int:
        """How many were on target."""
        return self.misses.count(None)


@dataclass(kw_only=True)
class SimulatedSquad:
    """Players by name, where each foot works now, and everything that was struck."""

    ladder: Ladder
    feet: dict[tuple[str, Foot], TrueFoot]
    practices: int
    random: np.random.Generator
    struck: list[Struck] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.works_at = {key: self.ladder.stages[FIRST_STAGE] for key in self.feet}

    @property
    def players(self) -> list[str]:
        """Names, in the order of shirts."""
        return list(dict.fromkeys(player for player, _ in self.feet))

    def progress(self, practice: int) -> float:
        """The share of the season passed at a practice, counted from 0."""
        return practice / max(self.practices - 1, 1)

    def start_day(self) -> None:
        """A new day: every foot's bias wanders."""
        self.today = {key: true.bias + self.random.normal(0, DAY_SD_DEG) for key, true in self.feet.items()}

    def strike(self, player: str, foot: Foot, *, practice: int, strikes: int) -> Struck:
        """Strikes with one foot at the stage it works at."""
        true, progress = self.feet[player, foot], self.progress(practice)
        within = true.start + (true.end - true.start) * progress
        made = Struck(
            player=player,
            foot=foot,
            stage=self.works_at[player, foot],
            practice=practice,
            progress=progress,
            angles=tuple(self.random.normal(self.today[player, foot], within, strikes).tolist()),
        )
        self.struck.append(made)
        return made

    def true_rates(self) -> dict[tuple[str, str, str], float]:
        """By player, foot and stage: the true rate over the strikes made there."""
        hits: dict[tuple[str, str, str], float] = defaultdict(float)
        attempts: dict[tuple[str, str, str], int] = defaultdict(int)
        for one in self.struck:
            cell = (one.player, one.foot.value, one.stage.name)
            hits[cell] += len(one.angles) * self.feet[one.player, one.foot].rate(one.stage, one.progress)
            attempts[cell] += len(one.angles)
        return {cell: hits[cell] / attempts[cell] for cell in hits}

    def counts(self) -> dict[tuple[str, str, str], tuple[int, int]]:
        """By player, foot and stage: on target, attempts."""
        found: dict[tuple[str, str, str], tuple[int, int]] = defaultdict(lambda: (0, 0))
        for one in self.struck:
            cell = (one.player, one.foot.value, one.stage.name)
            hits, attempts = found[cell]
            found[cell] = (hits + one.on_target, attempts + len(one.angles))
        return dict(found)

    def true_aim(self, player: str, foot: Foot, *, at: str | None) -> tuple[float, float]:
        """Bias and spread in degrees of a foot, over its strikes at a stage, or over all."""
        true = self.feet[player, foot]
        mine = [one for one in self.struck if (one.player, one.foot) == (player, foot) and at in (None, one.stage.name)]
        squares = [true.spread_deg(one.progress) ** 2 for one in mine]
        return true.bias, math.sqrt(float(np.average(squares, weights=[len(one.angles) for one in mine])))


def simulated_squad(ladder: Ladder, *, players: int, practices: int, seed: int) -> SimulatedSquad:
    """A squad of ``players``: every third learns with the left foot, the others stay as they are."""
    random = np.random.default_rng(seed)
    feet = {}
    for number in range(players):
        name = f"Player {chr(ord('A') + number)}"
        right, left = random.uniform(4.5, 9.0), random.uniform(6.5, 12.0)
        learns = number % 3 == 0
        feet[name, Foot.LEFT] = TrueFoot(
            bias=random.normal(0, 1.2), start=left + (3.0 if learns else 0), end=left - (2.5 if learns else 0)
        )
        feet[name, Foot.RIGHT] = TrueFoot(bias=random.normal(0, 1.2), start=right, end=right)
    return SimulatedSquad(ladder=ladder, feet=feet, practices=practices, random=random)
