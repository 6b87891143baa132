"""From how far a foot should strike at a stage, so that it succeeds between half and four fifths of the time.

A foot's spread in degrees follows from its rate and the angle the target shows, as in the aim model. It is carried
from the stage where the rate is known to another in proportion: the ladder's own rates say how much wider a ready
player's strikes spread when the ball is served, rolls or is carried.

The band is a working choice: evidence conflicts (Guadagnoli & Lee 2004, J Mot Behav 36:212: practice at a difficulty
matched to skill; Capio et al. 2013: few errors suit children; van der Kooij et al. 2026, Sci Rep 16:10272: success
half of the time teaches more than four fifths).
"""

from __future__ import annotations

import math
from statistics import NormalDist

from tracker.domain.ladder import Stage
from tracker.domain.target import METRES_PER_YARD
from tracker.domain.vocabulary import LengthUnit

EASIEST, HARDEST = 0.80, 0.50
CENTRE = 0.65
ROUNDING = 1e-9
NEAREST_SHARE, FARTHEST_SHARE = 0.5, 1.5
"""A spot is moved no nearer than half the stage's distance and no farther than half as far again (our own choice)."""
NEAREST_M = 2.5
_NORMAL = NormalDist()
_SUREST, _LEAST_SURE = 0.98, 0.05  # a pooled rate beyond these says too little about the spread


def is_in_band(rate: float) -> bool:
    """Whether an expected rate is neither too easy nor too hard."""
    return HARDEST - ROUNDING <= rate <= EASIEST + ROUNDING


def assumed_rate(stage: Stage) -> float:
    """The rate of a foot of which nothing is known: halfway between not yet and ready."""
    return (stage.p_not_yet + stage.p_ready) / 2


def expected_rate(*, known_at: Stage, known_rate: float, stage: Stage, distance_m: float) -> float:
    """The rate (0..1) to expect at a stage from a distance in metres, given a rate at another stage's own distance.

    >>> from tracker.domain.ladder_file import shipped_ladders
    >>> still, rolling = shipped_ladders()[1].stages[1:3]
    >>> round(expected_rate(known_at=still, known_rate=0.8, stage=rolling, distance_m=rolling.distance_m), 2)
    0.7
    >>> round(expected_rate(known_at=still, known_rate=0.8, stage=rolling, distance_m=rolling.distance_m * 0.75), 2)
    0.83
    """
    rate = min(max(known_rate, _LEAST_SURE), _SUREST)
    sureness = _half_spreads(rate) / _half_spreads(known_at.p_ready)  # 1 for a ready player
    half_angle = _half_angle_deg(stage, stage.distance_m)
    spread = half_angle / (_half_spreads(stage.p_ready) * sureness)
    return 2 * _NORMAL.cdf(_half_angle_deg(stage, distance_m) / spread) - 1


def best_distance_m(
    *, known_at: Stage, known_rate: float, stage: Stage, farthest_m: float, unit: LengthUnit
) -> tuple[float, float]:
    """(distance in metres, expected rate): the stage's own distance when it is in the band, else the nearest to it in
    whole yards or metres that is; when none is, the one whose rate comes closest to the middle of the band."""
    step = METRES_PER_YARD if unit is LengthUnit.YARDS else 1.0
    least = max(stage.distance_m * NEAREST_SHARE, min(NEAREST_M, stage.distance_m))
    most = max(min(stage.distance_m * FARTHEST_SHARE, farthest_m), least)
    whole = [number * step for number in range(math.ceil(least / step - 1e-6), math.floor(most / step + 1e-6) + 1)]
    own = [stage.distance_m] if stage.distance_m <= most + 1e-6 else []
    rates = {
        distance: expected_rate(known_at=known_at, known_rate=known_rate, stage=stage, distance_m=distance)
        for distance in sorted({*own, *(round(one, 4) for one in whole)} or {least})
    }
    inside = [distance for distance, rate in rates.items() if is_in_band(rate)]
    if inside:
        best = min(inside, key=lambda distance: abs(distance - stage.distance_m))
    else:
        best = min(rates, key=lambda distance: abs(rates[distance] - CENTRE))
    return best, rates[best]


def _half_spreads(rate: float) -> float:
    """How many spreads wide half the target is when it is hit at a rate."""
    return _NORMAL.inv_cdf((1 + rate) / 2)


def _half_angle_deg(stage: Stage, distance_m: float) -> float:
    return math.degrees(math.atan2(stage.target.width_m / 2, distance_m))
