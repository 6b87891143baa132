"""The foot gap: preferred minus other foot, with the interval a referee computes."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from builders import SquadBuilder
from statsmodels.stats.proportion import confint_proportions_2indep

from tracker.domain.vocabulary import Dimension, Foot, PreferredFoot
from tracker.review.accuracy import accuracy
from tracker.review.gap import foot_gap
from tracker.review.scope import chosen_scope
from tracker.store.database import Database

STAGE = "Still ball through a gate"


def one_a_practice(squad: SquadBuilder, player: str, foot: Foot, outcomes: str, *, stage: str = STAGE) -> None:
    """A strike a day, so that nothing hangs together."""
    for day, outcome in enumerate(outcomes):
        squad.strikes(player, foot, outcome, day=date(2026, 1, 1) + timedelta(days=day), stage=stage)


def answer(database: Database, *by: Dimension, level: float = 0.95) -> list[dict[str, Any]]:
    return foot_gap(database, chosen_scope(database), by=by or (Dimension.PLAYER,), level=level).to_dicts()


@pytest.mark.parametrize("level", [0.95, 0.8])
def test_independent_strikes_have_newcombe_s_interval(database: Database, squad: SquadBuilder, level: float) -> None:
    one_a_practice(squad, "Ana", Foot.RIGHT, "++++++++--")
    one_a_practice(squad, "Ana", Foot.LEFT, "+++----")
    (row,) = answer(database, level=level)
    low, high = confint_proportions_2indep(8, 10, 3, 7, method="newcomb", compare="diff", alpha=1 - level)
    assert row["gap"] == pytest.approx(8 / 10 - 3 / 7)
    assert (row["low"], row["high"]) == pytest.approx((low, high), abs=1e-9)
    assert (row["preferred_rate"], row["other_rate"]) == (0.8, pytest.approx(3 / 7))
    assert (row["preferred_attempts"], row["other_attempts"]) == (10, 7)


def test_the_gap_is_preferred_minus_other_also_for_a_left_footer(database: Database, squad: SquadBuilder) -> None:
    for player in ("Ana", "Ben"):
        one_a_practice(squad, player, Foot.RIGHT, "++++")
        one_a_practice(squad, player, Foot.LEFT, "+---")
    right_footer, left_footer = answer(database)
    assert (right_footer["player"], right_footer["preferred_foot"], right_footer["gap"]) == ("Ana", "right", 0.75)
    assert (left_footer["player"], left_footer["preferred_foot"], left_footer["gap"]) == ("Ben", "left", -0.75)
    assert (left_footer["low"], left_footer["high"]) == pytest.approx((-right_footer["high"], -right_footer["low"]))


def test_strikes_of_one_practice_make_the_interval_wider(database: Database) -> None:
    apart = SquadBuilder.start(database, "Apart", Ana="right")
    together = SquadBuilder.start(database, "Together", Ana="right")
    for foot in Foot:
        one_a_practice(apart, "Ana", foot, "+++--")
        together.strikes("Ana", foot, "+++--", day=date(2026, 1, 1), stage=STAGE)
    narrow, wide = (foot_gap(database, one.scope).row(0, named=True) for one in (apart, together))
    assert narrow["gap"] == wide["gap"] == 0
    assert wide["high"] - wide["low"] > narrow["high"] - narrow["low"] + 0.1


def test_a_foot_without_strikes_leaves_everything_possible(database: Database, squad: SquadBuilder) -> None:
    one_a_practice(squad, "Ana", Foot.LEFT, "++-")
    (row,) = answer(database)
    assert (row["preferred_rate"], row["gap"], row["low"], row["high"]) == (None, None, -1.0, 1.0)
    assert (row["preferred_attempts"], row["other_attempts"]) == (0, 3)


@pytest.mark.parametrize("preferred", [PreferredFoot.BOTH, PreferredFoot.UNKNOWN])
def test_a_player_who_names_no_one_foot_has_no_gap(database: Database, preferred: PreferredFoot) -> None:
    squad = SquadBuilder.start(database, "Quillhaven U12", Mateo=preferred.value)
    for foot in Foot:
        one_a_practice(squad, "Mateo", foot, "+-")
    assert answer(database) == []


def test_stages_are_compared_one_by_one(database: Database, squad: SquadBuilder) -> None:
    one_a_practice(squad, "Ana", Foot.RIGHT, "++", stage="Rolling ball")
    one_a_practice(squad, "Ana", Foot.LEFT, "--", stage="Rolling ball")
    one_a_practice(squad, "Ana", Foot.RIGHT, "--", stage=STAGE)
    one_a_practice(squad, "Ana", Foot.LEFT, "++", stage=STAGE)
    rows = answer(database, Dimension.PLAYER, Dimension.STAGE)
    assert {row["stage"]: row["gap"] for row in rows} == {"Rolling ball": 1.0, STAGE: -1.0}
    assert [row["gap"] for row in answer(database)] == [0.0]


@pytest.mark.parametrize("by", [(Dimension.STAGE,), (Dimension.PLAYER, Dimension.FOOT), ()])
def test_feet_are_compared_within_a_player_only(database: Database, by: tuple[Dimension, ...]) -> None:
    with pytest.raises(ValueError, match="by must be player"):
        foot_gap(database, chosen_scope(database), by=by)


def test_the_rates_of_the_demo_are_those_of_accuracy(demo: Database) -> None:
    rates = {
        (player, foot): rate
        for player, foot, rate in accuracy(demo, chosen_scope(demo)).select("player", "foot", "rate").rows()
    }
    rows = answer(demo)
    assert len(rows) == 14
    for row in rows:
        preferred = Foot(row["preferred_foot"])
        assert row["preferred_rate"] == rates[row["player"], preferred]
        assert row["other_rate"] == rates[row["player"], preferred.opposite]
        assert row["low"] < row["gap"] < row["high"]
