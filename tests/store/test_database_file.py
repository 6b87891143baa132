"""Opening a database: a new one, a missing one, and everything that is no database of ours."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import duckdb
import pytest

from tracker.errors import DatabaseInUse, DatabaseMissing, DatabaseTooNew, DatabaseUnreadable
from tracker.store.backup import BackupReason, backup_path
from tracker.store.database import Database

ROOT = Path(__file__).parents[2]


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A database file of ours, closed."""
    path = tmp_path / "strikes.duckdb"
    Database.open(path, create=True).close()
    return path


def test_a_new_database_is_made_with_its_folders_and_opens_again(tmp_path: Path) -> None:
    path = tmp_path / "club" / "records" / "strikes.duckdb"
    with Database.open(path, create=True) as database:
        assert database.path == path
    with Database.open(path) as database:
        assert set(database.query("counts").row(0)) == {0}


def test_a_missing_database_is_not_made_by_reading(tmp_path: Path) -> None:
    path = tmp_path / "strikes.duckdb"
    with pytest.raises(DatabaseMissing, match=r"no database at .*strikes\.duckdb yet.*strikeladder init"):
        Database.open(path)
    assert not path.exists()


def test_the_home_folder_may_be_written_as_a_tilde(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    Database.open(Path("~/strikes.duckdb"), create=True).close()
    assert (tmp_path / "strikes.duckdb").is_file()


@pytest.mark.parametrize("content", [b"player,foot\nAna,left\n", b"\x00" * 5000, b"PK\x03\x04" + b"x" * 9000])
def test_a_file_that_is_no_database_is_refused_and_left_as_it_is(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "strikes.duckdb"
    path.write_bytes(content)
    with pytest.raises(DatabaseUnreadable, match=r"strikes\.duckdb is not a Strike Ladder database, or it is damaged"):
        Database.open(path)
    assert path.read_bytes() == content


def test_a_folder_is_refused_with_a_file_to_name_instead(tmp_path: Path) -> None:
    with pytest.raises(DatabaseUnreadable, match=r"is a folder, not a database file\. Name a file"):
        Database.open(tmp_path)


def test_a_place_that_cannot_be_is_refused(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("nothing", encoding="utf-8")
    with pytest.raises(DatabaseUnreadable, match=r"notes\.txt"):
        Database.open(tmp_path / "notes.txt" / "strikes.duckdb", create=True)


def test_the_database_of_another_program_is_refused_and_left_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "other.duckdb"
    with duckdb.connect(path) as other:
        other.execute("create table invoice (number integer)")
    with pytest.raises(DatabaseUnreadable, match="database of another program"):
        Database.open(path, create=True)
    with duckdb.connect(path) as other:
        assert other.execute("select table_name from duckdb_tables()").fetchall() == [("invoice",)]


def test_a_database_of_a_newer_program_is_refused_with_exit_code_3(file: Path) -> None:
    with duckdb.connect(file) as newer:
        newer.execute("insert into schema_migration values (999, '0999_later', 'x', '9.9', now())")
    with pytest.raises(DatabaseTooNew, match=r"newer Strike Ladder.*Nothing was changed") as caught:
        Database.open(file)
    assert caught.value.exit_code == 3


def test_a_database_made_by_another_edition_of_a_migration_is_refused(file: Path) -> None:
    with duckdb.connect(file) as other:
        other.execute("update schema_migration set checksum = 'another' where version = 1")
    with pytest.raises(DatabaseUnreadable, match="different edition of migration 0001_squads_practices_strikes"):
        Database.open(file)


def test_a_damaged_write_ahead_file_is_kept_and_explained(file: Path) -> None:
    wal = file.with_name(f"{file.name}.wal")
    with duckdb.connect(file) as connection:
        connection.execute("pragma disable_checkpoint_on_shutdown")
        connection.execute("insert into setting values ('length_unit', 'm')")
    damaged = bytearray(wal.read_bytes())
    damaged[len(damaged) // 2] ^= 0xFF
    wal.write_bytes(damaged)
    with pytest.raises(DatabaseUnreadable, match=r"write-ahead file .* is damaged.*Do not delete it"):
        Database.open(file)
    assert wal.read_bytes() == damaged


def test_a_write_ahead_file_of_another_database_is_to_be_moved_away(file: Path, tmp_path: Path) -> None:
    other = tmp_path / "other.duckdb"
    Database.open(other, create=True).close()
    with duckdb.connect(other) as connection:
        connection.execute("pragma disable_checkpoint_on_shutdown")
        connection.execute("insert into setting values ('length_unit', 'm')")
    other.with_name("other.duckdb.wal").rename(file.with_name(f"{file.name}.wal"))
    with pytest.raises(DatabaseUnreadable, match=r"belongs to another database.*Move it away without deleting it"):
        Database.open(file)


def test_a_damaged_file_names_its_last_backup(file: Path) -> None:
    copy = backup_path(file, BackupReason.DAILY, made_at=datetime(2026, 3, 7, tzinfo=UTC))
    with Database.open(file) as database:
        database.back_up(copy)
    damaged = bytearray(file.read_bytes())
    damaged[4096:4200] = bytes(104)
    file.write_bytes(damaged)
    with pytest.raises(DatabaseUnreadable, match=rf"damaged.*strikeladder restore {copy} --db NEW_FILE"):
        Database.open(file)


@pytest.fixture
def holder(file: Path) -> Iterator[subprocess.Popen[str]]:
    """Another process that holds the database until the test is over."""
    code = (
        "import sys\nfrom pathlib import Path\nfrom tracker.store.database import Database\n"
        "database = Database.open(Path(sys.argv[1]))\nprint('open', flush=True)\nsys.stdin.read()"
    )
    command = [sys.executable, "-c", code, str(file)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, cwd=ROOT) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == "open\n"
        yield process
        process.communicate()


def test_a_second_process_is_told_which_process_holds_the_database(file: Path, holder: subprocess.Popen[str]) -> None:
    with pytest.raises(DatabaseInUse, match=rf"in use by process {holder.pid} \(python") as caught:
        Database.open(file)
    assert caught.value.exit_code == 3


def test_the_database_is_free_again_when_its_holder_ends(file: Path, holder: subprocess.Popen[str]) -> None:
    holder.communicate()
    with Database.open(file) as database:
        assert database.query("counts").height == 1


def test_nothing_is_fetched_from_anywhere(file: Path) -> None:
    with Database.open(file) as database:
        settings = dict(
            database._connection.execute(
                "select name, value from duckdb_settings() where name like '%extensions' and name like 'a%'"
            ).fetchall()
        )
    wanted = ["allow_community_extensions", "autoinstall_known_extensions", "autoload_known_extensions"]
    assert {name: settings[name] for name in wanted} == dict.fromkeys(wanted, "false")
