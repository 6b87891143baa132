"""One process, one database file, one connection; a cursor for every call and one lock for writing."""

from __future__ import annotations

import re
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType
from typing import Any, Protocol, Self

import duckdb
import polars as pl

from tracker.errors import DatabaseError, DatabaseInUse, DatabaseMissing, DatabaseUnreadable
from tracker.store.migrations import apply_migrations
from tracker.store.sql_files import files_in, query_text

# Nothing is fetched from anywhere: the extensions we use are built in.
_CONFIG: dict[str, str | bool | int | float | list[str]] = {
    "autoinstall_known_extensions": "false",
    "autoload_known_extensions": "false",
    "allow_community_extensions": "false",
}
_LOGGING = {"add_strikes", "add_corrections", "forget_second_looks", "mark_second_looks"}
_HOLDER = re.compile(r"held in (?P<program>.*?)(?: by user \S+)? \(PID (?P<pid>\d+)\)")


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
        self.path = path
        self.changes = 0
        """Counts committed transactions of this process; a cache keyed by it never shows stale numbers."""
        self.club_changes = 0
        """The same without those that only logged strikes: for a cache of squads, players, ladders and passes."""

    @classmethod
    def open(cls, path: Path | None, *, create: bool = False) -> Self:
        """Opens a database file and brings its schema up to date; ``None`` opens an empty one in memory.

        Raises DatabaseMissing, DatabaseInUse, DatabaseTooNew or DatabaseUnreadable.
        """
        if path is not None:
            path = path.expanduser().resolve()
            if not create and not path.exists():
                raise DatabaseMissing(path)
            if create:
                _make_folder(path.parent)
        connection = _connected(path)
        try:
            apply_migrations(connection, path=path)
        except BaseException:
            connection.close()
            raise
        return cls(connection, path)

    def query(self, name: str, /, **parameters: object) -> pl.DataFrame:
        """The rows of ``sql/queries/<name>.sql`` as a finished frame, read on a cursor of its own."""
        with self._connection.cursor() as cursor:
            return _frame(cursor, name, parameters)

    @contextmanager
    def transaction(self) -> Iterator[Transaction]:
        """All or nothing: commits when the block ends, rolls back when it raises. Writers wait for one another.

        Raises DatabaseError when the database refuses what was to be stored.
        """
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
                raise DatabaseError(f"Nothing was stored: the database could not save it ({error}).") from error
            self.changes += 1
            self.club_changes += not transaction.ran <= _LOGGING

    def faults(self) -> pl.DataFrame:
        """Runs every file of ``sql/checks/``: check, faults (rows it returned), looks_for (its first comment)."""
        with self._connection.cursor() as cursor:
            rows = [
                (
                    file.stem.replace("_", " "),
                    len(cursor.execute(text := file.read_text(encoding="utf-8")).fetchall()),
                    text.splitlines()[0].removeprefix("-- ").removesuffix(" Must return no rows."),
                )
                for file in files_in("checks")
            ]
        return pl.DataFrame(rows, schema={"check": pl.String, "faults": pl.Int64, "looks_for": pl.String}, orient="row")

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
        raise _opening_error(path, error) from error
    return connection


def _opening_error(path: Path, error: duckdb.Error) -> DatabaseError:
    text = str(error)
    if "Could not set lock" in text:
        found = _HOLDER.search(text)
        holder = f"process {found['pid']} ({Path(found['program']).name})" if found else "another program"
        return DatabaseInUse(path, holder)
    if "Corrupt WAL" in text or "replaying WAL" in text:
        return DatabaseUnreadable(
            f"The write-ahead file beside {path} is damaged, so the database cannot be opened. "
            "Do not delete it: copy both files away, then restore your last backup."
        )
    if path.is_dir():
        return DatabaseUnreadable(
            f"{path} is a folder, not a database file. Name a file, such as {path / 'strikes.duckdb'}."
        )
    if "Permission denied" in text or "Read-only file system" in text:
        return DatabaseUnreadable(f"The database {path} cannot be opened for writing here. Check who may write to it.")
    return DatabaseUnreadable(f"{path} is not a Strike Ladder database, or it is damaged: {text.splitlines()[0]}")


def _frame(cursor: duckdb.DuckDBPyConnection, name: str, parameters: dict[str, Any]) -> pl.DataFrame:
    frame: pl.DataFrame = cursor.sql(query_text(name), params=parameters or None).pl()
    return frame


def _changed(result: list[tuple[Any, ...]]) -> int:
    return int(result[0][0]) if result and isinstance(result[0][0], int) else 0
