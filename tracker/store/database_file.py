"""A database as files: copied whole, forced to disk, removed together with its write-ahead file."""

from __future__ import annotations

import os
from pathlib import Path

import duckdb

_COPY = "whole_copy"


def wal_of(path: Path) -> Path:
    """The write-ahead file of a database file."""
    return path.with_name(f"{path.name}.wal")


def copy_database(cursor: duckdb.DuckDBPyConnection, file: Path) -> None:
    """Copies all that is committed in the database open in ``cursor`` into a new file. Raises duckdb.Error."""
    cursor.execute(f"attach $path as {_COPY}", {"path": str(file)}).fetchall()
    try:
        ((name,),) = cursor.execute("select current_database()").fetchall()
        quoted = name.replace('"', '""')
        cursor.execute(f'copy from database "{quoted}" to {_COPY}').fetchall()
        cursor.execute(f"checkpoint {_COPY}").fetchall()
    finally:
        cursor.execute(f"detach {_COPY}").fetchall()


def force_to_disk(file: Path) -> None:
    """Returns when what was written into a file is on disk. Raises OSError."""
    with file.open("rb+") as written:
        os.fsync(written.fileno())


def force_names_to_disk(folder: Path) -> None:
    """Returns when the names of a folder's files are on disk, where the system can say so. Raises OSError."""
    if os.name == "posix":
        opened = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(opened)
        finally:
            os.close(opened)


def remove_database(path: Path) -> None:
    """Removes a database file and its write-ahead file, where they are there."""
    path.unlink(missing_ok=True)
    wal_of(path).unlink(missing_ok=True)
