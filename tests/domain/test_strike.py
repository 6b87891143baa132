"""What a strike may and may not say."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest

from tracker.domain.identity import uuid7
from tracker.domain.strike import Strike
from tracker.domain.vocabulary import Foot, Miss, Outcome, Source, Surface


def a_strike(**facts: Any) -> Strike:
    usual: dict[str, Any] = {
        "strike_id": uuid7(),
        "practice_id": uuid7(),
        "player_id": uuid7(),
        "stage": "Rolling ball",
        "foot": Foot.LEFT,
        "surface": Surface.INSIDE,
        "outcome": Outcome.OFF_TARGET,
        "miss": Miss.LEFT,
        "distance_m": 10.0584,
        "target_width_m": 2.7432,
        "struck_at": datetime(2026, 3, 3, 17, 30, tzinfo=UTC),
        "set_id": None,
        "source": Source.TAP,
        "logger": None,
    }
    return Strike(**(usual | facts))


def test_a_miss_may_have_a_side_or_none() -> None:
    assert a_strike().miss is Miss.LEFT
    assert a_strike(miss=None).miss is None


@pytest.mark.parametrize("outcome", [Outcome.ON_TARGET, Outcome.BLOCKED])
def test_only_a_strike_off_target_missed_somewhere(outcome: Outcome) -> None:
    with pytest.raises(ValueError, match=f"miss is 'left', but the strike was {outcome}"):
        a_strike(outcome=outcome)


@pytest.mark.parametrize("distance_m", [0.1, 120.0, None])
def test_a_distance_may_lie_on_its_limits_or_be_unknown(distance_m: float | None) -> None:
    assert a_strike(distance_m=distance_m).distance_m == distance_m


@pytest.mark.parametrize("distance_m", [0.0, 0.09, 120.01, -5.0, float("nan"), float("inf")])
def test_a_distance_beyond_its_limits_is_refused(distance_m: float) -> None:
    with pytest.raises(ValueError, match=r"distance_m must be 0\.1 to 120 metres, but is"):
        a_strike(distance_m=distance_m)


def test_a_time_without_a_zone_is_refused() -> None:
    with pytest.raises(ValueError, match="struck_at must carry a time zone"):
        a_strike(struck_at=datetime(2026, 3, 3, 17, 30))  # noqa: DTZ001


def test_a_strike_is_never_edited() -> None:
    with pytest.raises(AttributeError):
        a_strike().foot = Foot.RIGHT  # type: ignore[misc]
