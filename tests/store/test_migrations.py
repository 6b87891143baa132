"""Migrations: applied once, in order, each whole or not at all."""

from __future__ import annotations

import shutil
from pathlib import Path

import duckdb
import pytest

from tracker import __version__
from tracker.store import migrations
from tracker.store.database import Database
from tracker.store.sql_files import files_in


def applied(database: Database) -> list[tuple[int, str, str]]:
    return database._connection.execute(
        "select version, name, program_version from schema_migration order by version"
    ).fetchall()


@pytest.fixture
def own_migrations(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of migrations that a test may add to; it starts as ours."""
    folder = tmp_path / "migrations"
    shutil.copytree(files_in("migrations")[0].parent, folder)
    monkeypatch.setattr(
        migrations, "files_in", lambda part: sorted(folder.glob("*.sql")) if part == "migrations" else files_in(part)
    )
    return folder


def test_every_migration_is_recorded_with_the_program_that_applied_it(database: Database) -> None:
    assert applied(database) == [(int(one.name[:4]), one.stem, __version__) for one in files_in("migrations")]


def test_opening_again_applies_only_what_is_new(tmp_path: Path, own_migrations: Path) -> None:
    file = tmp_path / "strikes.duckdb"
    Database.open(file, create=True).close()
    number = len(files_in("migrations"))
    (own_migrations / f"{number:04d}_weather.sql").write_text("alter table practice add column weather varchar;")
    with Database.open(file) as database:
        assert applied(database)[-1] == (number, f"{number:04d}_weather", __version__)
        assert database._connection.execute("select weather from practice").fetchall() == []


def test_a_migration_that_fails_leaves_nothing_behind(tmp_path: Path, own_migrations: Path) -> None:
    file = tmp_path / "strikes.duckdb"
    with Database.open(file, create=True) as database:
        before = applied(database)
    broken = own_migrations / f"{len(before):04d}_weather.sql"
    broken.write_text("create table weather (day date);\ninsert into weather values ('yesterday');")
    with pytest.raises(duckdb.Error, match="yesterday"):
        Database.open(file)
    broken.unlink()
    with Database.open(file) as database:
        assert applied(database) == before
        tables = database._connection.execute("select table_name from duckdb_tables()").fetchall()
    assert ("weather",) not in tables
