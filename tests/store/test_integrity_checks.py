"""Each check finds the fault it looks for, and nothing in a sound database."""

from __future__ import annotations

from datetime import date

import pytest
from builders import SquadBuilder

from tracker.domain.vocabulary import Foot
from tracker.review.integrity import faults
from tracker.store.database import Database
from tracker.store.sql_files import files_in

DAMAGE = {
    "corrections without strike": "insert into correction values (uuidv7(), now(), null, 'typo')",
    "impossible values": "update practice set held_on = date '1926-03-06', week = date '1926-03-01'",
    "leftovers": "insert into second_look values (uuidv7())",
    "placements without player": "insert into placement by name select uuidv7() as placement_id, "
    "uuidv7() as player_id, 'left' as foot, 'x' as stage, now() as placed_at",
    "plans without practice": "insert into planned_strikes by name select uuidv7() as practice_id, "
    "uuidv7() as player_id, 'left' as foot, 'x' as stage, 5 as strikes, 0 as watched",
    "players practices without squad": "update player set squad_id = uuidv7() where display_name = 'Ben'",
    "squads without ladder": "delete from ladder",
    "strikes in the future": "update strike set struck_at = now() + interval 3 day",
    "strikes without player or practice": "delete from player where display_name = 'Ana'",
}


def found(database: Database) -> dict[str, int]:
    return {name: count for name, count in faults(database).select("check", "faults").rows() if count}


def test_every_check_is_tried_here() -> None:
    assert sorted(DAMAGE) == [file.stem.replace("_", " ") for file in files_in("checks")]


def test_a_sound_database_has_no_faults(database: Database, squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.LEFT, "+-", day=date(2026, 3, 7))
    squad.placed("Ana", Foot.LEFT, "Rolling ball", day=date(2026, 3, 7))
    assert found(database) == {}


def test_the_demo_season_has_no_faults(demo: Database) -> None:
    assert found(demo) == {}


@pytest.mark.parametrize("check", DAMAGE)
def test_a_fault_is_found_by_its_check_alone(database: Database, squad: SquadBuilder, check: str) -> None:
    squad.strikes("Ana", Foot.LEFT, "+", day=date(2026, 3, 7))
    database._connection.execute(DAMAGE[check]).fetchall()
    assert found(database) == {check: 1}


def test_a_check_says_what_it_looks_for(database: Database) -> None:
    assert all(words[0].isupper() and words.endswith(".") for words in faults(database)["looks_for"])
