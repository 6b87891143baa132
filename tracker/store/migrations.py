"""Brings a database to this program's schema: forward only, in order, each file in one transaction."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from pathlib import Path

import duckdb

from tracker import __version__
from tracker.errors import DatabaseTooNew, DatabaseUnreadable
from tracker.store.sql_files import files_in


def apply_migrations(
    connection: duckdb.DuckDBPyConnection, *, path: Path | None, before: Callable[[], None] | None = None
) -> None:
    """Applies the migrations a database lacks, then puts the views in place.

    ``before`` is called once before a schema that has been in use is changed.

    Raises DatabaseTooNew when the database knows a migration this program does not, and DatabaseUnreadable when the
    file is a DuckDB database of something else or an applied migration differs from ours.
    """
    migrations = {int(file.name[:4]): file for file in files_in("migrations")}
    applied = _applied(connection, path)
    shown = path or Path(":memory:")
    if applied and max(applied) > max(migrations):
        raise DatabaseTooNew(shown, found=max(applied), known=max(migrations))
    texts = {version: file.read_text(encoding="utf-8") for version, file in migrations.items()}
    checksums = {version: hashlib.sha256(text.encode()).hexdigest() for version, text in texts.items()}
    for version, checksum in applied.items():
        if version not in migrations or checksum != checksums[version]:
            name = migrations[version].stem if version in migrations else f"{version:04d}"
            raise DatabaseUnreadable(
                f"The database {shown} was made by a different edition of migration {name}. "
                "Use the Strike Ladder that made it, export everything, and import that here."
            )
    missing = [version for version in migrations if version not in applied]
    if applied and missing and before:
        before()
    for version in missing:
        _apply(connection, version, migrations[version].stem, texts[version], checksums[version])
    for view in files_in("views"):
        connection.execute(view.read_text(encoding="utf-8")).fetchall()


def _applied(connection: duckdb.DuckDBPyConnection, path: Path | None) -> dict[int, str]:
    tables = {row[0] for row in connection.execute("select table_name from duckdb_tables()").fetchall()}
    if "schema_migration" in tables:
        return dict(connection.execute("select version, checksum from schema_migration").fetchall())
    if tables:
        raise DatabaseUnreadable(f"{path} is a database of another program. Name a new file instead.")
    return {}


def _apply(connection: duckdb.DuckDBPyConnection, version: int, name: str, text: str, checksum: str) -> None:
    connection.execute("begin").fetchall()
    try:
        connection.execute(text).fetchall()
        connection.execute(
            "insert into schema_migration values (?, ?, ?, ?, now())", [version, name, checksum, __version__]
        ).fetchall()
    except BaseException:
        connection.execute("rollback").fetchall()
        raise
    connection.execute("commit").fetchall()
