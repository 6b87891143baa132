"""Puts a backup, or what can be read of a damaged database, into an empty place."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

import duckdb
import polars as pl

from tracker.errors import DatabaseError, DatabaseMissing, DatabaseUnreadable
from tracker.store.backup import part_beside, publish, refuse_existing
from tracker.store.database import Database, connected_to_read
from tracker.store.database_file import remove_database, wal_of


@dataclass(frozen=True, kw_only=True, slots=True)
class Contents:
    """What a file was found to hold: one row of counts, the checks with their faults, bytes that could not be read."""

    counts: pl.DataFrame
    faults: pl.DataFrame
    unread_bytes: int


def examined(file: Path) -> Contents:
    """What a database file holds, read from a copy: the file is not changed. Raises DatabaseError."""
    with TemporaryDirectory(prefix="strike-ladder-") as folder, _copied(file, Path(folder) / file.name) as unread_bytes:
        return _contents(Path(folder) / file.name, unread_bytes=unread_bytes)


def restore(file: Path, target: Path) -> Contents:
    """Puts ``file`` at ``target``, brought to this program's schema, and returns what it holds.

    A write-ahead file beside it comes along, up to its first damaged entry if it is damaged. Raises DatabaseError when
    something is at ``target`` already, when the file cannot be opened or when a check finds a fault in it; then
    nothing is at ``target``.
    """
    target = target.expanduser().resolve()
    refuse_existing(target)
    part = part_beside(target)
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        with _copied(file, part) as unread_bytes:
            found = _contents(part, unread_bytes=unread_bytes)
            if found.faults["faults"].sum():
                wrong = ", ".join(found.faults.filter(pl.col("faults") > 0)["check"])
                raise DatabaseError(f"{file} was not restored: it holds things that should not be there ({wrong}).")
            publish(part, target)
    except OSError as error:
        raise DatabaseError(f"{file} could not be restored to {target} ({error.strerror}).") from error
    return found


def opens(file: Path) -> bool:
    """Whether a backup can be opened and holds a schema of ours."""
    try:
        with connected_to_read(file) as connection:
            return bool(connection.execute("select version from schema_migration").fetchall())
    except duckdb.Error:
        return False


@contextmanager
def _copied(file: Path, copy: Path) -> Iterator[int]:
    """A copy that opens, for as long as the block lasts; gives the bytes of the write-ahead file that do not."""
    if not file.is_file():
        raise DatabaseMissing(file) if not file.exists() else DatabaseUnreadable(f"{file} is not a file.")
    try:
        shutil.copyfile(file, copy)
        if wal_of(file).exists():
            shutil.copyfile(wal_of(file), wal_of(copy))
        yield _cut_at_damage(copy)
    finally:
        remove_database(copy)


def _cut_at_damage(copy: Path) -> int:
    """Cuts a damaged write-ahead file to the longest start of it that opens; returns how many bytes were cut off.

    What DuckDB has committed stands before what it committed later, so any start of it is a state that once was.
    """
    wal = wal_of(copy)
    try:
        Database.open(copy, keep_old=False).close()
    except DatabaseUnreadable:
        written = wal.read_bytes() if wal.exists() else b""
        wal.write_bytes(b"")
        if not written or not _connects(copy):  # the damage is elsewhere
            raise
    else:
        return 0
    opens_until, fails_at = 0, len(written)
    while fails_at - opens_until > 1:
        middle = (opens_until + fails_at) // 2
        wal.write_bytes(written[:middle])
        opens_until, fails_at = (middle, fails_at) if _connects(copy) else (opens_until, middle)
    wal.write_bytes(written[:opens_until])
    return len(written) - opens_until


def _connects(file: Path) -> bool:
    try:
        with connected_to_read(file):
            return True
    except duckdb.Error:
        return False


def _contents(file: Path, *, unread_bytes: int) -> Contents:
    with Database.open(file, keep_old=False) as database:
        return Contents(counts=database.query("counts"), faults=database.faults(), unread_bytes=unread_bytes)
