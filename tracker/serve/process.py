"""The database this process holds, for the pages to ask."""

from __future__ import annotations

import itertools
import threading

from tracker.errors import DatabaseError
from tracker.serve.outlet import Outlet
from tracker.serve.writer import GroupWriter
from tracker.store.database import Database

_held: list[Database] = []
_outlets: list[Outlet] = []
_writers: list[GroupWriter] = []
_starting = threading.Lock()
_marks = itertools.count(0, 1_000_000_000)


def hold(database: Database, outlet: Outlet | None = None) -> None:
    """Makes this the database of the process; pages see it from now on. ``outlet`` is where the process is reached."""
    _held[:] = [database]
    _outlets[:] = [outlet] if outlet else []
    database.club_changes = next(_marks)  # what was cached of another database is not asked for again


def let_go() -> None:
    """Stores what still waits and forgets the database; the caller closes it."""
    while _writers:
        _writers.pop().close()
    _held.clear()


def held_outlet() -> Outlet | None:
    """Where this process can be reached, or None when it serves nothing (in a test)."""
    return _outlets[0] if _outlets else None


def held_writer() -> GroupWriter:
    """The thread that writes what phones bring, started when it is first needed."""
    with _starting:
        if not _writers:
            _writers.append(GroupWriter(held_database()))
        return _writers[0]


def deliveries_waiting() -> int:
    """How many deliveries of phones wait for their commit at this moment; 0 where none has come yet."""
    return _writers[0].waiting if _writers else 0


def held_database() -> Database:
    """The database of this process. Raises DatabaseError when there is none."""
    if not _held:
        raise DatabaseError("No database is open in this process. Start the dashboard with: strikeladder serve")
    return _held[0]
