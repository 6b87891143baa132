"""A practice plan as data: what a coach reads, edits by hand, and has checked."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from tracker.domain.cautions import Caution
from tracker.domain.setup import SetUp
from tracker.domain.setup_changes import EquipmentItem
from tracker.domain.vocabulary import Foot


class Activity(StrEnum):
    """What a part of a practice is for."""

    WARM_UP = "warm-up"
    FINISHING = "finishing"
    GAME = "game"


@dataclass(frozen=True, kw_only=True, slots=True)
class FootWork:
    """What one foot does in a block: its sets, from how far, and the rate (0..1) to plan with, never to be told."""

    foot: Foot
    sets: tuple[int, ...]
    distance_m: float
    expected_rate: float

    @property
    def strikes(self) -> int:
        """Strikes planned."""
        return sum(self.sets)


@dataclass(frozen=True, kw_only=True, slots=True)
class PlayerWork:
    """What one player does in a block, the other foot first."""

    player: str
    feet: tuple[FootWork, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class LaneWork:
    """The players who share a lane, and the stage they work at. They are together because they stand at one stage."""

    number: int
    stage: str
    players: tuple[PlayerWork, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Part:
    """A part of a practice: ``starts_at`` and ``minutes`` in whole minutes from the start; lanes in finishing only."""

    activity: Activity
    starts_at: int
    minutes: int
    what: str
    lanes: tuple[LaneWork, ...] = ()

    @property
    def stages(self) -> tuple[str, ...]:
        """The stages worked at, each once, in the order of the lanes."""
        return tuple(dict.fromkeys(lane.stage for lane in self.lanes))


@dataclass(frozen=True, kw_only=True, slots=True)
class PartChange:
    """What moves before a part of finishing, and what stays as it is."""

    starts_at: int
    moves: tuple[str, ...]
    stays: tuple[str, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class FocalTurn:
    """One logger watches one lane, whatever happens there. ``block`` counts the parts of finishing from 1."""

    logger: int
    block: int
    starts_at: int
    minutes: int
    lane: int
    players: tuple[str, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class ExpectedStrikes:
    """Strikes to expect of one foot in the practice, and how many of them in a lane that a logger watches then."""

    player: str
    foot: Foot
    strikes: int
    watched: int


@dataclass(frozen=True, kw_only=True, slots=True)
class OpenQuestion:
    """Whether a foot is ready at a stage, and after how many practices like this one that should be known: 0 when its
    rate is known well already, None when this practice does not work on it."""

    player: str
    foot: Foot
    stage: str
    practices: int | None
    sentence: str


@dataclass(frozen=True, kw_only=True, slots=True)
class PracticePlan:
    """A practice from warm-up to game. Change any of it with ``dataclasses.replace`` and have it checked again."""

    held_on: date
    minutes: int
    field: SetUp
    parts: tuple[Part, ...]
    focal_turns: tuple[FocalTurn, ...]
    expected_strikes: tuple[ExpectedStrikes, ...]
    questions: tuple[OpenQuestion, ...]
    equipment: tuple[EquipmentItem, ...]
    changes: tuple[PartChange, ...]
    cautions: tuple[Caution, ...]
    remarks: tuple[str, ...]

    @property
    def finishing(self) -> tuple[Part, ...]:
        """The parts of finishing, in order."""
        return tuple(part for part in self.parts if part.activity is Activity.FINISHING)

    def work(self) -> Iterator[tuple[Part, LaneWork, PlayerWork]]:
        """Every player's work in every part, in order."""
        for part in self.finishing:
            for lane in part.lanes:
                for player in lane.players:
                    yield part, lane, player
