"""Answers are remembered until something is stored, and never longer."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

import pytest
from builders import SquadBuilder

from dashboards.ui.answers import asked
from dashboards.ui.pictures import drawn
from tracker.domain.vocabulary import Foot, Language
from tracker.report import charts
from tracker.report.language import speaking
from tracker.review.accuracy import accuracy
from tracker.review.scope import Scope
from tracker.serve.process import hold, let_go
from tracker.store.database import Database

DAY = date(2026, 3, 7)
times: list[Scope] = []


@pytest.fixture(autouse=True)
def held(database: Database) -> Iterator[None]:
    """The database as the process holds it: only then does it differ from every other one of the process."""
    times.clear()
    hold(database)
    yield
    let_go()


def strikes_counted(database: Database, scope: Scope) -> int:
    """A question that says when it was asked."""
    times.append(scope)
    return int(accuracy(database, scope)["attempts"].sum())


def test_a_question_is_asked_once_until_something_is_stored(squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.LEFT, "+-", day=DAY)
    assert [asked(strikes_counted, squad.database, squad.scope) for _ in range(3)] == [2, 2, 2]
    assert len(times) == 1
    squad.strikes("Ana", Foot.LEFT, "+", day=DAY)
    assert asked(strikes_counted, squad.database, squad.scope) == 3
    assert len(times) == 2


def test_another_scope_is_another_question(squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.LEFT, "+-", day=DAY)
    squad.strikes("Ben", Foot.LEFT, "+", day=DAY)
    one = Scope(squad=squad.squad, player=squad.player("Ben"))
    assert asked(strikes_counted, squad.database, squad.scope) == 3
    assert asked(strikes_counted, squad.database, one) == 1


def test_another_database_of_the_process_is_another_question(squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.LEFT, "+-", day=DAY)
    assert asked(strikes_counted, squad.database, Scope()) == 2
    with Database.open(None) as other:
        hold(other)
        assert asked(strikes_counted, other, Scope()) == 0


def test_a_picture_is_drawn_anew_for_other_figures_and_for_another_language(squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.LEFT, "++++++++++++--", day=DAY)
    rates = accuracy(squad.database, squad.scope)
    first = drawn(charts.accuracy_by_foot, rates)
    assert drawn(charts.accuracy_by_foot, rates.clone()) == first
    with speaking(Language.SPANISH):
        assert drawn(charts.accuracy_by_foot, rates) != first
    squad.strikes("Ana", Foot.RIGHT, "++++++++++++--", day=DAY)
    rates = accuracy(squad.database, squad.scope)
    assert drawn(charts.accuracy_by_foot, rates) != first
