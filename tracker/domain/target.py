"""Targets and the angle they show from where the ball is struck."""

from __future__ import annotations

import math
from dataclasses import dataclass

METRES_PER_YARD = 0.9144  # exact, by the international yard and pound agreement of 1959
METRES_PER_FOOT = 0.3048


def angular_width_deg(width_m: float, distance_m: float, offset_m: float = 0.0) -> float:
    """The angle in degrees between the two ends of a target, seen from the ball.

    ``distance_m`` is perpendicular to the line of the target, ``offset_m`` sideways from its centre.
    Raises ValueError unless both width and distance are above 0.

    >>> round(angular_width_deg(7.32, 11.0), 4)  # a full-size goal from the penalty mark
    36.8074
    """
    if not (width_m > 0 and distance_m > 0):
        raise ValueError(f"width_m and distance_m must be above 0, but are {width_m} and {distance_m}")
    return math.degrees(math.atan2(width_m * distance_m, distance_m**2 + offset_m**2 - width_m**2 / 4))


@dataclass(frozen=True, kw_only=True, slots=True)
class Target:
    """What is struck at, in metres, between the inside edges. A gate has no bar: its height is None."""

    width_m: float
    height_m: float | None

    @property
    def is_gate(self) -> bool:
        """Whether the target is a gate on the ground rather than a goal."""
        return self.height_m is None
