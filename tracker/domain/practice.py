"""A practice, and a coach's placements of players on the ladder."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from tracker.domain.vocabulary import Foot, PitchSurface, ReadinessStatus


@dataclass(frozen=True, kw_only=True, slots=True)
class Practice:
    """One meeting of a squad. ``label`` tells two practices of one day apart and is usually empty."""

    practice_id: UUID
    squad_id: UUID
    held_on: date
    label: str = ""
    place: str | None = None
    pitch_surface: PitchSurface | None = None
    notes: str | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Placement:
    """A coach's decision: this player, this foot, this stage, from this moment on.

    ``suggested_status`` is what the tool said about the stage the player came from, kept beside the decision.
    """

    placement_id: UUID
    player_id: UUID
    foot: Foot
    stage: str
    placed_at: datetime
    suggested_stage: str | None = None
    suggested_status: ReadinessStatus | None = None
    note: str | None = None
