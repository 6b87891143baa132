"""The migration that brings plans: a database of an earlier program gets their tables and keeps its rows."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pytest
from builders import SquadBuilder

from tracker.domain.block_choice import BlockChoice
from tracker.domain.vocabulary import Foot
from tracker.store import migrations
from tracker.store.database import Database
from tracker.store.plans import (
    PlannedStrikes,
    chosen_block,
    count_weeks,
    last_watched,
    latest_document,
    plan_of_practice,
    save_block,
    save_plan,
)
from tracker.store.sql_files import files_in

DAY = date(2026, 3, 14)


def test_a_database_of_the_first_migrations_gets_the_tables_of_plans(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "migrations"
    folder.mkdir()
    earlier, later = files_in("migrations")[:4], files_in("migrations")[4:]
    for one in earlier:
        shutil.copy(one, folder)
    monkeypatch.setattr(
        migrations, "files_in", lambda part: sorted(folder.glob("*.sql")) if part == "migrations" else []
    )
    file = tmp_path / "strikes.duckdb"
    with Database.open(file, create=True) as database:
        database._connection.execute("insert into squad values (uuid(), 'Quillhaven U12', 'U11–U12')").fetchall()
    for one in later:
        shutil.copy(one, folder)
    monkeypatch.undo()
    with Database.open(file) as database:
        tables = {row[0] for row in database._connection.execute("select table_name from duckdb_tables()").fetchall()}
        assert {"practice_plan", "planned_strikes", "planned_turn", "season_block"} <= tables
        assert database._connection.execute("select name from squad").fetchall() == [("Quillhaven U12",)]


def test_a_plan_saved_again_takes_the_place_of_the_first(squad: SquadBuilder) -> None:
    practice = squad.practice(DAY)
    ana = squad.player("Ana").player_id
    asked = [PlannedStrikes(player_id=ana, foot=Foot.LEFT, stage="Rolling ball", strikes=10, watched=5)]
    for document in ("first", "second"):
        with squad.database.transaction() as transaction:
            save_plan(transaction, practice.practice_id, minutes=60, document=document, strikes=asked, turns=[])
    found = plan_of_practice(squad.database, practice.practice_id)
    assert found is not None
    assert found.document == "second"
    assert latest_document(squad.database, squad.squad.squad_id) == "second"


def test_more_watched_than_struck_is_refused_and_nothing_is_kept(squad: SquadBuilder) -> None:
    practice, ana = squad.practice(DAY), squad.player("Ana").player_id
    wrong = PlannedStrikes(player_id=ana, foot=Foot.LEFT, stage="Rolling ball", strikes=5, watched=10)
    with pytest.raises(Exception, match="Nothing was stored"), squad.database.transaction() as transaction:
        save_plan(transaction, practice.practice_id, minutes=60, document="{}", strikes=[wrong], turns=[])
    assert plan_of_practice(squad.database, practice.practice_id) is None


def test_a_plan_whose_player_is_gone_is_found_by_the_check(squad: SquadBuilder) -> None:
    practice, ana = squad.practice(DAY), squad.player("Ana").player_id
    asked = [PlannedStrikes(player_id=ana, foot=Foot.LEFT, stage="Rolling ball", strikes=5, watched=0)]
    with squad.database.transaction() as transaction:
        save_plan(transaction, practice.practice_id, minutes=60, document="{}", strikes=asked, turns=[])
    assert squad.database.faults()["faults"].sum() == 0
    squad.database._connection.execute("delete from player where player_id = ?", [ana]).fetchall()
    assert squad.database.faults().filter(check="plans without practice")["faults"].to_list() == [1]


def test_a_block_chosen_again_takes_the_place_of_the_first(squad: SquadBuilder) -> None:
    assert chosen_block(squad.database, squad.squad.squad_id) is None
    for weeks in (6, 10):
        with squad.database.transaction() as transaction:
            save_block(transaction, squad.squad.squad_id, BlockChoice(starts_on=DAY, weeks=weeks))
    chosen = chosen_block(squad.database, squad.squad.squad_id)
    assert chosen == BlockChoice(starts_on=date(2026, 3, 9), weeks=10)


def test_weeks_are_counted_and_whoever_was_watched_is_known(squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.LEFT, "+b", day=DAY, stage="Rolling ball")
    squad.strikes("Ben", Foot.LEFT, "++", day=date(2026, 3, 17), stage="Rolling ball", at_once=True)
    squad.strikes("Ben", Foot.LEFT, "+", day=date(2026, 3, 18), stage="Rolling ball", logger="Tess")
    weeks = count_weeks(squad.database, squad_id=squad.squad.squad_id)
    assert weeks.select("player", "week", "strikes").rows() == [
        ("Ana", date(2026, 3, 9), 2),
        ("Ben", date(2026, 3, 16), 3),
    ]
    seen = {
        row["player"]: row
        for row in last_watched(squad.database, squad.squad.squad_id, before=date(2026, 3, 20)).to_dicts()
    }
    assert (seen["Ana"]["days_before_the_last"], seen["Ben"]["days_before_the_last"]) == (4, 0)
