"""Is everything in the database as it should be?"""

from __future__ import annotations

import polars as pl

from tracker.store.database import Database


def faults(database: Database) -> pl.DataFrame:
    """One row per check: check, faults (how many), what it looks for. All is well when every count is 0."""
    return database.faults()
