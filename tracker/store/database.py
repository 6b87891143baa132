"""One process, one database file, one connection; a cursor for every call and one lock for writing."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType
from typing import Any, Protocol, Self

import duckdb
import polars as pl

from tracker.errors import DatabaseInUse, DatabaseMissing, DatabaseUnreadable
from tracker.store.backup import BackupReason, backup_path, write_backup
from tracker.store.database_file import wal_of
from tracker.store.fresh_file import put_in_place, write_fresh_file
from tracker.store.gate import Gate
from tracker.store.migrations import apply_migrations
from tracker.store.query_times import QueryTimes
from tracker.store.sql_files import files_in, query_text
from tracker.store.trouble import opening_error, storing_error

# Nothing is fetched from anywhere: the extensions we use are built in.
_CONFIG: dict[str, str | bool | int | float | list[str]] = {
    "autoinstall_known_extensions": "false",
    "autoload_known_extensions": "false",
    "allow_community_extensions": "false",
}
_LOGGING = {"add_strikes", "add_corrections", "forget_second_looks", "mark_second_looks"}
_ASIDE = {"add_audit"}  # no page's numbers come from it
_LONGEST_RETURN_SECONDS = 10.0


class Reader(Protocol):
    """What can be asked: a database, or a transaction within it."""

    def query(self, name: str, /, **parameters: object) -> pl.DataFrame:
        """The rows of a named query."""


class Transaction:
    """What may be done inside ``Database.transaction()``: the statements share one commit."""

    def __init__(self, cursor: duckdb.DuckDBPyConnection) -> None:
        self._cursor = cursor
        self.ran: set[str] = set()

    def query(self, name: str, /, **parameters: object) -> pl.DataFrame:
        """The rows of a named query."""
        return _frame(self._cursor, name, parameters)

    def run(self, name: str, /, *, rows: pl.DataFrame | None = None, **parameters: object) -> int:
        """Runs a named statement and returns how many rows it changed. ``rows`` is seen in SQL as a table ``rows``."""
        self.ran.add(name)
        if rows is None:
            return _changed(self._cursor.execute(query_text(name), parameters or None).fetchall())
        self._cursor.register("rows", rows)
        changed = _changed(self._cursor.execute(query_text(name), parameters or None).fetchall())
        self._cursor.unregister("rows")  # after an error the cursor goes, and `rows` with it
        return changed


class Database:
    """An open database. Use as a context manager, or call ``close()``."""

    def __init__(self, connection: duckdb.DuckDBPyConnection, path: Path | None) -> None:
        self._connection = connection
        self._write_lock = threading.RLock()
        self._gate = Gate()
        self._copying = threading.Lock()
        self._is_given_up = False
        self.path = path
        self.changes = 0
        """Counts committed transactions of this process; a cache keyed by it never shows stale numbers."""
        self.club_changes = 0
        """The same without those that only logged strikes: for a cache of squads, players, ladders and passes."""
        self.query_times = QueryTimes()

    @classmethod
    def open(cls, path: Path | None, *, create: bool = False, keep_old: bool = True) -> Self:
        """Opens a database file and brings its schema up to date; ``None`` opens an empty one in memory.

        With ``keep_old`` a file of an older schema is backed up first, in the folder ``backups`` beside it. Raises
        DatabaseMissing, DatabaseInUse, DatabaseTooNew or DatabaseUnreadable; DatabaseError without room for the backup.
        """
        if path is not None:
            path = path.expanduser().resolve()
            if not create and not path.exists():
                raise DatabaseMissing(path)
            if create:
                _make_folder(path.parent)
        connection = _connected(path)
        try:
            apply_migrations(connection, path=path, before=_backup_first(connection, path) if keep_old else None)
        except BaseException:
            connection.close()
            raise
        return cls(connection, path)

    def query(self, name: str, /, **parameters: object) -> pl.DataFrame:
        """The rows of ``sql/queries/<name>.sql`` as a finished frame, read on a cursor of its own."""
        self._come_back()
        with self._gate.passing(), self.query_times.measured(name), self._connection.cursor() as cursor:
            return _frame(cursor, name, parameters)

    @contextmanager
    def transaction(self) -> Iterator[Transaction]:
        """All or nothing: commits when the block ends, rolls back when it raises. Writers wait for one another.

        Raises DatabaseError when the database refuses what was to be stored.
        """
        self._come_back()
        with self._write_lock, self._connection.cursor() as cursor:
            cursor.execute("begin").fetchall()
            transaction = Transaction(cursor)
            try:
                try:
                    yield transaction
                except BaseException:
                    cursor.execute("rollback").fetchall()
                    raise
                cursor.execute("commit").fetchall()
            except duckdb.Error as error:
                self._is_given_up = isinstance(error, duckdb.FatalException)
                raise storing_error(self.path, error) from error
            self.changes += not transaction.ran <= _ASIDE
            self.club_changes += not transaction.ran <= _LOGGING | _ASIDE

    def _come_back(self) -> None:
        """Opens the file again after DuckDB gave it up: it does so when a checkpoint finds no room on the disk.

        What was committed is in the write-ahead file and is there again. Raises DatabaseError while there is no room.
        """
        if not self._is_given_up or self.path is None:
            return
        with self._write_lock, self._gate.closed():
            if self._is_given_up:
                self._connection.close()
                self._connection = _connected(self.path)
                self._is_given_up = False

    def faults(self) -> pl.DataFrame:
        """Runs every file of ``sql/checks/``: check, faults (rows it returned), looks_for (its first comment)."""
        with self._gate.passing(), self._connection.cursor() as cursor:
            rows = [
                (
                    file.stem.replace("_", " "),
                    len(cursor.execute(text := file.read_text(encoding="utf-8")).fetchall()),
                    text.splitlines()[0].removeprefix("-- ").removesuffix(" Must return no rows."),
                )
                for file in files_in("checks")
            ]
        return pl.DataFrame(rows, schema={"check": pl.String, "faults": pl.Int64, "looks_for": pl.String}, orient="row")

    def rewrite(self) -> None:
        """Puts a fresh copy of all that is there in the place of the file: nothing deleted stays in free blocks or the
        write-ahead file. Readers and writers wait. Not inside a transaction; in memory there is nothing to do.

        Raises DatabaseError when there is no room for the copy; then everything is as it was.
        """
        if self.path is None:
            return
        with self._write_lock, self._gate.closed():
            fresh = write_fresh_file(self._connection, self.path)
            self._connection.close()
            try:
                put_in_place(fresh, self.path)
            finally:
                self._connection = _connected_again(self.path)

    def back_up(self, target: Path) -> None:
        """Copies all that is committed now into a new file, on disk when this returns; others go on writing.

        Raises DatabaseError when ``target`` is there already or cannot be written.
        """
        with self._copying, self._gate.passing():
            write_backup(self._connection, target, like=self.path)

    def sizes(self) -> tuple[int, int]:
        """Bytes of the file and of its write-ahead file; 0 in memory."""
        if self.path is None:
            return 0, 0
        wal = wal_of(self.path)
        return self.path.stat().st_size, wal.stat().st_size if wal.exists() else 0

    def close(self) -> None:
        """Writes everything into the one file and lets go of it."""
        with self._write_lock:
            self._connection.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, value: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()


def connection_for_one_part(*, memory_limit: str) -> duckdb.DuckDBPyConnection:
    """An empty database in memory for one piece of work over files: one thread, so that many run side by side.

    ``memory_limit`` is in DuckDB's words, such as "512MB".
    """
    return duckdb.connect(":memory:", config={**_CONFIG, "threads": "1", "memory_limit": memory_limit})


@contextmanager
def connected_to_read(path: Path) -> Iterator[duckdb.DuckDBPyConnection]:
    """A connection that cannot change the file, for as long as the block lasts. Raises duckdb.Error."""
    with duckdb.connect(str(path), read_only=True, config=_CONFIG) as connection:
        yield connection


def _backup_first(connection: duckdb.DuckDBPyConnection, path: Path | None) -> Callable[[], None] | None:
    """Keeps a file as it is, to be called before its schema is changed."""
    if path is None:
        return None

    def kept() -> None:
        target = backup_path(path, BackupReason.BEFORE_MIGRATION, made_at=datetime.now(UTC))
        if not target.exists():  # of this very second, by a migration that then failed
            write_backup(connection, target, like=path)

    return kept


def _make_folder(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise DatabaseUnreadable(
            f"The folder {folder} cannot be made ({error.strerror}). Name a database file elsewhere."
        ) from error


def _connected(path: Path | None) -> duckdb.DuckDBPyConnection:
    try:
        connection = duckdb.connect(":memory:" if path is None else str(path), config=_CONFIG)
        connection.execute("set global TimeZone = 'UTC'").fetchall()
    except duckdb.Error as error:
        assert path is not None
        raise opening_error(path, error) from error
    return connection


def _connected_again(path: Path) -> duckdb.DuckDBPyConnection:
    """The file open again after it was let go of for a moment; whoever took hold of it then is given time to end."""
    deadline = time.monotonic() + _LONGEST_RETURN_SECONDS
    while True:
        try:
            return _connected(path)
        except DatabaseInUse:
            if time.monotonic() > deadline:
                raise
            time.sleep(0.1)


def _frame(cursor: duckdb.DuckDBPyConnection, name: str, parameters: dict[str, Any]) -> pl.DataFrame:
    frame: pl.DataFrame = cursor.sql(query_text(name), params=parameters or None).pl()
    return frame


def _changed(result: list[tuple[Any, ...]]) -> int:
    return int(result[0][0]) if result and isinstance(result[0][0], int) else 0
