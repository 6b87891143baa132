"""Accuracy: limits as a referee computes them, counts as the file holds them, filters that filter."""

from __future__ import annotations

from datetime import date

import duckdb
import numpy as np
import polars as pl
import pytest
from builders import SquadBuilder
from numpy.testing import assert_allclose
from polars.testing import assert_frame_equal
from statsmodels.stats.proportion import proportion_confint

from tracker.domain.vocabulary import Dimension, Foot, IntervalMethod, Outcome, Surface
from tracker.errors import RequestError
from tracker.review import club
from tracker.review.accuracy import accuracy
from tracker.review.demonstration import demo_folder
from tracker.review.logbook import undo
from tracker.review.scope import chosen_scope
from tracker.store.database import Database

PLAYER, FOOT, STAGE, SURFACE = Dimension.PLAYER, Dimension.FOOT, Dimension.STAGE, Dimension.SURFACE
DISTANCE, MONTH, PRACTICE = Dimension.DISTANCE, Dimension.MONTH, Dimension.PRACTICE

SPLITS = [
    [PLAYER, FOOT],
    [FOOT, PLAYER],
    [PLAYER],
    [FOOT],
    [STAGE],
    [MONTH],
    [PRACTICE],
    [FOOT, SURFACE],
    [PLAYER, FOOT, STAGE],
    [PLAYER, FOOT, DISTANCE],
    [PLAYER, FOOT, STAGE, SURFACE, DISTANCE, MONTH, PRACTICE],
]

IN_FILE = {
    PLAYER: "player",
    FOOT: "foot",
    STAGE: "stage",
    SURFACE: "surface",
    DISTANCE: "if(distance_m < 10, round(distance_m), 2 * round(distance_m / 2))",
    MONTH: "date[:7]",
    PRACTICE: "date",
}


def split_name(by: list[Dimension]) -> str:
    return ",".join(by)


def counted_in_file(by: list[Dimension]) -> pl.DataFrame:
    """Attempts, hits and practices counted in the demo's CSV itself, by DuckDB."""
    columns = ", ".join(f"{IN_FILE[one]} as {one}" for one in by)
    strikes = f"read_csv('{demo_folder()}/strikes.csv', types = {{'date': 'varchar'}})"
    answer = duckdb.sql(
        f"select {columns}, count(*) as attempts, count(*) filter (outcome = 'on') as on_target, "  # noqa: S608
        f"count(distinct date) as practices from {strikes} where outcome != 'blocked' group by all"
    )
    assert answer is not None
    return pl.DataFrame(answer.pl())


@pytest.mark.parametrize("by", SPLITS, ids=split_name)
def test_counts_are_those_of_the_file(demo: Database, by: list[Dimension]) -> None:
    answer = accuracy(demo, chosen_scope(demo), by=by).select(*by, "attempts", "on_target", "practices")
    assert_frame_equal(answer, counted_in_file(by), check_row_order=False, check_dtypes=False)


REFEREES = {
    IntervalMethod.WILSON: "wilson",
    IntervalMethod.CLOPPER_PEARSON: "beta",
    IntervalMethod.JEFFREYS: "jeffreys",
    IntervalMethod.AGRESTI_COULL: "agresti_coull",
}


@pytest.mark.parametrize("by", SPLITS, ids=split_name)
@pytest.mark.parametrize("method", REFEREES)
def test_limits_of_independent_strikes_are_those_of_statsmodels(
    demo: Database, by: list[Dimension], method: IntervalMethod
) -> None:
    answer = accuracy(demo, chosen_scope(demo), by=by, method=method, cluster=False, level=0.9)
    hits, attempts = answer["on_target"].to_numpy(), answer["attempts"].to_numpy()
    low, high = proportion_confint(hits, attempts, alpha=0.1, method=REFEREES[method])
    if (
        method is IntervalMethod.JEFFREYS
    ):  # Brown, Cai & DasGupta 2001, section 4.1: no limit away from a rate of 0 or 1
        low, high = np.where(hits == 0, 0.0, low), np.where(hits == attempts, 1.0, high)
    if method is IntervalMethod.AGRESTI_COULL:  # a limit beyond 0 or 1 is cut, and exact at a rate of 0 or 1
        low, high = np.where(hits == 0, 0.0, low.clip(0)), np.where(hits == attempts, 1.0, high.clip(max=1))
    assert_allclose(answer["low"], low, rtol=0, atol=1e-9)
    assert_allclose(answer["high"], high, rtol=0, atol=1e-9)
    assert_allclose(answer["rate"], hits / attempts, rtol=0, atol=1e-15)
    assert_allclose(answer["effective_attempts"], attempts)
    assert set(answer["level"]) == {0.9}
    assert set(answer["method"]) == {method.value}
    assert set(answer["correlation_source"]) == {"none"}


@pytest.mark.parametrize("by", SPLITS, ids=split_name)
def test_an_interval_that_allows_for_days_is_never_narrower_and_holds_the_rate(
    demo: Database, by: list[Dimension]
) -> None:
    scope = chosen_scope(demo)
    clustered, independent = accuracy(demo, scope, by=by), accuracy(demo, scope, by=by, cluster=False)
    assert_frame_equal(clustered.select(*by, "rate"), independent.select(*by, "rate"))
    assert (clustered["effective_attempts"] <= clustered["attempts"] + 1e-9).all()
    wider = (clustered["high"] - clustered["low"]) - (independent["high"] - independent["low"])
    assert (wider > -1e-12).all()
    inside = (
        (clustered["low"] >= 0) & (clustered["low"] <= clustered["rate"]) & (clustered["rate"] <= clustered["high"])
    )
    assert inside.all()
    assert (clustered["high"] <= 1).all()


def test_one_practice_of_a_new_squad_counts_as_the_ladder_assumes(database: Database, squad: SquadBuilder) -> None:
    """The ladder says 0.05, an interval allows two and a half times that: 1 + 9 × 0.125 for ten strikes together."""
    squad.strikes("Ana", Foot.LEFT, "+++++++---", day=date(2026, 3, 7), stage=squad.stages[0])
    answer = accuracy(database, squad.scope).row(0, named=True)
    assert answer["effective_attempts"] == pytest.approx(10 / (1 + 9 * 0.125))
    assert answer["correlation"] == pytest.approx(0.05)
    assert answer["correlation_source"] == "default"
    low, high = proportion_confint(7 / 2.125, 10 / 2.125, method="wilson")
    assert (answer["low"], answer["high"]) == pytest.approx((low, high), abs=1e-9)


def test_ten_practices_of_one_strike_do_not_hang_together(database: Database, squad: SquadBuilder) -> None:
    for day in range(1, 11):
        squad.strikes("Ana", Foot.LEFT, "+", day=date(2026, 3, day))
    answer = accuracy(database, squad.scope).row(0, named=True)
    assert (answer["attempts"], answer["practices"], answer["effective_attempts"]) == (10, 10, 10.0)


@pytest.mark.parametrize("outcome", Outcome)
def test_the_view_counts_an_outcome_as_the_vocabulary_says(
    database: Database, squad: SquadBuilder, outcome: Outcome
) -> None:
    mark = {Outcome.ON_TARGET: "+", Outcome.OFF_TARGET: "-", Outcome.BLOCKED: "b"}[outcome]
    squad.strikes("Ana", Foot.LEFT, mark, day=date(2026, 3, 7))
    attempts, on_target, blocked = database._connection.execute(
        "select attempts, on_target, blocked from tally"
    ).fetchall()[0]
    assert bool(attempts) is outcome.is_attempt
    assert bool(on_target) is (outcome is Outcome.ON_TARGET)
    assert bool(blocked) is (outcome is Outcome.BLOCKED)


def test_blocked_and_voided_strikes_are_no_attempts(database: Database, squad: SquadBuilder) -> None:
    made = squad.strikes("Ana", Foot.LEFT, "++-bb", day=date(2026, 3, 7))
    undo(database, [made[0].strike_id])
    answer = accuracy(database, squad.scope)
    assert answer.select("player", "foot", "attempts", "on_target").rows() == [("Ana", "left", 2, 1)]


def test_a_foot_with_only_blocked_strikes_has_no_row(database: Database, squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.LEFT, "bbb", day=date(2026, 3, 7))
    assert accuracy(database, squad.scope).is_empty()


def test_an_empty_database_answers_with_no_rows_and_every_column(database: Database) -> None:
    answer = accuracy(database, chosen_scope(database), by=list(Dimension))
    assert answer.is_empty()
    assert answer.columns[: len(Dimension)] == [one.value for one in Dimension]
    assert {"attempts", "on_target", "rate", "low", "high", "level", "method", "practices"} <= set(answer.columns)


def test_players_stand_in_the_order_of_shirts_then_names(database: Database) -> None:
    squad = SquadBuilder.start(database, "Quillhaven U12", Zoe="right", Ana="right")
    club.add_player(database, squad.squad, display_name="Mia", shirt_number=7)
    club.add_player(database, squad.squad, display_name="Noor", shirt_number=3)
    for player in ("Ana", "Mia", "Noor", "Zoe"):
        squad.strikes(player, Foot.RIGHT, "+", day=date(2026, 3, 7))
        squad.strikes(player, Foot.LEFT, "+", day=date(2026, 3, 7))
    answer = accuracy(database, squad.scope)
    assert answer["player"].to_list() == ["Noor", "Noor", "Mia", "Mia", "Ana", "Ana", "Zoe", "Zoe"]
    assert answer["foot"].to_list() == ["left", "right"] * 4


def test_both_days_of_a_stretch_are_included(database: Database, squad: SquadBuilder) -> None:
    for day in (6, 7, 8, 9):
        squad.strikes("Ana", Foot.LEFT, "+" * day, day=date(2026, 3, day))
    scope = chosen_scope(database, first_day=date(2026, 3, 7), last_day=date(2026, 3, 8))
    assert accuracy(database, scope)["attempts"].to_list() == [15]


def test_a_season_and_dates_cut_each_other(database: Database, squad: SquadBuilder) -> None:
    club.make_season(database, name="Spring", starts_on=date(2026, 3, 7), ends_on=date(2026, 3, 8))
    for day in (6, 7, 8, 9):
        squad.strikes("Ana", Foot.LEFT, "+" * day, day=date(2026, 3, day))
    assert accuracy(database, chosen_scope(database, season="spring"))["attempts"].to_list() == [15]
    later = chosen_scope(database, season="Spring", first_day=date(2026, 3, 8))
    assert accuracy(database, later)["attempts"].to_list() == [8]


def test_dates_the_wrong_way_round_are_refused(database: Database) -> None:
    with pytest.raises(RequestError, match="last day 2026-03-01 is before the first day 2026-03-02"):
        chosen_scope(database, first_day=date(2026, 3, 2), last_day=date(2026, 3, 1))


def test_squads_are_kept_apart_and_a_name_they_share_is_two_players(database: Database) -> None:
    reds = SquadBuilder.start(database, "Reds", Ana="right")
    blues = SquadBuilder.start(database, "Blues", Ana="right")
    reds.strikes("Ana", Foot.LEFT, "+++", day=date(2026, 3, 7))
    blues.strikes("Ana", Foot.LEFT, "-----", day=date(2026, 3, 7))
    assert accuracy(database, reds.scope)["attempts"].to_list() == [3]
    assert accuracy(database, blues.scope)["attempts"].to_list() == [5]
    both = accuracy(database, chosen_scope(database))
    assert sorted(both["attempts"]) == [3, 5]
    assert accuracy(database, chosen_scope(database), by=[PRACTICE])["attempts"].sum() == 8


@pytest.mark.parametrize("by", [[PLAYER, FOOT], [PLAYER, FOOT, STAGE], [PLAYER, FOOT, SURFACE]], ids=split_name)
@pytest.mark.parametrize("player", ["Zoë L.", "Thu-An Q."])
def test_the_answer_for_a_player_is_the_same_alone_and_among_others(
    demo: Database, player: str, by: list[Dimension]
) -> None:
    everyone = accuracy(demo, chosen_scope(demo), by=by).filter(pl.col("player") == player)
    alone = accuracy(demo, chosen_scope(demo, player=player), by=by)
    assert alone.height > 1
    assert_frame_equal(alone, everyone)


def test_parts_add_up_to_the_whole(demo: Database) -> None:
    scope = chosen_scope(demo)
    totals = {
        (answer["attempts"].sum(), answer["on_target"].sum())
        for answer in (accuracy(demo, scope, by=by) for by in SPLITS)
    }
    assert len(totals) == 1


def test_a_higher_level_is_wider(demo: Database) -> None:
    narrow, wide = (accuracy(demo, chosen_scope(demo), level=level) for level in (0.5, 0.99))
    assert ((wide["low"] < narrow["low"]) & (narrow["high"] < wide["high"])).all()


@pytest.mark.parametrize("level", [0.0, 1.0, 95.0, float("nan")])
def test_a_level_that_cannot_be_is_refused(demo: Database, level: float) -> None:
    with pytest.raises(ValueError, match="level"):
        accuracy(demo, chosen_scope(demo), level=level)


def test_a_practice_with_a_label_is_named_by_day_and_label(database: Database, squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.LEFT, "+", day=date(2026, 3, 7))
    squad.strikes("Ana", Foot.LEFT, "+", day=date(2026, 3, 7), label="evening")
    assert accuracy(database, squad.scope, by=[PRACTICE])["practice"].to_list() == ["2026-03-07", "2026-03-07 evening"]


def test_what_was_not_said_stands_last_as_null(database: Database, squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.LEFT, "+", day=date(2026, 3, 7))
    squad.strikes("Ana", Foot.LEFT, "+", day=date(2026, 3, 7), surface=Surface.TOE, distance_m=11.2)
    assert accuracy(database, squad.scope, by=[SURFACE])["surface"].to_list() == ["toe", None]
    assert accuracy(database, squad.scope, by=[DISTANCE])["distance"].to_list() == [12.0, None]
