"""Season change through a real database: judged at like difficulty, and for as many feet as are looked at."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import polars as pl
import pytest
import statsmodels.api as sm
from builders import SquadBuilder
from scipy.special import expit, logit
from tallied import store_tallies

from tracker.domain.vocabulary import Dimension, Foot
from tracker.review.change import change
from tracker.review.scope import Scope, player_named
from tracker.stats.change import ChangeVerdict
from tracker.store.database import Database

FIRST = date(2026, 1, 3)
EASY, HARD = "Still ball through a gate", "Carry and shoot"


def day(number: int) -> str:
    return str(FIRST + timedelta(weeks=number))


def steady_squad(practices: int = 10) -> list[dict[str, object]]:
    """Four team-mates who never change and whose days are alike, so that the squad's own correlation is known."""
    return [
        {
            "date": day(number),
            "player": player,
            "foot": "right",
            "attempts": 20,
            "on_target": round(20 * rate),
            "stage": stage,
            "distance_m": distance_m,
        }
        for player in ("Ben", "Cem", "Dee", "Eva")
        for number in range(practices)
        for stage, distance_m, rate in ((EASY, 8, 0.70), (HARD, 16, 0.35))
    ]


def rows_of(squad: SquadBuilder, **options: Any) -> dict[tuple[str, str], dict[str, Any]]:
    rows = change(squad.database, squad.scope, **options).iter_rows(named=True)
    return {(row["player"], row["foot"]): row for row in rows}


def test_a_player_who_climbs_falls_raw_and_rises_at_like_difficulty(squad: SquadBuilder, tmp_path: Path) -> None:
    # The rate rises at either stage, but ever more strikes are made at the harder, farther one.
    mine = []
    for number, easy_share in enumerate(np.linspace(0.95, 0.10, 10)):
        for stage, distance_m, start, share in ((EASY, 8, 0.70, easy_share), (HARD, 16, 0.25, 1 - easy_share)):
            attempts = round(40 * share)
            on_target = round(attempts * expit(logit(start) + 1.4 * number / 9))
            mine.append(
                {
                    "date": day(number),
                    "player": "Ana",
                    "foot": "right",
                    "attempts": attempts,
                    "on_target": on_target,
                    "stage": stage,
                    "distance_m": distance_m,
                }
            )
    store_tallies(squad, tmp_path, [*mine, *steady_squad()])
    row = rows_of(squad)["Ana", "right"]
    assert row["raw_change"] < -0.05
    assert row["raw_verdict"] == ChangeVerdict.NO_CLEAR_CHANGE
    assert row["verdict"] == ChangeVerdict.UP
    assert row["disagrees"]
    assert 0 < row["low"] < row["change"] < row["high"]
    assert (row["practices"], row["attempts"]) == (10, sum(int(one["attempts"]) for one in mine))


def test_a_rise_that_is_only_shorter_distances_is_no_change(squad: SquadBuilder, tmp_path: Path) -> None:
    distances = [9, 9, 8, 9, 8, 7, 8, 7, 6, 6, 5, 6]
    mine = [
        {
            "date": day(number),
            "player": "Ana",
            "foot": "right",
            "attempts": 40,
            "on_target": round(40 * expit(7.0 - 3.5 * np.log(distance_m))),
            "stage": EASY,
            "distance_m": distance_m,
        }
        for number, distance_m in enumerate(distances)
    ]
    store_tallies(squad, tmp_path, [*mine, *steady_squad(12)])
    row = rows_of(squad)["Ana", "right"]
    assert (row["raw_verdict"], row["verdict"]) == (ChangeVerdict.UP, ChangeVerdict.NO_CLEAR_CHANGE)
    assert row["disagrees"]


def test_the_figures_are_those_of_a_quasi_binomial_regression(squad: SquadBuilder, tmp_path: Path) -> None:
    random = np.random.default_rng(4)
    tallies = [
        (number, stage, distance_m, attempts, int(random.binomial(attempts, rate)))
        for number, rate in enumerate(random.uniform(0.3, 0.8, 12))
        for stage, distance_m, attempts in ((EASY, 6 + number % 3, 10), (HARD, 14, 5))
    ]
    store_tallies(
        squad,
        tmp_path,
        [
            {
                "date": day(number),
                "player": "Ana",
                "foot": "left",
                "attempts": attempts,
                "on_target": on_target,
                "stage": stage,
                "distance_m": distance_m,
            }
            for number, stage, distance_m, attempts, on_target in tallies
        ],
    )
    number, is_hard, distance_m, attempts, on_target = np.array(
        [(number, stage == HARD, distance_m, *counts) for number, stage, distance_m, *counts in tallies], dtype=float
    ).T

    def centred(column: np.ndarray) -> np.ndarray:
        return column - np.average(column, weights=attempts)

    design = np.column_stack([np.ones(24), number / 11, centred(is_hard), centred(np.log(distance_m))])
    theirs = sm.GLM(np.column_stack([on_target, attempts - on_target]), design, family=sm.families.Binomial()).fit()
    start, end = expit(theirs.params[0]), expit(theirs.params[0] + theirs.params[1])
    row = rows_of(squad)["Ana", "left"]
    assert (row["start_rate"], row["end_rate"]) == (pytest.approx(start, abs=1e-7), pytest.approx(end, abs=1e-7))
    assert row["change"] == pytest.approx(end - start, abs=1e-7)
    assert row["low"] < row["change"] < row["high"]


def test_fewer_than_three_practices_have_no_verdict(squad: SquadBuilder) -> None:
    for number, outcomes in enumerate(("-" * 20, "+" * 20)):
        squad.strikes("Ana", Foot.LEFT, outcomes, day=FIRST + timedelta(weeks=number), stage=EASY, distance_m=8)
    row = rows_of(squad)["Ana", "left"]
    assert row["verdict"] == ChangeVerdict.TOO_FEW_PRACTICES
    assert (row["start_rate"], row["change"], row["low"], row["high"], row["practices"]) == (None, None, -1.0, 1.0, 2)


def test_a_stage_a_practice_cannot_be_told_from_time(squad: SquadBuilder) -> None:
    for number, stage in enumerate(squad.stages[:3]):
        squad.strikes("Ana", Foot.LEFT, "++++----++", day=FIRST + timedelta(weeks=number), stage=stage, distance_m=8)
    row = rows_of(squad)["Ana", "left"]
    assert row["verdict"] == ChangeVerdict.NOT_SEPARABLE
    assert (row["change"], row["raw_change"]) == (None, pytest.approx(0, abs=1e-9))


def test_of_many_feet_that_never_change_none_is_called_clear_though_one_looks_so_alone(
    squad: SquadBuilder, tmp_path: Path
) -> None:
    random = np.random.default_rng(11)
    store_tallies(
        squad,
        tmp_path,
        [
            {
                "date": day(number),
                "player": f"Player {player}",
                "foot": foot,
                "attempts": 10,
                "on_target": int(random.binomial(10, 0.6)),
                "stage": EASY,
                "distance_m": 8,
            }
            for player in range(20)
            for foot in ("left", "right")
            for number in range(5)
        ],
    )
    rows = change(squad.database, squad.scope)
    assert rows.height == 40
    assert set(rows["verdict"]) == {ChangeVerdict.NO_CLEAR_CHANGE.value}
    lucky = rows.filter(pl.col("alone_verdict") != ChangeVerdict.NO_CLEAR_CHANGE.value)
    assert 1 <= lucky.height <= 4


def test_one_player_alone_is_judged_for_two_feet_only(demo: Database) -> None:
    everybody = Scope()
    rows = change(demo, everybody).filter(player="Zoë L.")
    alone = change(demo, Scope(player=player_named(demo, "Zoë L.", squad=None)))
    assert alone["change"].to_list() == pytest.approx(rows["change"].to_list())
    assert alone.filter(foot="left")["verdict"].to_list() == [ChangeVerdict.UP.value]


def test_strikes_of_unknown_distance_count_as_from_where_the_foot_usually_strikes(
    squad: SquadBuilder, tmp_path: Path
) -> None:
    mine = [
        {"date": day(number), "player": "Ana", "foot": "left", "attempts": 10, "on_target": hits, "distance_m": metres}
        for number, (hits, metres) in enumerate([(4, 8), (5, ""), (6, 8), (7, ""), (7, 8)])
    ]
    store_tallies(squad, tmp_path, mine)
    row = rows_of(squad)["Ana", "left"]
    assert row["change"] == pytest.approx(row["raw_change"])  # one distance throughout, so difficulty is alike
    assert row["attempts"] == 50


def test_strikes_of_the_nearest_distance_can_be_reckoned_with(squad: SquadBuilder) -> None:
    for number, distance_m in enumerate((0.3, 5.0, 0.3, 5.0)):
        squad.strikes("Ana", Foot.LEFT, "+++--", day=FIRST + timedelta(weeks=number), distance_m=distance_m)
    assert rows_of(squad)["Ana", "left"]["verdict"] == ChangeVerdict.NO_CLEAR_CHANGE


def test_stages_can_be_judged_one_by_one(demo: Database) -> None:
    rows = change(demo, Scope(), by=(Dimension.PLAYER, Dimension.FOOT, Dimension.STAGE))
    assert rows.columns[:9] == [
        *("player", "foot", "stage", "start_rate", "end_rate", "change", "low", "high", "practices"),
    ]
    known = rows.filter(pl.col("change").is_not_null())
    assert known.filter(~pl.col("change").is_between(pl.col("low"), pl.col("high"))).is_empty()


@pytest.mark.parametrize(
    "by", [(Dimension.PLAYER,), (Dimension.FOOT,), (Dimension.PLAYER, Dimension.FOOT, Dimension.MONTH)]
)
def test_only_single_feet_are_judged(database: Database, by: tuple[Dimension, ...]) -> None:
    with pytest.raises(ValueError, match="by must be player,foot"):
        change(database, Scope(), by=by)


def test_without_strikes_there_are_no_rows(squad: SquadBuilder) -> None:
    assert change(squad.database, squad.scope).is_empty()
