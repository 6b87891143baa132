"""Everything a database holds in a fresh file: what was deleted is in no block of it."""

from __future__ import annotations

import os
import shutil
from contextlib import suppress
from pathlib import Path

import duckdb

from tracker.errors import DatabaseError

_COPY = "fresh_copy"


def write_fresh_file(connection: duckdb.DuckDBPyConnection, path: Path) -> Path:
    """Copies the database at ``path``, open in ``connection``, into a file beside it that is on disk when this returns.

    Nobody else may write meanwhile. Raises DatabaseError when it cannot be written; then no such file is left.
    """
    fresh = path.with_name(f"{path.name}.fresh")
    try:
        _remove(fresh)
        connection.execute("checkpoint").fetchall()
        connection.execute(f"attach $path as {_COPY}", {"path": str(fresh)}).fetchall()
        try:
            ((name,),) = connection.execute("select current_database()").fetchall()
            quoted = name.replace('"', '""')
            connection.execute(f'copy from database "{quoted}" to {_COPY}').fetchall()
            connection.execute(f"checkpoint {_COPY}").fetchall()
        finally:
            connection.execute(f"detach {_COPY}").fetchall()
        shutil.copymode(path, fresh)
        with fresh.open("rb+") as written:
            os.fsync(written.fileno())
    except (duckdb.Error, OSError) as error:
        with suppress(OSError):
            _remove(fresh)
        raise DatabaseError(
            f"The database could not be copied into a fresh file beside it ({error}). Free some space on the disk "
            "and try again; the records are as they were."
        ) from error
    return fresh


def put_in_place(fresh: Path, path: Path) -> None:
    """Puts a fresh file in the place of a database that nobody has open, in one step, on disk when this returns."""
    wal_of(path).unlink(missing_ok=True)  # all it held is in the fresh file, which must not replay it
    fresh.replace(path)
    if os.name == "posix":
        folder = os.open(path.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)


def wal_of(path: Path) -> Path:
    """The write-ahead file of a database file."""
    return path.with_name(f"{path.name}.wal")


def _remove(fresh: Path) -> None:
    fresh.unlink(missing_ok=True)
    wal_of(fresh).unlink(missing_ok=True)
