"""What DuckDB's errors mean to a person, and what to do: the database in use, damaged, or without room."""

from __future__ import annotations

import re
from pathlib import Path

import duckdb

from tracker.errors import DatabaseError, DatabaseInUse, DatabaseUnreadable
from tracker.store.backup import backup_files, backup_folder
from tracker.store.database_file import wal_of

_HOLDER = re.compile(r"held in (?P<program>.*?)(?: by user \S+)? \(PID (?P<pid>\d+)\)")


def storing_error(path: Path | None, error: duckdb.Error) -> DatabaseError:
    """What is said when a transaction could not be committed."""
    if _has_no_room(error):
        return DatabaseError(f"Nothing was stored: {_no_room(path)}")
    return DatabaseError(f"Nothing was stored: the database could not save it ({error}).")


def _has_no_room(error: duckdb.Error) -> bool:
    return any(words in str(error) for words in ("No space left", "File too large", "Disk quota exceeded"))


def _no_room(path: Path | None) -> str:
    return f"the disk that holds {path} is full. Free some space, then try again; what is stored is safe."


def opening_error(path: Path, error: duckdb.Error) -> DatabaseError:
    """What is said when a file could not be opened, and what to do."""
    text = str(error)
    if _has_no_room(error):
        return DatabaseError(f"The database cannot be opened: {_no_room(path)}")
    if "Could not set lock" in text:
        found = _HOLDER.search(text)
        holder = f"process {found['pid']} ({Path(found['program']).name})" if found else "another program"
        return DatabaseInUse(path, holder)
    if any(words in text for words in ("WAL does not match", "WAL checkpoint iteration does not match")):
        return DatabaseUnreadable(
            f"The write-ahead file {wal_of(path)} belongs to another database, or to an older copy of this one. "
            "Move it away without deleting it and try again, then run: strikeladder check"
        )
    if ("Corrupt WAL" in text or "replaying WAL" in text) and "Corrupt database file" not in text:
        return DatabaseUnreadable(
            f"The write-ahead file beside {path} is damaged, so the database cannot be opened. Do not delete it. "
            f"All that stands before the damage is put into a new file by: strikeladder restore {path} --db NEW_FILE. "
            f"Compare it with your last backup in {backup_folder(path)}."
        )
    if path.is_dir():
        return DatabaseUnreadable(
            f"{path} is a folder, not a database file. Name a file, such as {path / 'strikes.duckdb'}."
        )
    if "Permission denied" in text or "Read-only file system" in text:
        return DatabaseUnreadable(f"The database {path} cannot be opened for writing here. Check who may write to it.")
    kept = backup_files(path)
    remedy = f". Keep it as it is and run: strikeladder restore {kept[0].path} --db NEW_FILE" if kept else ""
    return DatabaseUnreadable(
        f"{path} is not a Strike Ladder database, or it is damaged: {text.splitlines()[0]}{remedy}"
    )
