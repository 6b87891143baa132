"""A scope cut by stage, surface and distance: rates count what is left, scores and correlations count every strike."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from builders import SquadBuilder

from tracker.domain.vocabulary import Dimension, Foot, Surface
from tracker.review.accuracy import accuracy
from tracker.review.aim import aim
from tracker.review.cells import correlations
from tracker.review.first_sets import first_sets
from tracker.review.pooled import pooled
from tracker.review.readiness import readiness
from tracker.review.scope import Scope
from tracker.store.database import Database

GATE, ROLLING = "Still ball through a gate", "Rolling ball"
EIGHT_YARDS_M, TWELVE_YARDS_M = 7.3152, 10.9728


@pytest.fixture
def season(squad: SquadBuilder) -> SquadBuilder:
    """Ana's left foot: 7 of 10 at the gate from 8 yd, laces; 3 of 10 rolling from 12 yd, inside; 1 of 2 unknown."""
    day = date(2026, 3, 7)
    squad.strikes("Ana", Foot.LEFT, "+++++++---", day=day, stage=GATE, surface=Surface.LACES, distance_m=EIGHT_YARDS_M)
    squad.strikes(
        "Ana", Foot.LEFT, "+++-------", day=day, stage=ROLLING, surface=Surface.INSIDE, distance_m=TWELVE_YARDS_M
    )
    squad.strikes("Ana", Foot.LEFT, "+-", day=day, stage=GATE)
    return squad


def counted(season: SquadBuilder, **cut: object) -> tuple[int, int]:
    found = accuracy(season.database, replace(season.scope, **cut), by=[Dimension.PLAYER])  # type: ignore[arg-type]
    return (found["on_target"].sum(), found["attempts"].sum())


@pytest.mark.parametrize(
    ("cut", "left"),
    [
        ({}, (11, 22)),
        ({"stage": GATE}, (8, 12)),
        ({"surface": Surface.INSIDE}, (3, 10)),
        ({"nearest_m": EIGHT_YARDS_M, "farthest_m": EIGHT_YARDS_M}, (7, 10)),
        ({"nearest_m": 7.318}, (10, 20)),
        ({"farthest_m": 7.30}, (0, 0)),
        ({"farthest_m": 11.0, "surface": Surface.LACES, "stage": GATE}, (7, 10)),
        ({"stage": ROLLING, "surface": Surface.LACES}, (0, 0)),
    ],
)
def test_rates_count_the_strikes_within_the_cut(
    season: SquadBuilder, cut: dict[str, object], left: tuple[int, int]
) -> None:
    assert counted(season, **cut) == left


def test_a_score_is_of_every_strike_of_its_stage(season: SquadBuilder) -> None:
    cut = replace(season.scope, surface=Surface.INSIDE, stage=ROLLING, nearest_m=10.0)
    assert readiness(season.database, cut).equals(readiness(season.database, season.scope))


def test_how_a_day_hangs_together_is_estimated_from_all_of_the_squad(demo: Database) -> None:
    whole = correlations(demo, Scope())
    cut = correlations(demo, Scope(surface=Surface.INSIDE, farthest_m=9.0))
    assert (cut.foot, cut.stage) == (whole.foot, whole.stage)
    assert cut.correlation.tolist() == whole.correlation.tolist()


def test_aim_first_sets_and_pooled_rates_keep_to_the_cut(demo: Database) -> None:
    cut, whole = Scope(stage=ROLLING), Scope()
    assert aim(demo, cut)["attempts"].sum() < aim(demo, whole)["attempts"].sum()
    assert first_sets(demo, cut)["first_attempts"].sum() < first_sets(demo, whole)["first_attempts"].sum()
    assert set(pooled(demo, cut)["stage"]) == {ROLLING}


def test_an_answer_follows_what_is_stored_in_between(season: SquadBuilder) -> None:
    before = correlations(season.database, season.scope)
    for day in range(8, 28):
        for player in ("Ana", "Ben"):
            season.strikes(
                player, Foot.LEFT, "++++++++++" if day % 2 else "----------", day=date(2026, 3, day), stage=GATE
            )
    after = correlations(season.database, season.scope)
    at = after.stage.index(GATE)
    assert after.is_estimated[at]
    assert after.correlation[at] > before.correlation[before.stage.index(GATE)]
