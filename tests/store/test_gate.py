"""A database file is exchanged under those who use it: readers and writers wait, and nothing they do is lost."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest

from tracker.store.database import Database
from tracker.store.gate import Gate
from tracker.store.ladders import save_setting, settings

WRITES = 40


def test_many_pass_at_once_and_who_closes_it_is_alone() -> None:
    gate, inside = Gate(), threading.Barrier(3)
    seen: list[str] = []

    def pass_through() -> None:
        with gate.passing():
            inside.wait(timeout=10)
            seen.append("passed")

    others = [threading.Thread(target=pass_through) for _ in range(2)]
    for one in others:
        one.start()
    with gate.passing():
        inside.wait(timeout=10)
    with gate.closed():
        seen.append("alone")
    for one in others:
        one.join()
    assert seen == ["passed", "passed", "alone"]


def test_an_error_inside_leaves_the_gate_open() -> None:
    gate = Gate()
    with pytest.raises(ValueError, match="inside"), gate.closed():
        raise ValueError("inside")
    with pytest.raises(ValueError, match="inside"), gate.passing():
        raise ValueError("inside")
    with gate.closed():
        pass


def test_no_write_is_lost_while_the_file_is_written_afresh(tmp_path: Path) -> None:
    path = tmp_path / "strikes.duckdb"
    with Database.open(path, create=True) as database:

        def write_many(name: str) -> None:
            for number in range(WRITES):
                with database.transaction() as transaction:
                    save_setting(transaction, name=f"{name}{number}", value="1")
                assert f"{name}{number}" in settings(database)

        writers = [threading.Thread(target=write_many, args=(name,)) for name in "ab"]
        for one in writers:
            one.start()
        for _ in range(3):
            database.rewrite()
        for one in writers:
            one.join()
        assert len(settings(database)) == 2 * WRITES
    with Database.open(path) as again:
        assert len(settings(again)) == 2 * WRITES
    assert sorted(one.name for one in tmp_path.iterdir()) == ["strikes.duckdb"]


def test_a_database_in_memory_has_nothing_to_write_afresh(database: Database) -> None:
    database.rewrite()
    assert database.sizes() == (0, 0)


def test_the_slowest_queries_come_first_with_how_often_they_were_asked(database: Database) -> None:
    for _ in range(3):
        database.query("counts")
    database.query("list_squads")
    known = {one.name: one.times for one in database.query_times.slowest(10)}
    assert known == {"counts": 3, "list_squads": 1}
    (first,) = database.query_times.slowest(1)
    assert first.slowest_s == max(one.slowest_s for one in database.query_times.slowest(10))
