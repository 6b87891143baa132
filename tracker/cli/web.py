"""The commands around the web process: demo, serve, the coach's passcode, and passes to the touchline page."""

from __future__ import annotations

import sys
import tempfile
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from tracker.cli.options import DAY, opened, with_database

if TYPE_CHECKING:
    from tracker.serve.login import Login
    from tracker.serve.outlet import Outlet
    from tracker.store.database import Database

PORT = click.IntRange(1, 65535)


@click.command
@click.option("--port", type=PORT, help="Which port.  [default: the first free one from 8460]")
@click.option("--no-browser", is_flag=True, help="Only print the address.")
@click.option("--keep", type=click.Path(path_type=Path, file_okay=False), help="Keep the demo database in this folder.")
def demo(*, port: int | None, no_browser: bool, keep: Path | None) -> None:
    """Opens the dashboard on an invented squad's season. Nothing of yours is touched."""
    from tracker.review.demonstration import demo_database
    from tracker.serve.application import serve_dashboard
    from tracker.serve.outlet import Outlet, free_port

    outlet = Outlet(port=free_port(port))
    with tempfile.TemporaryDirectory(prefix="strike-ladder-demo-") as scratch:
        click.echo("Making the demo season …", err=True)
        database = demo_database(keep or Path(scratch))
        _announce(outlet)
        serve_dashboard(database, outlet, open_browser=not no_browser)


@click.command
@click.option("--port", type=PORT, help="Which port.  [default: the first free one from 8460]")
@click.option("--no-browser", is_flag=True, help="Only print the address.")
@click.option("--lan", is_flag=True, help="Let phones and laptops on the same network in; needs a passcode.")
@click.option("--tls", is_flag=True, help="With --lan: https with a certificate of this computer's own.")
@click.option(
    "--cert", type=click.Path(path_type=Path, dir_okay=False), help="With --lan: https with this certificate."
)
@click.option("--key", type=click.Path(path_type=Path, dir_okay=False), help="The key of --cert.")
@click.option("--squad", metavar="NAME", help="With --lan: whose practice the printed pass is for.")
@click.option(
    "--login",
    "login_file",
    type=click.Path(path_type=Path, dir_okay=False),
    help="A club's server: sign in with the accounts of this file instead of a passcode.",
)
@with_database
def serve(
    *,
    port: int | None,
    no_browser: bool,
    lan: bool,
    tls: bool,
    cert: Path | None,
    key: Path | None,
    squad: str | None,
    login_file: Path | None,
    db: Path | None,
) -> None:
    """Opens the dashboard on your own records; makes an empty database the first time."""
    from tracker.serve.application import serve_dashboard
    from tracker.serve.outlet import Outlet, free_port

    if (tls or cert or key) and not lan:
        raise click.UsageError("--tls, --cert and --key go with --lan.")
    if bool(cert) != bool(key) or (tls and cert):
        raise click.UsageError("Name --cert and --key together, or --tls alone.")
    login = _read_login(login_file)
    database = opened(db, create=True)
    click.echo(f"Records: {database.path}", err=True)
    try:
        _keep_to_the_rules(database)
        outlet = (
            _lan_outlet(database, port=port, tls=tls, cert=cert, key=key, login=login)
            if lan
            else Outlet(port=free_port(port), login=login)
        )
    except BaseException:
        database.close()
        raise
    _announce(outlet)
    if lan:
        _print_pass(database, outlet, squad=squad)
    serve_dashboard(database, outlet, open_browser=not no_browser)


@click.command
@with_database
def passcode(*, db: Path | None) -> None:
    """Sets the coach's passcode, which `serve --lan` asks other devices for."""
    from tracker.review.passcode import set_passcode

    with opened(db, create=True) as database:
        if sys.stdin.isatty():
            given = click.prompt("New passcode", hide_input=True, confirmation_prompt=True)
        else:
            given = sys.stdin.readline().rstrip("\n")
        set_passcode(database, given)
    click.echo("The passcode is set.")


@click.command
@click.option("--practice", "day", type=DAY, help="The day of the practice.  [default: today]")
@click.option("--logger", default="Assistant", show_default=True, metavar="NAME", help="Who will log with it.")
@click.option("--squad", metavar="NAME", help="Which squad; not needed when there is one.")
@with_database
def pad(*, day: datetime | None, logger: str, squad: str | None, db: Path | None) -> None:
    """Gives out a pass to the touchline page, for one practice and one logger."""
    with opened(db) as database:
        click.echo(_pass_path(database, day=day, logger=logger, squad=squad))


def _pass_path(database: Database, *, day: datetime | None, logger: str, squad: str | None) -> str:
    from tracker.review.logbook import practice_on
    from tracker.review.pad import give_pass
    from tracker.review.scope import squad_named

    held_on = day.date() if day else datetime.now().astimezone().date()
    practice = practice_on(database, squad_named(database, squad), held_on)
    return give_pass(database, practice, logger=logger).path


def _keep_to_the_rules(database: Database) -> None:
    """Ends an erasure that could not be ended, and applies the retention rule."""
    from tracker.review.erasure import finish_erasure
    from tracker.review.retention import apply_retention

    if finish_erasure(database):
        click.echo("What was erased before is now gone from the file too.", err=True)
    done = apply_retention(database, today=datetime.now().astimezone().date())
    if done is not None:
        click.echo(
            f"By the retention rule {len(done.players)} players have no name any more up to {done.last_day}.", err=True
        )


def _read_login(file: Path | None) -> Login | None:
    if file is None:
        return None
    from tracker.serve.login import read_login

    return read_login(file)


def _lan_outlet(
    database: Database,
    *,
    port: int | None,
    tls: bool,
    cert: Path | None,
    key: Path | None,
    login: Login | None,
) -> Outlet:
    from tracker.errors import RequestError
    from tracker.review.passcode import has_passcode
    from tracker.serve.certificates import Certificates, local_certificates
    from tracker.serve.outlet import EVERY_ADDRESS, Outlet, free_port, lan_names

    if login is None and not has_passcode(database):
        raise RequestError(
            "Others on the network could read the children's records, so --lan needs a passcode first. "
            "Set one with: strikeladder passcode"
        )
    names = lan_names()
    chosen = free_port(port, address=EVERY_ADDRESS)
    if cert and key:
        return Outlet(
            port=chosen,
            lan_names=names,
            certificates=Certificates(certificate=cert, key=key, authority=None),
            login=login,
        )
    if not tls:
        return Outlet(port=chosen, lan_names=names, login=login)
    folder = (database.path.parent if database.path else Path.cwd()) / "tls"
    page_port = free_port(None, address=EVERY_ADDRESS) if port is None else free_port(port + 1, address=EVERY_ADDRESS)
    page_port = page_port if page_port != chosen else free_port(chosen + 1, address=EVERY_ADDRESS)
    return Outlet(
        port=chosen,
        lan_names=names,
        certificates=local_certificates(folder, names=[*names, "localhost", "127.0.0.1"]),
        certificate_page=f"http://{names[0]}:{page_port}",
        login=login,
    )


def _announce(outlet: Outlet) -> None:
    if outlet.login:
        click.echo(f"{outlet.login.origin}   for the accounts in {outlet.login.file.name} (listens at {outlet.here})")
        return
    if not outlet.elsewhere:
        click.echo(f"{outlet.here}   (only this computer can open it; stop with Ctrl+C)")
        return
    click.echo(f"{outlet.here}   on this computer; {outlet.elsewhere} on others. Stop with Ctrl+C.")
    click.echo(
        "Everyone on this network can now reach the passcode page and the touchline page. "
        "The dashboard opens for the passcode only; a pass can log one practice and read no results.",
        err=True,
    )
    if not outlet.certificates:
        click.echo("Without --tls what is sent can be read along the way: use it on your own network only.", err=True)


def _print_pass(database: Database, outlet: Outlet, *, squad: str | None) -> None:
    """Today's pass as a code to scan, and where phones get the certificate."""
    from tracker.errors import RequestError
    from tracker.serve.codes import terminal_code

    if outlet.certificate_page:
        click.echo(f"\nOnce for each phone, the certificate: {outlet.certificate_page}")
        click.echo(terminal_code(outlet.certificate_page))
    try:
        address = f"{outlet.elsewhere}{_pass_path(database, day=None, logger='Assistant', squad=squad)}"
    except RequestError as error:
        click.echo(f"No pass for today yet: {error}", err=True)
        return
    click.echo(f"\nToday's touchline page, for one assistant: {address}")
    click.echo(terminal_code(address))
