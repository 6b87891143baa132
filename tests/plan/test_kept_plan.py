"""A plan kept for a practice: found again, checked again, replaced, and started from."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from builders import SquadBuilder

from tracker.domain.standards import Federation
from tracker.domain.vocabulary import Foot
from tracker.errors import RequestError
from tracker.plan.constraints import check_plan
from tracker.plan.kept_plan import keep_plan, kept_plan, last_options, squad_plan
from tracker.plan.request import AS_USUAL, Equipment, FootPhase, PlanOptions
from tracker.plan.squad_block import block_of, choose_block, reviews_of, squad_weeks
from tracker.plan.squad_request import phase_on, squad_request
from tracker.review import club, logbook
from tracker.review.month_coverage import months
from tracker.store.database import Database
from tracker.store.plans import erase_in_plans, plan_of_practice, planned_turns

DAY = date(2026, 3, 14)
GATE = "Still ball through a gate"


@pytest.fixture
def six(database: Database) -> SquadBuilder:
    """Six players of whom nothing is known."""
    return SquadBuilder.start(
        database, "Quillhaven U12", Ana="right", Ben="left", Cem="right", Dua="right", Eli="left", Fay="right"
    )


def test_a_plan_is_found_again_and_still_keeps_every_rule(six: SquadBuilder) -> None:
    options = PlanOptions(equipment=Equipment(gates=4, balls=16), federation=Federation.US_SOCCER, age=12)
    answer = squad_plan(six.database, six.squad, minutes=60, held_on=DAY, options=options)
    assert answer.plan is not None
    assert answer.request is not None
    practice = keep_plan(six.database, six.squad, answer.plan, options=options)
    found = kept_plan(six.database, six.squad, practice)
    assert found is not None
    assert (found.document.plan, found.document.options) == (answer.plan, options)
    assert check_plan(found.document.plan, answer.request) == []
    assert last_options(six.database, six.squad) == options


def test_keeping_makes_the_practice_also_one_to_come_and_another_plan_takes_its_place(six: SquadBuilder) -> None:
    to_come = date.today() + timedelta(days=3)  # noqa: DTZ011
    plans = [squad_plan(six.database, six.squad, minutes=minutes, held_on=to_come).plan for minutes in (60, 75)]
    for plan in plans:
        assert plan is not None
        keep_plan(six.database, six.squad, plan)
    (practice,) = logbook.practices(six.database, six.squad)
    found = kept_plan(six.database, six.squad, practice)
    assert practice.held_on == to_come
    assert found is not None
    assert found.document.plan == plans[1]
    assert six.database.faults()["faults"].sum() == 0


def test_the_plan_goes_to_the_practice_that_day_has(six: SquadBuilder) -> None:
    evening = six.practice(DAY, label="evening")
    plan = squad_plan(six.database, six.squad, minutes=60, held_on=DAY).plan
    assert plan is not None
    assert keep_plan(six.database, six.squad, plan) == evening


def test_a_practice_without_a_plan_has_none(six: SquadBuilder) -> None:
    assert kept_plan(six.database, six.squad, six.practice(DAY)) is None
    assert last_options(six.database, six.squad) == AS_USUAL


def test_a_renamed_player_has_the_new_name_in_a_plan_kept_before(six: SquadBuilder) -> None:
    plan = squad_plan(six.database, six.squad, minutes=60, held_on=DAY).plan
    assert plan is not None
    practice = keep_plan(six.database, six.squad, plan)
    club.change_player(six.database, replace(six.player("Ana"), display_name="Anouk"))
    found = kept_plan(six.database, six.squad, practice)
    assert found is not None
    assert {"Anouk"} == {work.player for _, _, work in found.document.plan.work() if work.player.startswith("An")}


def test_a_player_erased_is_in_no_plan_and_the_others_keep_theirs(six: SquadBuilder) -> None:
    plan = squad_plan(six.database, six.squad, minutes=60, held_on=DAY).plan
    assert plan is not None
    practice = keep_plan(six.database, six.squad, plan)
    ana = six.player("Ana").player_id
    with six.database.transaction() as transaction:
        assert erase_in_plans(transaction, ana) == 1
        assert erase_in_plans(transaction, ana) == 0
    found, record = kept_plan(six.database, six.squad, practice), plan_of_practice(six.database, practice.practice_id)
    assert found is not None
    assert record is not None
    assert {work.player for _, _, work in found.document.plan.work()} == {"Ben", "Cem", "Dua", "Eli", "Fay"}
    assert str(ana) not in record.document
    assert ana not in {turn.player_id for turn in planned_turns(six.database, practice.practice_id)}


def test_a_practice_to_come_is_no_month_to_look_at(six: SquadBuilder) -> None:
    plan = squad_plan(six.database, six.squad, minutes=60, held_on=date.today() + timedelta(days=40)).plan  # noqa: DTZ011
    assert plan is not None
    keep_plan(six.database, six.squad, plan)
    assert months(six.database, six.scope) == []


def test_every_turn_names_the_feet_that_work_in_its_lane(six: SquadBuilder) -> None:
    plan = squad_plan(six.database, six.squad, minutes=60, held_on=DAY).plan
    assert plan is not None
    practice = keep_plan(six.database, six.squad, plan)
    turns = planned_turns(six.database, practice.practice_id)
    assert {turn.position for turn in turns} == set(range(1, len(plan.focal_turns) + 1))
    assert {turn.starts_at for turn in turns} == {turn.starts_at for turn in plan.focal_turns}


def test_why_nothing_fits_is_an_answer(six: SquadBuilder) -> None:
    answer = squad_plan(six.database, six.squad, minutes=60, held_on=DAY, present=["Ana", "Ben"])
    assert (answer.plan, "2 players" in answer.why_not) == (None, True)
    no_numbers = PlanOptions(federation=Federation.CANADA_SOCCER, age=16)
    answer = squad_plan(six.database, six.squad, minutes=60, held_on=DAY, options=no_numbers)
    assert (answer.plan, answer.request, "U16" in answer.why_not) == (None, None, True)


def test_a_player_unwatched_longer_than_the_others_is_watched(six: SquadBuilder) -> None:
    for name in ("Ana", "Ben", "Cem", "Dua", "Eli"):
        six.strikes(name, Foot.LEFT, "+-+", day=DAY - timedelta(days=4), stage=GATE)
    six.strikes("Fay", Foot.LEFT, "+-+", day=DAY - timedelta(days=14), stage=GATE)
    request = squad_request(six.database, six.squad, minutes=30, held_on=DAY)
    assert {one.name: one.days_since_observed for one in request.players}["Fay"] == 14
    plan = squad_plan(six.database, six.squad, minutes=30, held_on=DAY).plan
    assert plan is not None
    assert any("Fay" in turn.players for turn in plan.focal_turns)


def test_after_a_break_not_everybody_is_due(six: SquadBuilder) -> None:
    for name in ("Ana", "Ben"):
        six.strikes(name, Foot.LEFT, "+-+", day=DAY - timedelta(days=60), stage=GATE)
    request = squad_request(six.database, six.squad, minutes=30, held_on=DAY)
    assert {one.days_since_observed for one in request.players} == {7, 0}


def test_the_weeks_chosen_say_how_much_the_other_foot_works(six: SquadBuilder) -> None:
    assert phase_on(six.database, six.squad, DAY) is FootPhase.BLOCK
    choose_block(six.database, six.squad, starts_on=DAY, weeks=8, practices_a_week=2, other_foot_weeks=4)
    phases = [phase_on(six.database, six.squad, DAY + timedelta(weeks=week)) for week in (-2, 0, 3, 4, 20)]
    assert phases == [FootPhase(one) for one in ("upkeep", "block", "block", "upkeep", "upkeep")]
    request = squad_request(six.database, six.squad, minutes=60, held_on=DAY + timedelta(weeks=5))
    assert request.phase is FootPhase.UPKEEP


def test_a_squad_sees_its_weeks_from_where_the_feet_stand(six: SquadBuilder) -> None:
    assert block_of(six.database, six.squad, today=DAY).weeks == 8
    choice = choose_block(
        six.database, six.squad, starts_on=DAY - timedelta(weeks=1), weeks=6, practices_a_week=2, other_foot_weeks=6
    )
    assert block_of(six.database, six.squad, today=DAY) == choice
    weeks = squad_weeks(six.database, six.squad, choice, minutes=60, today=DAY)
    assert weeks["is_past"].to_list() == [True, *[False] * 5]
    assert "Served volley" in weeks["stages"][1]
    assert reviews_of(weeks)[-1] == choice.starts_on + timedelta(days=41)


@pytest.mark.parametrize(("changed", "word"), [({"weeks": 3}, "6 to 12"), ({"practices_a_week": 9}, "1 to 7")])
def test_weeks_that_cannot_be_are_refused(six: SquadBuilder, changed: dict[str, int], word: str) -> None:
    given = {"weeks": 8, "practices_a_week": 2, "other_foot_weeks": 8} | changed
    with pytest.raises(RequestError, match=word):
        choose_block(six.database, six.squad, starts_on=DAY, **given)
