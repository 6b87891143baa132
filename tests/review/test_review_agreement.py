"""Two people log the same strikes: paired through a real database, and whether their counts can be trusted."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from typing import Any

import numpy as np
import pytest
from builders import OUTCOMES, SquadBuilder
from statsmodels.stats.inter_rater import cohens_kappa

from tracker.domain.identity import uuid7
from tracker.domain.practice import Practice
from tracker.domain.strike import Strike
from tracker.domain.vocabulary import Foot, Source
from tracker.review import logbook
from tracker.review.agreement import agreement
from tracker.stats.agreement import Trust
from tracker.store.strikes import append_strikes, frame_of_strikes

DAY = date(2026, 3, 7)
GATE = "Still ball through a gate"
EVERY_S = 10.0


def logged(
    squad: SquadBuilder,
    logger: str | None,
    outcomes: str,
    *,
    late_s: float = 0.0,
    every_s: float = EVERY_S,
    player: str = "Ana",
    foot: Foot = Foot.LEFT,
    stage: str | None = GATE,
) -> Sequence[Strike]:
    """What one logger wrote down of a run of strikes; a space is a strike this logger did not see."""
    begin = datetime(2026, 3, 7, 18, tzinfo=UTC) + timedelta(seconds=late_s)
    made = [
        Strike(
            strike_id=uuid7(),
            practice_id=squad.practice(DAY).practice_id,
            player_id=squad.player(player).player_id,
            stage=stage,
            foot=foot,
            surface=None,
            outcome=OUTCOMES[outcome],
            miss=None,
            distance_m=None,
            target_width_m=None,
            struck_at=begin + timedelta(seconds=every_s * number),
            set_id=None,
            source=Source.TAP,
            logger=logger,
        )
        for number, outcome in enumerate(outcomes)
        if outcome != " "
    ]
    with squad.database.transaction() as transaction:
        append_strikes(transaction, frame_of_strikes(made))
    return made


@pytest.fixture
def practice(squad: SquadBuilder) -> Practice:
    return squad.practice(DAY)


def compared(squad: SquadBuilder, practice: Practice, **options: Any) -> dict[str, Any]:
    return agreement(squad.database, practice, **options).row(0, named=True)


def test_the_figures_are_those_of_the_referee(squad: SquadBuilder, practice: Practice) -> None:
    ours, theirs = "++-+b-++--+-++-+-+b+", "+--+b-+++-+-+--+-+-+"
    logged(squad, "Ravi", ours)
    logged(squad, "Tess", theirs, late_s=2)
    table = np.zeros((3, 3))
    for one, other in zip(ours, theirs, strict=True):
        table["+-b".index(one), "+-b".index(other)] += 1
    referee = cohens_kappa(table)
    row = compared(squad, practice)
    assert row["strikes_compared"] == 20
    assert row["agreement"] == pytest.approx(16 / 20)
    assert (row["kappa"], row["low"], row["high"]) == pytest.approx(
        (referee.kappa, referee.kappa_low, referee.kappa_upp)
    )
    assert (row["seen_by_one"], row["observers"]) == (0, "Ravi, Tess")


def test_two_who_write_down_the_same_can_be_trusted(squad: SquadBuilder, practice: Practice) -> None:
    for logger in ("Ravi", "Tess"):
        logged(squad, logger, "+-++--+-+-")
    row = compared(squad, practice)
    assert (row["strikes_compared"], row["agreement"], row["kappa"], row["trust"]) == (10, 1, 1, Trust.TRUSTWORTHY)


def test_two_who_agree_no_more_than_chance_cannot(squad: SquadBuilder, practice: Practice) -> None:
    logged(squad, "Ravi", "++--" * 3)
    logged(squad, "Tess", "+-+-" * 3)
    row = compared(squad, practice)
    assert (row["agreement"], row["kappa"], row["trust"]) == (0.5, pytest.approx(0), Trust.NOT_YET)


def test_a_strike_one_of_them_missed_leaves_the_others_in_step(squad: SquadBuilder, practice: Practice) -> None:
    logged(squad, "Ravi", "+-+-+-+-+-")
    logged(squad, "Tess", "+-+ +-+-+-", late_s=3)
    row = compared(squad, practice)
    assert (row["strikes_compared"], row["agreement"], row["seen_by_one"]) == (9, 1, 1)


@pytest.mark.parametrize(("late_s", "strikes"), [(8.0, 3), (8.5, 0)])
def test_more_than_eight_seconds_apart_is_another_strike(
    squad: SquadBuilder, practice: Practice, late_s: float, strikes: int
) -> None:
    logged(squad, "Ravi", "+-+", every_s=60)
    logged(squad, "Tess", "+-+", every_s=60, late_s=late_s)
    assert compared(squad, practice)["strikes_compared"] == strikes


@pytest.mark.parametrize("other", [{"foot": Foot.RIGHT}, {"player": "Ben"}, {"stage": "Rolling ball"}])
def test_only_one_player_s_one_foot_at_one_stage_is_compared(
    squad: SquadBuilder, practice: Practice, other: dict[str, Any]
) -> None:
    logged(squad, "Ravi", "+-+")
    logged(squad, "Tess", "+-+", **other)
    assert compared(squad, practice)["strikes_compared"] == 0


def test_strikes_without_a_stage_can_be_compared_too(squad: SquadBuilder, practice: Practice) -> None:
    for logger in ("Ravi", "Tess"):
        logged(squad, logger, "+-+", stage=None)
    assert compared(squad, practice)["strikes_compared"] == 3


def test_one_logger_alone_or_one_without_a_name_has_nobody_to_compare_with(
    squad: SquadBuilder, practice: Practice
) -> None:
    logged(squad, "Ravi", "+-+")
    logged(squad, None, "+-+")
    row = compared(squad, practice)
    assert row == {
        "strikes_compared": 0,
        "agreement": None,
        "kappa": None,
        "low": None,
        "high": None,
        "trust": Trust.UNDECIDED.value,
        "seen_by_one": 0,
        "observers": "",
    }


def test_a_voided_strike_is_not_compared(squad: SquadBuilder, practice: Practice) -> None:
    first = logged(squad, "Ravi", "+-+")[0]
    logged(squad, "Tess", "+-+")
    logbook.correct(squad.database, [first.strike_id], why="wrong player", corrected_by="Ravi")
    row = compared(squad, practice)
    assert (row["strikes_compared"], row["seen_by_one"]) == (2, 1)


def test_a_called_set_has_no_order_to_compare(squad: SquadBuilder, practice: Practice) -> None:
    logged(squad, "Ravi", "++--", every_s=0)
    logged(squad, "Tess", "+-+-", every_s=1)
    assert compared(squad, practice)["strikes_compared"] == 0


def test_one_outcome_throughout_leaves_chance_undecided(squad: SquadBuilder, practice: Practice) -> None:
    for logger in ("Ravi", "Tess"):
        logged(squad, logger, "++++")
    row = compared(squad, practice)
    assert (row["agreement"], row["kappa"], row["trust"]) == (1, None, Trust.UNDECIDED)


def test_three_loggers_are_compared_two_by_two(squad: SquadBuilder, practice: Practice) -> None:
    for logger in ("Ravi", "Tess", "Uma"):
        logged(squad, logger, "+-")
    row = compared(squad, practice)
    assert (row["strikes_compared"], row["observers"]) == (6, "Ravi, Tess, Uma")
