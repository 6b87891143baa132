"""A practice is named by its date, by date and label, or by its id."""

from __future__ import annotations

from datetime import date

import pytest
from builders import SquadBuilder

from tracker.errors import RequestError
from tracker.review.scope import Scope, practice_named
from tracker.store.database import Database

DAY = date(2026, 3, 7)


def test_a_date_names_the_practice_of_that_day(squad: SquadBuilder) -> None:
    practice = squad.practice(DAY)
    assert practice_named(squad.database, " 2026-03-07 ", scope=squad.scope) == practice


def test_a_date_names_the_only_practice_of_that_day_whatever_its_label(squad: SquadBuilder) -> None:
    practice = squad.practice(DAY, label="Morning")
    assert practice_named(squad.database, "2026-03-07", scope=squad.scope) == practice


def test_date_and_label_tell_two_practices_of_one_day_apart(squad: SquadBuilder) -> None:
    plain, evening = squad.practice(DAY), squad.practice(DAY, label="Evening")
    assert practice_named(squad.database, "2026-03-07 evening", scope=squad.scope) == evening
    assert practice_named(squad.database, "2026-03-07", scope=squad.scope) == plain


def test_two_labels_on_one_day_have_to_be_told_apart(squad: SquadBuilder) -> None:
    squad.practice(DAY, label="Morning")
    squad.practice(DAY, label="Evening")
    with pytest.raises(RequestError, match="2026-03-07 Evening, 2026-03-07 Morning"):
        practice_named(squad.database, "2026-03-07", scope=squad.scope)


def test_an_id_names_a_practice(squad: SquadBuilder) -> None:
    practice = squad.practice(DAY)
    assert practice_named(squad.database, str(practice.practice_id).upper(), scope=Scope()) == practice


def test_a_practice_that_is_not_there_is_an_error_that_names_those_that_are(squad: SquadBuilder) -> None:
    with pytest.raises(RequestError, match="There is none yet"):
        practice_named(squad.database, "2026-03-14", scope=squad.scope)
    squad.practice(DAY)
    with pytest.raises(RequestError, match=r"no practice '2026-03-14'\. There is: 2026-03-07\."):
        practice_named(squad.database, "2026-03-14", scope=squad.scope)


def test_two_squads_on_one_day_have_to_be_told_apart(database: Database) -> None:
    squads = [SquadBuilder.start(database, name, Ana="right") for name in ("Quillhaven U12", "Quillhaven U10")]
    practices = [squad.practice(DAY) for squad in squads]
    with pytest.raises(RequestError, match="--squad"):
        practice_named(database, "2026-03-07", scope=Scope())
    assert practice_named(database, "2026-03-07", scope=squads[1].scope) == practices[1]
