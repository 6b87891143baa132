"""Backups: whole copies of a database while it is in use, and where the automatic ones lie.

A copy is one consistent state: it is read in one transaction (``COPY FROM DATABASE``) while others go on writing.
It is written beside its place, forced to disk and renamed, so that a file under a backup's name is a whole one.
"""

from __future__ import annotations

import os
import re
import secrets
import shutil
from dataclasses import dataclass
from datetime import UTC, datetime
from enum import StrEnum
from pathlib import Path

import duckdb

from tracker.errors import DatabaseError
from tracker.store.database_file import (
    copy_database,
    force_names_to_disk,
    force_to_disk,
    remove_database,
    wal_of,
)

_STAMP = "%Y%m%dT%H%M%SZ"  # ISO 8601, basic format
_NAME = re.compile(r"(?P<stem>.*)-(?P<stamp>\d{8}T\d{6}Z)-(?P<reason>[a-z-]+)\.duckdb")


class BackupReason(StrEnum):
    """Why a backup in the backups folder was made."""

    DAILY = "daily"
    BEFORE_MIGRATION = "before-migration"
    ASKED = "asked-for"


@dataclass(frozen=True, kw_only=True, slots=True)
class BackupFile:
    """One file of the backups folder. ``made_at`` is UTC, ``size`` in bytes."""

    path: Path
    made_at: datetime
    reason: BackupReason
    size: int


def backup_folder(database: Path) -> Path:
    """The folder of a database file's own backups."""
    return database.parent / "backups"


def backup_path(database: Path, reason: BackupReason, *, made_at: datetime) -> Path:
    """Where a backup made now is kept; the folder is made. Raises DatabaseError when it cannot be."""
    folder = backup_folder(database)
    try:
        folder.mkdir(mode=0o700, exist_ok=True)
    except OSError as error:
        raise DatabaseError(f"The folder {folder} for backups cannot be made ({error.strerror}).") from error
    return folder / f"{database.stem}-{made_at.astimezone(UTC).strftime(_STAMP)}-{reason.value}.duckdb"


def backup_files(database: Path) -> list[BackupFile]:
    """The backups kept beside a database file, the newest first."""
    found = []
    for path in backup_folder(database).glob("*.duckdb"):
        parts = _NAME.fullmatch(path.name)
        if parts and parts["stem"] == database.stem and parts["reason"] in list(BackupReason):
            made_at = datetime.strptime(parts["stamp"], _STAMP).replace(tzinfo=UTC)
            reason = BackupReason(parts["reason"])
            found.append(BackupFile(path=path, made_at=made_at, reason=reason, size=path.stat().st_size))
    return sorted(found, key=lambda one: (one.made_at, one.path), reverse=True)


def write_backup(connection: duckdb.DuckDBPyConnection, target: Path, *, like: Path | None) -> None:
    """Copies all that ``connection`` has open into a new file, on disk when this returns; others may write meanwhile.

    ``like`` is the file whose permissions it gets. Raises DatabaseError when ``target`` is there already or cannot be
    written; then nothing is left of it.
    """
    refuse_existing(target)
    part = part_beside(target)
    try:
        with connection.cursor() as cursor:
            copy_database(cursor, part)
        if like is not None:
            shutil.copymode(like, part)
        publish(part, target)
    except (duckdb.Error, OSError) as error:
        raise DatabaseError(
            f"The backup {target} could not be written ({error}). The records are as they were. "
            "Free some space or name another place, and try again."
        ) from error
    finally:
        remove_database(part)


def refuse_existing(target: Path) -> None:
    """Raises DatabaseError when a file, or the write-ahead file of one, is there already."""
    for path in (target, wal_of(target)):
        if path.exists():
            raise DatabaseError(f"{path} is there already and is never overwritten. Name another, or move it away.")


def part_beside(target: Path) -> Path:
    """The name under which a file is written until it is whole."""
    return target.with_name(f".{target.name}.{secrets.token_hex(4)}.part")


def publish(part: Path, target: Path) -> None:
    """Forces a whole file to disk and gives it its name, which must be free. Raises OSError or DatabaseError."""
    force_to_disk(part)
    try:
        os.link(part, target)  # unlike a rename it never overwrites
    except FileExistsError:
        refuse_existing(target)
    except OSError:  # a stick formatted without links
        refuse_existing(target)
        part.rename(target)
    force_names_to_disk(target.parent)
