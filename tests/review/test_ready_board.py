"""The ready board: when a foot is gathering, working, ready and to be revisited, and what a placement does to that."""

from __future__ import annotations

import math
from datetime import UTC, date, datetime
from typing import Any

import polars as pl
import pytest
from builders import SquadBuilder
from polars.testing import assert_frame_equal

from tracker.domain.vocabulary import Foot, ReadinessStatus
from tracker.errors import RequestError
from tracker.review import decisions
from tracker.review.logbook import undo
from tracker.review.readiness import evidence, readiness
from tracker.review.scope import chosen_scope, stage_named
from tracker.store.database import Database

LOWER, GATE, UPPER = "Served volley", "Still ball through a gate", "Rolling ball"  # the gate: 0.60 not yet, 0.80 ready
HIT, MISS = math.log(0.80 / 0.60), math.log((1 - 0.80) / (1 - 0.60))
FIRST, SECOND, THIRD, FOURTH = (date(2026, 3, day) for day in (7, 14, 21, 28))
GATHERING, WORKING, READY, REVISIT = ReadinessStatus


def row(squad: SquadBuilder, stage: str = GATE, *, cluster: bool = False) -> dict[str, Any]:
    """Ana's left foot at a stage."""
    board = readiness(squad.database, squad.scope, cluster=cluster)
    return board.filter(player="Ana", foot="left", stage=stage).row(0, named=True)


def strikes(squad: SquadBuilder, outcomes: str, *, day: date, stage: str = GATE, at_once: bool = False) -> None:
    squad.strikes("Ana", Foot.LEFT, outcomes, day=day, stage=stage, at_once=at_once)


def test_the_ready_line_of_the_reference_case_is_about_four(squad: SquadBuilder) -> None:
    strikes(squad, "+", day=FIRST)
    found = row(squad)
    assert 3.9 <= found["ready_line"] <= 4.3
    assert found["false_ready_risk"] <= 0.10
    assert found["horizon"] == 100


def test_strikes_that_hang_together_need_a_higher_line_for_the_same_promise(squad: SquadBuilder) -> None:
    strikes(squad, "+", day=FIRST)
    together = row(squad, cluster=True)
    assert together["ready_line"] > row(squad)["ready_line"] + 0.5
    assert together["false_ready_risk"] <= 0.10
    assert together["correlation"] == pytest.approx(0.05)


def test_the_score_adds_the_evidence_of_each_strike_and_never_falls_below_zero(squad: SquadBuilder) -> None:
    strikes(squad, "++-+++b", day=FIRST)
    found = row(squad)
    assert HIT + HIT + MISS < 0  # so the third strike takes the score to 0, and three hits follow
    assert found["score"] == pytest.approx(3 * HIT, rel=1e-3)
    assert (found["attempts"], found["on_target"], found["practices"]) == (6, 5, 1)
    assert found["rate"] == pytest.approx(5 / 6)


def test_a_called_out_set_counts_as_one_step(squad: SquadBuilder) -> None:
    strikes(squad, "--++++++++", day=FIRST, at_once=True)
    assert row(squad)["score"] == pytest.approx(8 * HIT + 2 * MISS, rel=2e-3)


def test_the_same_strikes_tapped_one_by_one_count_in_their_order(squad: SquadBuilder) -> None:
    strikes(squad, "--++++++++", day=FIRST)
    assert row(squad)["score"] == pytest.approx(8 * HIT, rel=1e-3)


def test_nine_strikes_are_gathering_and_ten_are_working(squad: SquadBuilder) -> None:
    strikes(squad, "+-+-+-+-+", day=FIRST)
    assert row(squad)["status"] == GATHERING
    assert row(squad)["expected_strikes_to_ready"] is None
    strikes(squad, "-", day=SECOND)
    assert row(squad)["status"] == WORKING


def test_ready_needs_the_evidence_of_two_practices(squad: SquadBuilder) -> None:
    strikes(squad, "+" * 20, day=FIRST)
    found = row(squad)
    assert found["score"] > found["ready_line"]
    assert (found["status"], found["became_ready_at"]) == (WORKING, None)
    strikes(squad, "+", day=SECOND)
    found = row(squad)
    assert found["status"] == READY
    assert found["became_ready_at"] == datetime(2026, 3, 14, 18, tzinfo=UTC)
    assert found["expected_strikes_to_ready"] == 0
    assert found["suggested_stage"] == UPPER


def test_a_second_practice_counts_only_when_the_score_was_above_zero_before(squad: SquadBuilder) -> None:
    strikes(squad, "+-----", day=FIRST)
    strikes(squad, "+" * 20, day=SECOND)
    assert row(squad)["status"] == WORKING


def test_once_ready_stays_ready_until_the_coach_decides(squad: SquadBuilder) -> None:
    strikes(squad, "+" * 20, day=FIRST)
    strikes(squad, "+" + "-" * 20, day=SECOND)
    found = row(squad)
    assert found["score"] == 0
    assert found["status"] == READY


def test_a_strike_voided_is_evidence_no_more(squad: SquadBuilder) -> None:
    strikes(squad, "+" * 20, day=FIRST)
    (last,) = squad.strikes("Ana", Foot.LEFT, "+", day=SECOND, stage=GATE)
    assert row(squad)["status"] == READY
    undo(squad.database, [last.strike_id])
    assert row(squad)["status"] == WORKING


def test_a_placement_at_the_stage_starts_the_evidence_again(squad: SquadBuilder) -> None:
    strikes(squad, "+" * 20, day=FIRST)
    squad.placed("Ana", Foot.LEFT, GATE, day=SECOND)
    strikes(squad, "+-", day=THIRD)
    found = row(squad)
    assert (found["attempts"], found["status"], found["is_current"]) == (2, GATHERING, True)
    assert found["score"] == 0


def test_a_foot_placed_where_it_never_struck_stands_on_the_board(squad: SquadBuilder) -> None:
    squad.placed("Ana", Foot.LEFT, UPPER, day=FIRST)
    found = row(squad, UPPER)
    assert (found["attempts"], found["score"], found["status"], found["rate"]) == (0, 0.0, GATHERING, None)


def test_a_stage_the_coach_moved_on_from_is_passed_and_stays_ready(squad: SquadBuilder) -> None:
    strikes(squad, "+" * 20, day=FIRST)
    strikes(squad, "+", day=SECOND)
    squad.placed("Ana", Foot.LEFT, UPPER, day=THIRD)
    strikes(squad, "+-+", day=THIRD, stage=UPPER)
    passed, now = row(squad), row(squad, UPPER)
    assert (passed["status"], passed["is_passed"], passed["is_current"]) == (READY, True, False)
    assert passed["became_ready_at"] == datetime(2026, 3, 14, 18, tzinfo=UTC)
    assert (now["status"], now["is_passed"], now["is_current"]) == (GATHERING, False, True)


def test_a_skill_that_is_gone_is_to_be_revisited_where_it_was(squad: SquadBuilder) -> None:
    squad.placed("Ana", Foot.LEFT, UPPER, day=FIRST)
    strikes(squad, "-" * 10, day=SECOND)
    assert row(squad)["status"] == READY
    strikes(squad, "-" * 10, day=THIRD)
    found = row(squad)
    assert (found["status"], found["suggested_stage"]) == (REVISIT, GATE)
    assert found["falling_score"] > found["revisit_line"]


def test_a_stage_that_is_far_too_hard_sends_back_to_the_one_below(squad: SquadBuilder) -> None:
    squad.placed("Ana", Foot.LEFT, GATE, day=FIRST)
    strikes(squad, "-" * 10, day=SECOND)
    strikes(squad, "-" * 10, day=THIRD)
    found = row(squad)
    assert (found["status"], found["suggested_stage"]) == (REVISIT, LOWER)


def test_a_foot_that_was_never_placed_is_not_sent_back(squad: SquadBuilder) -> None:
    for day in (FIRST, SECOND, THIRD):
        strikes(squad, "-" * 10, day=day)
    found = row(squad)
    assert (found["status"], found["falling_score"], found["revisit_line"]) == (WORKING, None, None)


def test_a_placement_taken_back_leaves_the_board_as_it_was(squad: SquadBuilder) -> None:
    strikes(squad, "+" * 20, day=FIRST)
    before = readiness(squad.database, squad.scope)
    placement = squad.placed("Ana", Foot.LEFT, UPPER, day=SECOND)
    assert not readiness(squad.database, squad.scope).equals(before)
    decisions.withdraw(squad.database, placement.placement_id)
    assert_frame_equal(readiness(squad.database, squad.scope), before)


def test_without_placements_a_foot_works_on_its_lowest_stage_that_is_not_ready(squad: SquadBuilder) -> None:
    strikes(squad, "+-", day=FIRST, stage=UPPER)
    strikes(squad, "+-", day=FIRST, stage=LOWER)
    assert (row(squad, LOWER)["is_current"], row(squad, UPPER)["is_current"]) == (True, False)
    strikes(squad, "+" * 30, day=SECOND, stage=LOWER)
    strikes(squad, "+" * 30, day=THIRD, stage=LOWER)
    assert row(squad, LOWER)["status"] == READY
    assert (row(squad, LOWER)["is_current"], row(squad, UPPER)["is_current"]) == (False, True)


def test_a_hit_from_farther_is_stronger_evidence_and_a_miss_weaker(squad: SquadBuilder) -> None:
    stage = stage_named(squad.ladder, GATE)

    def strikes_from(distance_m: float, player: str, foot: Foot, outcomes: str, *, day: date = FIRST) -> None:
        width = stage.target.width_m
        squad.strikes(player, foot, outcomes, day=day, stage=GATE, distance_m=distance_m, target_width_m=width)

    near, far = stage.distance_m, 2 * stage.distance_m
    strikes_from(near, "Ana", Foot.LEFT, "+++")
    strikes_from(far, "Ana", Foot.RIGHT, "+++")
    strikes_from(near, "Ben", Foot.LEFT, "+++++-")
    strikes_from(near, "Ben", Foot.RIGHT, "+++++")
    strikes_from(far, "Ben", Foot.RIGHT, "-", day=SECOND)
    board = readiness(squad.database, squad.scope, cluster=False)
    score = {(player, foot): value for player, foot, value in board.select("player", "foot", "score").rows()}
    assert score["Ana", "left"] == pytest.approx(3 * HIT, rel=1e-3)
    assert score["Ana", "right"] > 1.2 * score["Ana", "left"]
    assert score["Ben", "right"] > score["Ben", "left"] + 0.2


def test_strikes_without_a_stage_or_at_a_stage_of_no_ladder_say_nothing_here(squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.LEFT, "++++", day=FIRST)
    squad.strikes("Ana", Foot.LEFT, "++++", day=FIRST, stage="Keepy-uppy")
    assert readiness(squad.database, squad.scope).is_empty()


def test_a_board_without_a_squad_says_how_to_make_one(database: Database) -> None:
    with pytest.raises(RequestError, match=r"no squad yet.*strikeladder init"):
        readiness(database, chosen_scope(database))


def test_two_squads_stand_one_after_the_other_each_on_its_own_ladder(database: Database) -> None:
    for name in ("Reds", "Blues"):
        squad = SquadBuilder.start(database, name, Ana="right")
        squad.strikes("Ana", Foot.LEFT, "+" * (3 if name == "Reds" else 5), day=FIRST, stage=GATE)
    assert readiness(database, chosen_scope(database))["attempts"].to_list() == [5, 3]


@pytest.mark.parametrize("player", ["Zoë L.", "Noor H.", "Thu-An Q."])
def test_the_standing_of_a_player_is_the_same_alone_and_among_others(demo: Database, player: str) -> None:
    everyone = readiness(demo, chosen_scope(demo)).filter(pl.col("player") == player)
    assert_frame_equal(readiness(demo, chosen_scope(demo, player=player)), everyone)


def test_the_demo_shows_every_status_and_one_current_stage_a_foot(demo: Database) -> None:
    board = readiness(demo, chosen_scope(demo))
    assert set(board["status"]) == {status.value for status in ReadinessStatus}
    current = board.filter("is_current")
    assert current.select("player", "foot").is_duplicated().sum() == 0
    assert current.height == board.select("player", "foot").n_unique() == 32


def test_the_demo_foot_that_improved_climbed_and_the_new_player_is_still_at_the_start(demo: Database) -> None:
    current = readiness(demo, chosen_scope(demo)).filter("is_current")
    position = {(player, foot): at for player, foot, at in current.select("player", "foot", "stage_position").rows()}
    assert position["Zoë L.", "left"] >= 4
    assert position["Thu-An Q.", "left"] == 1


def test_an_earlier_last_day_shows_the_board_of_that_day(squad: SquadBuilder) -> None:
    strikes(squad, "+" * 20, day=FIRST)
    strikes(squad, "+", day=SECOND)
    board = readiness(squad.database, chosen_scope(squad.database, last_day=FIRST), cluster=False)
    assert board["status"].to_list() == [WORKING]


def test_the_evidence_line_ends_at_the_score_of_the_board(squad: SquadBuilder) -> None:
    strikes(squad, "++-+++", day=FIRST)
    strikes(squad, "--++++++++", day=SECOND, at_once=True)
    scope = chosen_scope(squad.database, player="Ana")
    line = evidence(squad.database, scope, foot=Foot.LEFT, stage=stage_named(squad.ladder, GATE), cluster=False)
    found = row(squad)
    assert line.points["step"].to_list() == [1, 2, 3, 4, 5, 6, 16]
    assert line.points["score"].to_list()[:3] == pytest.approx([HIT, 2 * HIT, 0], rel=1e-3)
    assert line.points["score"][-1] == found["score"]
    assert line.ready_line == found["ready_line"]
    assert line.points["practice"].unique().sort().to_list() == ["2026-03-07", "2026-03-14"]


def test_evidence_without_a_player_is_refused(squad: SquadBuilder) -> None:
    with pytest.raises(RequestError, match="which player"):
        evidence(squad.database, squad.scope, foot=Foot.LEFT, stage=stage_named(squad.ladder, GATE))
