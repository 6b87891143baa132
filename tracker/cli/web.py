"""The commands around the web process: demo, serve, and passes to the touchline page."""

from __future__ import annotations

import tempfile
from datetime import datetime
from pathlib import Path

import click

from tracker.cli.options import DAY, opened, with_database

PORT = click.IntRange(1, 65535)


@click.command
@click.option("--port", type=PORT, help="Which port.  [default: the first free one from 8460]")
@click.option("--no-browser", is_flag=True, help="Only print the address.")
@click.option("--keep", type=click.Path(path_type=Path, file_okay=False), help="Keep the demo database in this folder.")
def demo(*, port: int | None, no_browser: bool, keep: Path | None) -> None:
    """Opens the dashboard on an invented squad's season. Nothing of yours is touched."""
    from tracker.review.demonstration import demo_database
    from tracker.serve.application import serve_dashboard

    with tempfile.TemporaryDirectory(prefix="strike-ladder-demo-") as scratch:
        click.echo("Making the demo season …", err=True)
        database = demo_database(keep or Path(scratch))
        serve_dashboard(database, port=port, open_browser=not no_browser, announce=_announce)


@click.command
@click.option("--port", type=PORT, help="Which port.  [default: the first free one from 8460]")
@click.option("--no-browser", is_flag=True, help="Only print the address.")
@with_database
def serve(*, port: int | None, no_browser: bool, db: Path | None) -> None:
    """Opens the dashboard on your own records; makes an empty database the first time."""
    from tracker.serve.application import serve_dashboard

    database = opened(db, create=True)
    click.echo(f"Records: {database.path}", err=True)
    serve_dashboard(database, port=port, open_browser=not no_browser, announce=_announce)


def _announce(address: str) -> None:
    click.echo(f"{address}   (only this computer can open it; stop with Ctrl+C)")


@click.command
@click.option("--practice", "day", type=DAY, help="The day of the practice.  [default: today]")
@click.option("--logger", default="Assistant", show_default=True, metavar="NAME", help="Who will log with it.")
@click.option("--squad", metavar="NAME", help="Which squad; not needed when there is one.")
@with_database
def pad(*, day: datetime | None, logger: str, squad: str | None, db: Path | None) -> None:
    """Gives out a pass to the touchline page, for one practice and one logger."""
    from tracker.review.logbook import practice_on
    from tracker.review.pad import give_pass
    from tracker.review.scope import squad_named

    with opened(db) as database:
        held_on = day.date() if day else datetime.now().astimezone().date()
        practice = practice_on(database, squad_named(database, squad), held_on)
        click.echo(give_pass(database, practice, logger=logger).path)
