"""The ladder: an ordered list of drill stages, each harder than the one before."""

from __future__ import annotations

from dataclasses import dataclass

from tracker.domain.target import Target, angular_width_deg
from tracker.domain.vocabulary import BallArrival, Surface


@dataclass(frozen=True, kw_only=True, slots=True)
class Stage:
    """One drill stage.

    ``set_sizes`` are the strikes a set, per foot, in the order of a practice (10, then 5). ``p_not_yet`` is the rate of
    a player who should stay, ``p_ready`` of one who should move on. ``source`` says where the numbers come from.
    """

    name: str
    position: int
    ball_arrival: BallArrival
    surfaces: tuple[Surface, ...]
    target: Target
    distance_m: float
    set_sizes: tuple[int, ...]
    p_not_yet: float
    p_ready: float
    coaching_points: tuple[str, ...]
    cautions: tuple[str, ...]
    source: str

    @property
    def angular_width_deg(self) -> float:
        """The angle in degrees the target shows from the stage's distance, straight in front."""
        return angular_width_deg(self.target.width_m, self.distance_m)

    @property
    def set_size(self) -> int:
        """Strikes in the first set of a practice."""
        return self.set_sizes[0]


@dataclass(frozen=True, kw_only=True, slots=True)
class Ladder:
    """An ordered list of stages for one age band.

    ``false_ready_risk`` is the accepted chance of calling a player ready within ``horizon_strikes`` strikes whose rate
    is still ``p_not_yet``; ``correlation`` is assumed between strikes of one practice until the squad's own can be
    estimated.
    """

    name: str
    age_band: str
    stages: tuple[Stage, ...]
    false_ready_risk: float
    horizon_strikes: int
    correlation: float

    def stage_named(self, name: str) -> Stage | None:
        """The stage of this name, letter case and outer spaces aside, or None."""
        wanted = name.strip().casefold()
        return next((stage for stage in self.stages if stage.name.casefold() == wanted), None)

    def stage_after(self, stage: Stage) -> Stage | None:
        """The next stage up, or None at the top."""
        return self.stages[stage.position] if stage.position < len(self.stages) else None
