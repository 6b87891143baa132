"""Is everything in the database as it should be?"""

from __future__ import annotations

import polars as pl

from tracker.errors import DatabaseError
from tracker.review.backups import examined, last_backup
from tracker.store.database import Database


def faults(database: Database) -> pl.DataFrame:
    """One row per check: check, faults (how many), what it looks for. All is well when every count is 0.

    The checks of ``sql/checks/``, then the schema against the one this program makes, then the last backup.
    """
    found = database.faults()
    rows = [_schema(database), _last_backup(database)]
    return pl.concat([found, pl.DataFrame(rows, schema=found.schema, orient="row")])


def counts(database: Database) -> dict[str, int]:
    """How many squads, seasons, players, practices, strikes, corrections and placements are stored."""
    return database.query("counts").row(0, named=True)


def _schema(database: Database) -> tuple[str, int, str]:
    with Database.open(None) as fresh:
        ours, theirs = fresh.query("schema"), database.query("schema")
    odd = pl.concat([ours.join(theirs, on=ours.columns, how="anti"), theirs.join(ours, on=ours.columns, how="anti")])
    return "schema", odd.height, "Migrations, columns and types other than this program makes them."


def _last_backup(database: Database) -> tuple[str, int, str]:
    last = last_backup(database)
    if last is None:
        return "last backup", 0, "There is none yet; strikeladder serve makes one a day."
    looks_for = f"The last backup, {last.path.name}, opens and passes these checks."
    try:
        return "last backup", int(examined(last.path).faults["faults"].sum()), looks_for
    except DatabaseError:
        return "last backup", 1, looks_for
