"""When backups are made by themselves, how long they stay, and what they are worth.

The rule: one a day while the program is in use. A day's backup stays 7 days; the first of each week (from Monday) stays
28; one made before a migration, or because somebody asked for it, stays 90. The newest three stay longer, unless a
player was erased since.
"""

from __future__ import annotations

import time
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from pathlib import Path

from tracker.errors import DatabaseError
from tracker.store.audit import last_erasure
from tracker.store.backup import BackupFile, BackupReason, backup_files, backup_folder, backup_path
from tracker.store.database import Database
from tracker.store.restore import Contents, examined, opens, restore

__all__ = ["BackupReason", "BackupRecord", "Contents", "examined", "restore"]

DAYS_DAILY, DAYS_WEEKLY, DAYS_OTHER = 7, 28, 90
KEPT_ANYWAY = 3
_OLDEST_PART_SECONDS = 24 * 3600.0


@dataclass(frozen=True, kw_only=True, slots=True)
class BackupRecord:
    """One backup kept beside a database: UTC, bytes, whether it opens, and the local day it may be removed on."""

    path: Path
    made_at: datetime
    reason: BackupReason
    size: int
    readable: bool
    expires_on: date


def back_up(database: Database, target: Path) -> Path:
    """Writes all that is stored now into a new file and returns its place. Raises DatabaseError."""
    target = target.expanduser().resolve()
    database.back_up(target)
    return target


def back_up_beside(database: Database, *, reason: BackupReason, now: datetime | None = None) -> BackupRecord:
    """Makes a backup in the database's own backups folder. Raises DatabaseError."""
    if database.path is None:
        raise DatabaseError("This database is in memory only and has no folder for backups.")
    target = backup_path(database.path, reason, made_at=now or datetime.now(UTC))
    database.back_up(target)
    files = backup_files(database.path)
    return _record(next(one for one in files if one.path == target), files)


def back_up_if_due(database: Database, *, now: datetime) -> BackupRecord | None:
    """Makes the day's backup if there is none yet and something to keep, and removes those that are past their day.

    Raises DatabaseError when it cannot be written.
    """
    if database.path is None or not database.query("counts")["squads"][0]:
        return None
    today = now.astimezone().date()
    kept = backup_files(database.path)
    if any(one.reason is BackupReason.DAILY and one.made_at.astimezone().date() == today for one in kept):
        return None
    made = back_up_beside(database, reason=BackupReason.DAILY, now=now)
    remove_expired(database, now=now)
    return made


def backups(database: Database) -> list[BackupRecord]:
    """The backups kept beside the database, the newest first."""
    if database.path is None:
        return []
    files = backup_files(database.path)
    return [_record(one, files) for one in files]


def last_backup(database: Database) -> BackupRecord | None:
    """The newest backup kept beside the database, or None."""
    files = backup_files(database.path) if database.path else []
    return _record(files[0], files) if files else None


def remove_expired(database: Database, *, now: datetime) -> list[Path]:
    """Removes the backups past their day; returns those removed.

    The newest three stay, unless they are from before an erasure: those still hold a name that must go. What a backup
    broken off had begun goes a day later.
    """
    if database.path is None:
        return []
    today, erased_at, files = now.astimezone().date(), last_erasure(database), backup_files(database.path)
    gone = [
        one.path
        for place, one in enumerate(files)
        if _expires_on(one, files) <= today
        and (place >= KEPT_ANYWAY or (erased_at is not None and one.made_at <= erased_at))
    ]
    begun = [
        path
        for path in backup_folder(database.path).glob(f".{database.path.stem}-*.part*")
        if time.time() - path.stat().st_mtime > _OLDEST_PART_SECONDS
    ]
    for path in (*gone, *begun):
        path.unlink(missing_ok=True)
    return gone


def _record(file: BackupFile, files: list[BackupFile]) -> BackupRecord:
    return BackupRecord(
        path=file.path,
        made_at=file.made_at,
        reason=file.reason,
        size=file.size,
        readable=_opens(file.path, file.path.stat().st_mtime_ns),
        expires_on=_expires_on(file, files),
    )


@lru_cache(maxsize=256)
def _opens(path: Path, _changed_ns: int) -> bool:
    return opens(path)


def _expires_on(file: BackupFile, files: list[BackupFile]) -> date:
    """The local day a backup may be removed on."""
    day = file.made_at.astimezone().date()
    if file.reason is not BackupReason.DAILY:
        return day + timedelta(days=DAYS_OTHER)
    week = day - timedelta(days=day.weekday())
    earlier = [
        one
        for one in files
        if one.reason is BackupReason.DAILY and week <= one.made_at.astimezone().date() and one.made_at < file.made_at
    ]
    return day + timedelta(days=DAYS_DAILY if earlier else DAYS_WEEKLY)
