"""What the touchline page's addresses answer, as models: their description is made from these."""

from __future__ import annotations

from datetime import date, datetime
from uuid import UUID

from pydantic import BaseModel, ConfigDict

from tracker.domain.vocabulary import BallArrival, Foot, LengthUnit, Surface


class Rejected(BaseModel):
    """One entry that cannot be stored, and why."""

    model_config = ConfigDict(frozen=True)
    strike_id: str
    field: str
    why: str


class DeliveryAnswer(BaseModel):
    """What became of a delivery, by id."""

    stored: list[str]
    already_there: list[str]
    rejected: list[Rejected]


class Refusal(BaseModel):
    """Why nothing was done, in one sentence."""

    error: str


class PracticeTold(BaseModel):
    """Which practice a pass is for."""

    practice_id: UUID
    held_on: date
    label: str


class PlayerTold(BaseModel):
    """A player: name and shirt, never a birth year."""

    player_id: UUID
    display_name: str
    shirt_number: int | None


class StageTold(BaseModel):
    """A stage of the ladder; lengths in metres."""

    name: str
    ball_arrival: BallArrival
    distance_m: float
    surfaces: list[Surface]
    set_sizes: list[int]
    target_width_m: float
    is_gate: bool


class TurnTold(BaseModel):
    """Whom to watch, and why."""

    player_id: UUID
    foot: Foot
    stage: str
    reason: str


class LoggedToday(BaseModel):
    """How many attempts a player's foot has in this practice so far."""

    player_id: UUID
    foot: Foot
    attempts: int


class PracticeAnswer(BaseModel):
    """What the page needs to know of its practice: no result and no birth year."""

    practice: PracticeTold
    squad: str
    logger: str
    expires_at: datetime
    server_time: datetime
    length_unit: LengthUnit
    ladder: str
    definition: str
    players: list[PlayerTold]
    stages: list[StageTold]
    watch: list[TurnTold]
    today: list[LoggedToday]
