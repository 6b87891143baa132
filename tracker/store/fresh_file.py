"""Everything a database holds in a fresh file: what was deleted is in no block of it."""

from __future__ import annotations

import shutil
from contextlib import suppress
from pathlib import Path

import duckdb

from tracker.errors import DatabaseError
from tracker.store.database_file import copy_database, force_names_to_disk, force_to_disk, remove_database, wal_of


def write_fresh_file(connection: duckdb.DuckDBPyConnection, path: Path) -> Path:
    """Copies the database at ``path``, open in ``connection``, into a file beside it that is on disk when this returns.

    Nobody else may write meanwhile. Raises DatabaseError when it cannot be written; then no such file is left.
    """
    fresh = path.with_name(f"{path.name}.fresh")
    try:
        remove_database(fresh)
        connection.execute("checkpoint").fetchall()
        copy_database(connection, fresh)
        shutil.copymode(path, fresh)
        force_to_disk(fresh)
    except (duckdb.Error, OSError) as error:
        with suppress(OSError):
            remove_database(fresh)
        raise DatabaseError(
            f"The database could not be copied into a fresh file beside it ({error}). Free some space on the disk "
            "and try again; the records are as they were."
        ) from error
    return fresh


def put_in_place(fresh: Path, path: Path) -> None:
    """Puts a fresh file in the place of a database that nobody has open, in one step, on disk when this returns."""
    wal_of(path).unlink(missing_ok=True)  # all it held is in the fresh file, which must not replay it
    fresh.replace(path)
    force_names_to_disk(path.parent)
