"""What ready promises: of one stage by real rate, and of a whole board of calls."""

from __future__ import annotations

from datetime import date, timedelta

import polars as pl
import pytest
from builders import SquadBuilder

from tracker.domain.ladder import Ladder, Stage
from tracker.domain.ladder_file import shipped_ladders
from tracker.domain.vocabulary import Foot
from tracker.review.readiness import readiness
from tracker.review.ready_rule import TRUE_RATES, line_of, promise, ready_calls
from tracker.review.scope import Scope
from tracker.stats.stopping import stopping_probabilities
from tracker.store.database import Database

FIRST = date(2026, 1, 3)
GATE = "Still ball through a gate"
STAGES = [(ladder, stage) for ladder in shipped_ladders() for stage in ladder.stages]


@pytest.mark.parametrize(("ladder", "stage"), STAGES[::5], ids=lambda one: one.name)
def test_the_promise_holds_at_the_stage_s_two_rates(ladder: Ladder, stage: Stage) -> None:
    promised = {row["rate"]: row for row in promise(ladder, stage).iter_rows(named=True)}
    assert promised[stage.p_not_yet]["called_ready"] <= ladder.false_ready_risk
    assert promised[stage.p_not_yet]["called_ready_independent"] <= ladder.false_ready_risk
    assert promised[stage.p_ready]["called_ready"] >= 0.85
    assert promised[stage.p_not_yet]["eight_of_last_ten"] > 2 * ladder.false_ready_risk


def test_every_rate_has_a_row_and_better_players_are_called_ready_sooner() -> None:
    ladder, stage = STAGES[1]
    promised = promise(ladder, stage)
    assert set(TRUE_RATES) <= set(promised["rate"])
    for column in ("rate", "called_ready", "called_ready_independent", "eight_of_ten"):
        assert promised[column].is_sorted(), column
    assert promised["median_strikes"].drop_nulls().is_sorted(descending=True)
    once = stopping_probabilities([10], [8], [7], promised["rate"].to_numpy()).high
    assert promised["eight_of_ten"].to_list() == pytest.approx(once.tolist())


def test_a_stage_s_line_is_the_one_the_board_uses_before_the_squad_is_known(squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.LEFT, "+++--", day=FIRST, stage=GATE)
    board = readiness(squad.database, squad.scope)
    stage = squad.ladder.stages[1]
    assert board.filter(stage=GATE)["ready_line"].item() == pytest.approx(line_of(squad.ladder, stage).line)


def test_ready_calls_count_scores_and_not_the_coach_s_decisions(squad: SquadBuilder) -> None:
    for week in range(3):
        squad.strikes("Ana", Foot.RIGHT, "+" * 15, day=FIRST + timedelta(weeks=week), stage=GATE)
    squad.strikes("Ben", Foot.LEFT, "+-+-", day=FIRST, stage=GATE)
    squad.strikes("Ben", Foot.RIGHT, "+-+-", day=FIRST, stage=GATE)
    squad.placed("Ben", Foot.RIGHT, "Rolling ball", day=FIRST + timedelta(days=1))
    calls = ready_calls(readiness(squad.database, squad.scope))
    assert (calls.ready, calls.judged) == (1, 2)
    assert calls.risk <= squad.ladder.false_ready_risk
    assert calls.expected_wrong == pytest.approx(calls.risk / (1 - calls.risk))


def test_no_call_can_be_wrong_where_none_is_made(squad: SquadBuilder) -> None:
    calls = ready_calls(readiness(squad.database, squad.scope))
    assert (calls.ready, calls.judged, calls.expected_wrong) == (0, 0, 0.0)


def test_the_demo_has_more_ready_calls_than_it_expects_wrong(demo: Database) -> None:
    board = readiness(demo, Scope())
    calls = ready_calls(board)
    assert 0 < calls.expected_wrong < calls.ready < calls.judged
    assert calls.judged == board.filter((pl.col("attempts") > 0) & ~pl.col("is_passed")).height
