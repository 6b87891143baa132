"""A norm: what is usual for players of an age at one kind of strike, over many clubs. No child can be found in one."""

from __future__ import annotations

from dataclasses import dataclass

from tracker.domain.ladder import Ladder, Stage
from tracker.domain.vocabulary import BallArrival, Foot

FEWEST_PLAYERS = 10
"""A norm of fewer players is neither written nor taken in."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Norm:
    """How players' rates spread with one foot at a stage, known by what it asks: ball arrival, distance, target width.

    ``distance_m`` is in whole metres, ``target_width_dm`` in decimetres. Rates are 0..1; half of the players lie
    between the quartiles. ``strength`` is in strikes (`tracker.stats.pooling`); ``club_strength`` says how clubs
    differ, None when not known.
    """

    age_band: str
    ball_arrival: BallArrival
    distance_m: int
    target_width_dm: int
    foot: Foot
    players: int
    clubs: int
    mean: float
    strength: float
    lower_quartile: float
    upper_quartile: float
    club_strength: float | None

    def __post_init__(self) -> None:
        if self.players < FEWEST_PLAYERS:
            raise ValueError(f"players is {self.players}; a norm needs at least {FEWEST_PLAYERS}")
        if not 0.0 < self.lower_quartile <= self.upper_quartile < 1.0 or not 0.0 < self.mean < 1.0:
            raise ValueError("mean, lower_quartile and upper_quartile must be above 0 and below 1, in order")
        if any(one is not None and not 0.0 < one < 1e6 for one in (self.strength, self.club_strength)):
            raise ValueError("strength and club_strength must be strikes above 0")

    def is_of(self, ladder: Ladder, stage: Stage) -> bool:
        """Whether a stage of a ladder asks what this norm was measured at."""
        return (self.age_band, self.ball_arrival, self.distance_m, self.target_width_dm) == (
            ladder.age_band,
            stage.ball_arrival,
            round(stage.distance_m),
            round(10 * stage.target.width_m),
        )
