"""Wrong rows: what was wrong, where, and the file that tells a person."""

from __future__ import annotations

from pathlib import Path

import polars as pl

from tracker.intake.table_out import write_table

REJECT_SCHEMA = pl.Schema({"line": pl.Int64, "column": pl.String, "value": pl.String, "why": pl.String})


def no_rejects() -> pl.DataFrame:
    """An empty frame of rejects: line, column, value, why."""
    return pl.DataFrame(schema=REJECT_SCHEMA)


def rejects_path(source: Path) -> Path:
    """Where the rejects of a file go: ``strikes.csv`` has ``strikes.rejects.csv`` beside it."""
    return source.with_name(f"{source.stem}.rejects.csv")


def write_rejects(rejects: pl.DataFrame, *, source: Path) -> Path:
    """Writes the rejects of ``source`` beside it and returns the path.

    Raises FileError when that folder cannot be written to.
    """
    path = rejects_path(source)
    write_table(rejects.select(REJECT_SCHEMA.names()), path)
    return path
