"""Keeping the records safe: backup and restore."""

from __future__ import annotations

from pathlib import Path

import click

from tracker.cli.options import counted, database_path, opened, with_database


@click.command
@click.argument("file", type=click.Path(path_type=Path))
@with_database
def backup(*, file: Path, db: Path | None) -> None:
    """Copies the whole database into FILE, also while the dashboard and the phones are in use."""
    from tracker.errors import DatabaseInUse
    from tracker.review.backups import back_up

    target = file.expanduser().resolve()
    try:
        with opened(db) as database:
            back_up(database, target)
    except DatabaseInUse:
        from tracker.serve.backup_route import ask_for_backup

        try:
            ask_for_backup(database_path(db).expanduser().resolve(), target)
        except FileNotFoundError:
            is_served = False
        else:
            is_served = True
        if not is_served:  # another command has it, for a moment
            raise
    click.echo(f"{target} holds everything stored up to now ({target.stat().st_size / 1e6:.1f} MB).")


@click.command
@click.argument("file", type=click.Path(path_type=Path))
@with_database
def restore(*, file: Path, db: Path | None) -> None:
    """Puts a backup in place of a missing database; never over one that is there.

    FILE may also be a damaged database: all that stands before the damage is put into the new one.
    """
    from tracker.review.backups import restore as restored

    target = database_path(db)
    found = restored(file.expanduser(), target)
    click.echo(f"{target} holds {counted(found.counts.row(0, named=True))}.")
    if found.unread_bytes:
        click.echo(
            f"The last {found.unread_bytes:,} bytes written to {file} are damaged and were left out: "
            "look whether the last strikes are there. What a phone still holds it delivers again.",
            err=True,
        )
