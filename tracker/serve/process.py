"""The database this process holds, for the pages to ask."""

from __future__ import annotations

from tracker.errors import DatabaseError
from tracker.store.database import Database

_held: list[Database] = []


def hold(database: Database) -> None:
    """Makes this the database of the process; pages see it from now on."""
    _held[:] = [database]


def let_go() -> None:
    """Forgets the database; the caller closes it."""
    _held.clear()


def held_database() -> Database:
    """The database of this process. Raises DatabaseError when there is none."""
    if not _held:
        raise DatabaseError("No database is open in this process. Start the dashboard with: strikeladder serve")
    return _held[0]
