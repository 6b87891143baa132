"""Rates of few strikes borrow from the squad, stage by stage and foot by foot."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import numpy as np
import polars as pl
import pytest
from builders import SquadBuilder
from tallied import store_tallies

from tracker.domain.vocabulary import Foot
from tracker.review.pooled import pooled
from tracker.review.scope import Scope, player_named
from tracker.stats.pooling import PoolingMethod, pooled_rates
from tracker.store.database import Database

FIRST = date(2026, 1, 3)
GATE, ROLLING = "Still ball through a gate", "Rolling ball"


def one_a_day(squad: SquadBuilder, folder: Path, counts: dict[str, tuple[int, int]], *, stage: str = GATE) -> None:
    """On target and attempts of the right foot of each player, a strike a day, so that nothing hangs together."""
    rows = [
        {
            "date": FIRST + timedelta(days=number),
            "player": player,
            "foot": "right",
            "stage": stage,
            "attempts": 1,
            "on_target": int(number < on_target),
        }
        for player, (on_target, attempts) in counts.items()
        for number in range(attempts)
    ]
    store_tallies(squad, folder, rows)


def test_the_figures_are_those_of_empirical_bayes(squad: SquadBuilder, tmp_path: Path) -> None:
    random = np.random.default_rng(5)
    counts = {f"P{one:02}": (int(random.binomial(25, rate)), 25) for one, rate in enumerate(random.beta(6, 4, 10))}
    one_a_day(squad, tmp_path, counts)
    rows = pooled(squad.database, squad.scope)
    hits, tries = (np.array(column) for column in zip(*counts.values(), strict=True))
    theirs = pooled_rates(tries, hits, np.zeros(10, dtype=int))
    assert rows["player"].to_list() == list(counts)
    np.testing.assert_allclose(rows["pooled_rate"], theirs.rate)
    np.testing.assert_allclose(rows["low"], theirs.low)
    np.testing.assert_allclose(rows["high"], theirs.high)
    assert set(rows["squad_method"]) == {PoolingMethod.MAXIMUM_LIKELIHOOD.value}


def test_cells_of_three_strikes_are_drawn_in_from_nought_and_a_hundred(squad: SquadBuilder, tmp_path: Path) -> None:
    # Most cells of real records have under ten strikes, and many are 0 of 3 or 3 of 3.
    one_a_day(squad, tmp_path, {"Ana": (0, 3), "Ben": (3, 3), "Cem": (30, 50)})
    rate = {row["player"]: row for row in pooled(squad.database, squad.scope).iter_rows(named=True)}
    assert rate["Ana"]["rate"] == 0
    assert rate["Ben"]["rate"] == 1
    assert 0.4 < rate["Ana"]["pooled_rate"] < rate["Cem"]["pooled_rate"] < rate["Ben"]["pooled_rate"] < 0.8
    assert rate["Cem"]["pooled_rate"] == pytest.approx(0.6, abs=0.02)
    for row in rate.values():
        assert 0 < row["low"] < row["pooled_rate"] < row["high"] < 1
        assert row["squad_method"] == PoolingMethod.DEFAULT


def test_stages_and_feet_do_not_lend_to_each_other(squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.RIGHT, "+" * 20, day=FIRST, stage=GATE)
    squad.strikes("Ana", Foot.LEFT, "-" * 20, day=FIRST, stage=GATE)
    squad.strikes("Ana", Foot.RIGHT, "-" * 20, day=FIRST, stage=ROLLING)
    squad_rate = {
        (row["foot"], row["stage"]): row["squad_rate"] for row in pooled(squad.database, squad.scope).to_dicts()
    }
    assert squad_rate["right", GATE] > 0.9
    assert squad_rate["left", GATE] < 0.1
    assert squad_rate["right", ROLLING] < 0.1


def test_strikes_of_one_day_weigh_less_against_the_squad(squad: SquadBuilder, tmp_path: Path) -> None:
    one_a_day(squad, tmp_path, {"Ana": (2, 12), "Cem": (40, 60)})
    squad.strikes("Ben", Foot.RIGHT, "++" + "-" * 10, day=FIRST, stage=GATE)
    rows = {row["player"]: row for row in pooled(squad.database, squad.scope).iter_rows(named=True)}
    assert rows["Ben"]["effective_attempts"] < rows["Ana"]["effective_attempts"] == pytest.approx(12)
    assert rows["Ana"]["pooled_rate"] < rows["Ben"]["pooled_rate"]


def test_a_player_alone_still_borrows_from_the_whole_squad(demo: Database) -> None:
    everybody = pooled(demo, Scope())
    zoe = pooled(demo, Scope(player=player_named(demo, "Zoë L.", squad=None)))
    assert zoe.equals(everybody.filter(player="Zoë L."))
    assert everybody.filter(~pl.col("pooled_rate").is_between("low", "high")).is_empty()


def test_without_strikes_there_is_nothing_to_pool(squad: SquadBuilder) -> None:
    assert pooled(squad.database, squad.scope).is_empty()
