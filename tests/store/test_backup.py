"""Backups: whole copies of a database in use, never over a file that is there; and back into an empty place."""

from __future__ import annotations

import stat
import threading
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import duckdb
import pytest
from builders import SquadBuilder

from tracker.domain.vocabulary import AuditEvent, Foot
from tracker.errors import DatabaseError, DatabaseMissing, DatabaseTooNew, DatabaseUnreadable
from tracker.review.audit import note
from tracker.review.backups import (
    back_up,
    back_up_beside,
    back_up_if_due,
    backups,
    last_backup,
    remove_expired,
)
from tracker.store.backup import BackupReason, backup_files, backup_folder, backup_path
from tracker.store.database import Database
from tracker.store.restore import examined, restore

NOW = datetime(2026, 3, 11, 12, tzinfo=UTC)  # a Wednesday


@pytest.fixture
def kept(tmp_path: Path) -> Iterator[SquadBuilder]:
    """A squad in a file, with two strikes."""
    with Database.open(tmp_path / "strikes.duckdb", create=True) as database:
        squad = SquadBuilder.start(database, "Quillhaven U12", Ana="right", Ben="left")
        squad.strikes("Ana", Foot.LEFT, "+-", day=date(2026, 3, 7))
        yield squad


def count(file: Path) -> int:
    return int(examined(file).counts["strikes"][0])


def test_a_backup_holds_all_that_is_stored_and_opens(kept: SquadBuilder, tmp_path: Path) -> None:
    file = back_up(kept.database, tmp_path / "stick" / ".." / "copy.duckdb")
    assert count(file) == 2
    assert examined(file).faults["faults"].sum() == 0
    assert list(tmp_path.glob(".*.part*")) == []


def test_a_backup_has_the_permissions_of_the_database(kept: SquadBuilder, tmp_path: Path) -> None:
    assert kept.database.path is not None
    kept.database.path.chmod(0o600)
    assert stat.S_IMODE(back_up(kept.database, tmp_path / "copy.duckdb").stat().st_mode) == 0o600


def test_a_backup_never_overwrites(kept: SquadBuilder, tmp_path: Path) -> None:
    there = tmp_path / "letter.txt"
    there.write_text("Dear parents", encoding="utf-8")
    with pytest.raises(DatabaseError, match=r"letter\.txt is there already"):
        back_up(kept.database, there)
    assert there.read_text(encoding="utf-8") == "Dear parents"


def test_a_backup_that_cannot_be_written_leaves_nothing_and_the_records_go_on(
    kept: SquadBuilder, tmp_path: Path
) -> None:
    with pytest.raises(DatabaseError, match="could not be written"):
        back_up(kept.database, tmp_path / "nowhere" / "copy.duckdb")
    kept.strikes("Ben", Foot.LEFT, "+", day=date(2026, 3, 7))
    assert count(back_up(kept.database, tmp_path / "copy.duckdb")) == 3


def test_a_backup_is_one_moment_while_others_write(kept: SquadBuilder, tmp_path: Path) -> None:
    stop = threading.Event()

    def logging() -> None:
        while not stop.is_set():
            kept.strikes("Ana", Foot.LEFT, "++++", day=date(2026, 3, 7))

    writer = threading.Thread(target=logging)
    writer.start()
    try:
        counts = [count(back_up(kept.database, tmp_path / f"copy{number}.duckdb")) for number in range(5)]
    finally:
        stop.set()
        writer.join()
    assert [number % 4 for number in counts] == [2] * 5  # each set of four whole or not at all
    assert counts == sorted(counts)


def test_a_restored_backup_is_the_database_again(kept: SquadBuilder, tmp_path: Path) -> None:
    found = restore(back_up(kept.database, tmp_path / "copy.duckdb"), tmp_path / "new" / "strikes.duckdb")
    assert found.counts["strikes"][0] == 2
    with Database.open(tmp_path / "new" / "strikes.duckdb") as database:
        assert database.query("counts").equals(kept.database.query("counts"))


@pytest.mark.parametrize("ending", ["", ".wal"])
def test_restoring_refuses_to_overwrite(kept: SquadBuilder, tmp_path: Path, ending: str) -> None:
    copy = back_up(kept.database, tmp_path / "copy.duckdb")
    there = tmp_path / f"other.duckdb{ending}"
    there.write_bytes(b"mine")
    with pytest.raises(DatabaseError, match="is there already and is never overwritten"):
        restore(copy, tmp_path / "other.duckdb")
    assert there.read_bytes() == b"mine"


def test_what_is_no_sound_backup_is_not_restored(kept: SquadBuilder, tmp_path: Path) -> None:
    newer, unsound, nonsense = (tmp_path / f"{name}.duckdb" for name in ("newer", "unsound", "nonsense"))
    for copy in (newer, unsound):
        back_up(kept.database, copy)
    with duckdb.connect(newer) as changed:
        changed.execute("insert into schema_migration values (999, '0999_later', 'x', '9.9', now())")
    with duckdb.connect(unsound) as changed:
        changed.execute("delete from player")
    nonsense.write_bytes(b"player,foot\n")
    for file, error, why in (
        (newer, DatabaseTooNew, "newer Strike Ladder"),
        (unsound, DatabaseError, "strikes without player or practice"),
        (nonsense, DatabaseUnreadable, "not a Strike Ladder database"),
        (tmp_path / "missing.duckdb", DatabaseMissing, "no database at"),
    ):
        with pytest.raises(error, match=why):
            restore(file, tmp_path / "target.duckdb")
    assert not (tmp_path / "target.duckdb").exists()
    assert list(tmp_path.glob(".*")) == []


def test_a_backup_is_made_before_a_migration_of_a_file_in_use(kept: SquadBuilder, tmp_path: Path) -> None:
    assert kept.database.path is not None
    kept.database.close()
    with duckdb.connect(kept.database.path) as older:
        newest = older.execute("select max(version) from schema_migration").fetchone()
        older.execute("delete from schema_migration where version = ?", newest)
    with pytest.raises(duckdb.Error):  # its tables are there already: the migration fails, and the backup stays
        Database.open(kept.database.path)
    (made,) = backup_files(kept.database.path)
    assert made.reason is BackupReason.BEFORE_MIGRATION
    with duckdb.connect(made.path, read_only=True) as backup:
        assert backup.execute("select count(*) from strike").fetchone() == (2,)
        assert backup.execute("select max(version) from schema_migration").fetchone() != newest


def test_a_new_or_an_unchanged_file_is_not_backed_up_by_opening(tmp_path: Path) -> None:
    path = tmp_path / "strikes.duckdb"
    for _ in range(2):
        Database.open(path, create=True).close()
    assert not backup_folder(path).exists()


def test_a_day_gets_one_backup(kept: SquadBuilder) -> None:
    made = back_up_if_due(kept.database, now=NOW)
    assert made is not None
    assert (made.reason, made.readable, made.made_at) == (BackupReason.DAILY, True, NOW)
    assert back_up_if_due(kept.database, now=NOW + timedelta(hours=3)) is None
    assert back_up_if_due(kept.database, now=NOW + timedelta(days=1)) is not None
    assert len(backups(kept.database)) == 2


def test_an_empty_database_needs_no_backup(tmp_path: Path) -> None:
    with Database.open(tmp_path / "strikes.duckdb", create=True) as empty:
        assert back_up_if_due(empty, now=NOW) is None
        assert last_backup(empty) is None


def backups_of_days(database: Database, number: int) -> None:
    """Files under the names that as many days in a row would give."""
    assert database.path is not None
    for day in range(number):
        backup_path(database.path, BackupReason.DAILY, made_at=NOW + timedelta(days=day)).write_bytes(b"")


def days_kept(database: Database) -> list[int]:
    return [(one.made_at - NOW).days for one in backups(database)]


def test_backups_stay_as_long_as_the_rule_says(kept: SquadBuilder) -> None:
    backups_of_days(kept.database, 40)
    removed = remove_expired(kept.database, now=NOW + timedelta(days=39))
    # The last seven days, then the Mondays up to four weeks back; the Monday of day 33 is one of the seven.
    assert days_kept(kept.database) == [39, 38, 37, 36, 35, 34, 33, 26, 19, 12]
    assert len(removed) == 30


def test_a_backup_asked_for_stays_ninety_days(kept: SquadBuilder) -> None:
    asked = back_up_beside(kept.database, reason=BackupReason.ASKED, now=NOW)
    assert asked.expires_on == (NOW + timedelta(days=90)).astimezone().date()


def test_a_clock_that_jumps_ahead_does_not_take_the_newest_three_along(kept: SquadBuilder) -> None:
    backups_of_days(kept.database, 5)
    remove_expired(kept.database, now=NOW + timedelta(days=3650))
    assert days_kept(kept.database) == [4, 3, 2]


def test_the_newest_three_go_on_their_day_when_a_player_was_erased_since(kept: SquadBuilder) -> None:
    backups_of_days(kept.database, 5)
    note(kept.database, AuditEvent.FORGET, who="coach")  # later than all of them
    remove_expired(kept.database, now=NOW + timedelta(days=20))
    assert days_kept(kept.database) == [0]  # the first of its week stays four weeks
    remove_expired(kept.database, now=NOW + timedelta(days=28))
    assert days_kept(kept.database) == []


def test_a_backup_that_was_damaged_is_shown_as_unreadable(kept: SquadBuilder) -> None:
    made = back_up_if_due(kept.database, now=NOW)
    assert made is not None
    made.path.write_bytes(b"\x00" * 5000)
    last = last_backup(kept.database)
    assert last is not None
    assert not last.readable


def test_in_memory_there_are_no_backups(database: Database) -> None:
    assert backups(database) == []
    with pytest.raises(DatabaseError, match="in memory only"):
        back_up_beside(database, reason=BackupReason.ASKED)
