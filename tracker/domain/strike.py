"""A strike, and the correction that voids one. A strike is never edited."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from tracker.domain.vocabulary import Foot, Miss, Outcome, Source, Surface

NEAREST_STRIKE_M, FARTHEST_STRIKE_M = 0.1, 120.0
ON_TARGET_MEANS = (
    "On target: the whole ball goes through the gate, or into the goal, or would have but for the keeper. "
    "A post or bar that it bounces out from is off target. A mis-hit or an air-kick is off target (short). "
    "Blocked: somebody stopped it on its way; it counts neither way."
)
"""The definition every logger works by."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Strike:
    """One strike of the ball.

    ``distance_m`` is the distance from the ball to the line of the target, in metres; ``target_width_m`` the width of
    the target it was struck at. ``miss`` is said only for a strike off target. Strikes with the same ``struck_at``
    have no known order (a set called out as "7 of 10"). ``struck_at_phone`` is what the phone's own clock said.
    """

    strike_id: UUID
    practice_id: UUID
    player_id: UUID
    stage: str | None
    foot: Foot
    surface: Surface | None
    outcome: Outcome
    miss: Miss | None
    distance_m: float | None
    target_width_m: float | None
    struck_at: datetime
    set_id: UUID | None
    source: Source
    logger: str | None
    struck_at_phone: datetime | None = None

    def __post_init__(self) -> None:
        if self.miss is not None and self.outcome is not Outcome.OFF_TARGET:
            raise ValueError(f"miss is {self.miss.value!r}, but the strike was {self.outcome.value}")
        if self.distance_m is not None and not NEAREST_STRIKE_M <= self.distance_m <= FARTHEST_STRIKE_M:
            raise ValueError(
                f"distance_m must be {NEAREST_STRIKE_M} to {FARTHEST_STRIKE_M:g} metres, but is {self.distance_m}"
            )
        if self.struck_at.tzinfo is None:
            raise ValueError("struck_at must carry a time zone")


@dataclass(frozen=True, kw_only=True, slots=True)
class Correction:
    """Voids one strike: which, who said so, when and why."""

    strike_id: UUID
    corrected_at: datetime
    corrected_by: str | None
    why: str
