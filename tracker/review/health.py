"""How the records are: how large, when last backed up, and which queries took longest in this run."""

from __future__ import annotations

from dataclasses import dataclass

from tracker.review.backups import BackupRecord, last_backup
from tracker.review.erasure import is_rewrite_due
from tracker.store.database import Database
from tracker.store.query_times import QueryTime

MOST_QUERIES = 8


@dataclass(frozen=True, kw_only=True, slots=True)
class Health:
    """Sizes in bytes; ``backup`` is the newest kept beside the database; ``slowest`` has the longest run first."""

    file_bytes: int
    wal_bytes: int
    backup: BackupRecord | None
    rewrite_due: bool
    slowest: tuple[QueryTime, ...]


def health(database: Database) -> Health:
    """How this database is at this moment."""
    file_bytes, wal_bytes = database.sizes()
    return Health(
        file_bytes=file_bytes,
        wal_bytes=wal_bytes,
        backup=last_backup(database),
        rewrite_due=is_rewrite_due(database),
        slowest=tuple(database.query_times.slowest(MOST_QUERIES)),
    )
