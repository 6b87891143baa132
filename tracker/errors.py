"""Every error Strike Ladder raises for a person to read, with the exit code the command line gives it.

::

    TrackerError                 1  base: something asked for cannot be done
    ├── RequestError             1  the request names a thing that is not there, or a value that cannot be
    ├── FileError                1  a file cannot be read at all
    │   ├── RowsRejected         1  a file was read, but rows in it are wrong; carries the rejects
    │   └── LadderError          1  a ladder file breaks a rule; names the file, stage, field and why
    ├── PageError                1  a page for paper could not be set
    └── DatabaseError            1  the database cannot be used
        ├── DatabaseMissing      1  there is no database there yet
        ├── DatabaseUnreadable   1  the file is not a database, or is damaged
        ├── DatabaseInUse        3  another process holds it; names the holder
        └── DatabaseTooNew       3  written by a newer Strike Ladder

Wrong usage of a command is click's own error, exit code 2. ``ValueError`` inside ``stats/`` and ``domain/`` marks a
programming or value error at the call; the edges turn it into one of the above.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Self

if TYPE_CHECKING:
    import polars as pl


class TrackerError(Exception):
    """Base of every error meant for a person: its text says what happened, where, and what to do."""

    exit_code = 1


class RequestError(TrackerError):
    """The request names a player, stage, squad, … that is not there, or a value that cannot be."""

    @classmethod
    def of(cls, error: ValueError) -> Self:
        """What a value error says, as a sentence."""
        text = str(error)
        return cls(f"{text[:1].upper()}{text[1:]}.")


class FileError(TrackerError):
    """A file cannot be read at all."""


class RowsRejected(FileError):
    """Rows of a file are wrong; nothing was stored.

    ``rejects`` has one row a fault: line (Int64), column (String), value (String), why (String). ``rejects_file`` is
    the file they were written to, or None when that could not be.
    """

    def __init__(self, message: str, *, rejects: pl.DataFrame, rejects_file: Path | None, read: int) -> None:
        super().__init__(message)
        self.rejects, self.rejects_file, self.read = rejects, rejects_file, read

    def counts(self) -> dict[str, int | str | None]:
        """The figures, for a program to read."""
        return {
            "read": self.read,
            "stored": 0,
            "already_there": 0,
            "rejected": self.rejects["line"].n_unique(),
            "rejects_file": str(self.rejects_file) if self.rejects_file else None,
        }


class LadderError(FileError):
    """A ladder file breaks a rule: which file, which stage, which field, and why."""

    def __init__(self, *, source: str, stage: str | None, field: str | None, why: str) -> None:
        place = ", ".join(
            part for part in (f"stage {stage!r}" if stage else "", f"field {field!r}" if field else "") if part
        )
        super().__init__(f"{source}: {place + ': ' if place else ''}{why}")
        self.source, self.stage, self.field, self.why = source, stage, field, why


class PageError(TrackerError):
    """A page for paper could not be set from its template."""


class DatabaseError(TrackerError):
    """The database cannot be used."""


class DatabaseMissing(DatabaseError):
    """There is no database at this path yet."""

    def __init__(self, path: Path) -> None:
        super().__init__(f"There is no database at {path} yet. Make one with: strikeladder init")


class DatabaseUnreadable(DatabaseError):
    """The file is not a database of ours, or it is damaged."""


class DatabaseInUse(DatabaseError):
    """Another process owns the database file."""

    exit_code = 3

    def __init__(self, path: Path, holder: str) -> None:
        super().__init__(
            f"The database {path} is in use by {holder}. "
            "Only one program can use it at a time: close that one, or use its dashboard instead."
        )


class DatabaseTooNew(DatabaseError):
    """The database was written by a newer version of the program."""

    exit_code = 3

    def __init__(self, path: Path, *, found: int, known: int) -> None:
        super().__init__(
            f"The database {path} was written by a newer Strike Ladder (schema {found}; this program knows {known}). "
            "Update Strike Ladder, then try again. Nothing was changed."
        )
