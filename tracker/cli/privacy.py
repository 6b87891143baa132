"""The commands about children's data: forget, retention, audit."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from tracker.cli.options import opened, print_frame, printable, who_runs_this, with_database, with_format

if TYPE_CHECKING:
    from tracker.review.backups import BackupRecord
    from tracker.review.erasure import Erasure, ErasurePreview
    from tracker.review.retention import RetentionPreview


@click.command
@click.argument("player")
@click.option("--keep-numbers", is_flag=True, help="Keep strikes and placements, as a former player without a name.")
@click.option("--keep-texts", is_flag=True, help="Leave hand-typed texts that name the player as they are.")
@click.option("--yes", is_flag=True, help="Do not ask.")
@click.option("--squad", metavar="NAME", help="Which squad; not needed when there is one.")
@with_database
def forget(*, player: str, keep_numbers: bool, keep_texts: bool, yes: bool, squad: str | None, db: Path | None) -> None:
    """Erases a player's personal data for good, after asking."""
    from tracker.review.backups import backups
    from tracker.review.erasure import erasure_preview
    from tracker.review.erasure import forget as forgotten
    from tracker.review.scope import player_named, squad_named

    with opened(db) as database:
        chosen = player_named(database, player, squad=squad_named(database, squad) if squad else None)
        preview = erasure_preview(database, chosen)
        _say_what_goes(preview, keep_numbers=keep_numbers)
        if not yes:
            click.confirm("Forget this player? It cannot be undone", abort=True, err=True)
        clean = bool(preview.mentions) and not keep_texts
        if clean and not yes:
            clean = click.confirm("Take the name out of these texts too?", default=True, err=True)
        done = forgotten(database, chosen, who=who_runs_this(), keep_numbers=keep_numbers, clean_texts=clean)
        _say_what_was_done(done, old=backups(database))


@click.group
def retention() -> None:
    """How long names are kept after a season, and what that rule would do today."""


@retention.command("set")
@click.option("--months", type=click.IntRange(0, 240), help="Months after a season's end.")
@click.option("--off", is_flag=True, help="Keep names until somebody forgets them.")
@with_database
def set_rule(*, months: int | None, off: bool, db: Path | None) -> None:
    """Sets the rule; it is applied whenever `serve` starts."""
    from tracker.review.retention import set_retention

    if off == (months is not None):
        raise click.UsageError("Say --months N, or --off.")
    with opened(db) as database:
        set_retention(database, months, who=who_runs_this())
    click.echo("Names are kept until somebody forgets them." if off else f"Names are kept {months} months.")


@retention.command("show")
@click.option("--months", type=click.IntRange(0, 240), help="Try another rule.  [default: the one that is set]")
@with_database
def show_rule(*, months: int | None, db: Path | None) -> None:
    """Lists whom the rule would make nameless today. Changes nothing."""
    from tracker.review.retention import retention_months, retention_preview

    with opened(db) as database:
        rule = retention_months(database) if months is None else months
        if rule is None:
            click.echo("No rule is set: names are kept until somebody forgets them.")
            return
        _say_retention(retention_preview(database, months=rule, today=datetime.now().astimezone().date()))


@retention.command("apply")
@with_database
def apply_rule(*, db: Path | None) -> None:
    """Applies the rule now, as `serve` does when it starts."""
    from tracker.review.retention import apply_retention

    with opened(db) as database:
        done = apply_retention(database, today=datetime.now().astimezone().date())
    if done is None:
        click.echo("Nothing is due.")
    else:
        _say_retention(done)


@click.command
@click.option("--player", metavar="NAME", help="Only what is about this player.")
@click.option("--squad", metavar="NAME", help="Which squad; not needed when there is one.")
@click.option("--most", type=click.IntRange(1), default=500, show_default=True, help="How many entries.")
@with_database
@with_format
def audit(*, player: str | None, squad: str | None, most: int, db: Path | None, form: str) -> None:
    """Who read reports, took records out or erased some, the latest first."""
    from tracker.review.audit import entries
    from tracker.review.scope import player_named, squad_named

    with opened(db) as database:
        chosen = squad_named(database, squad) if squad else None
        about = player_named(database, player, squad=chosen) if player else None
        print_frame(entries(database, player=about, most=most), form)


def _say_what_goes(preview: ErasurePreview, *, keep_numbers: bool) -> None:
    strikes = f"{preview.strikes} strikes of {preview.practices} practices, {preview.placements} placements"
    click.echo(f"{printable(preview.player.display_name)}: {strikes}, words for {preview.words} reports.", err=True)
    click.echo("Strikes and placements stay, without the name." if keep_numbers else "All of it goes.", err=True)
    if preview.mentions:
        click.echo("Texts that name them:", err=True)
    for one in preview.mentions:
        click.echo(f"  {one.place.value}{f', {one.day}' if one.day else ''}: {printable(one.text)}", err=True)


def _say_what_was_done(done: Erasure, *, old: list[BackupRecord]) -> None:
    stays = f"; {done.strikes} strikes stay as {done.stays_as}" if done.stays_as else f", with {done.strikes} strikes"
    click.echo(f"Erased{stays}. The file was written afresh, so nothing of it is left there.")
    for path in done.removed:
        click.echo(f"Removed: {path}")
    for path in done.files:
        click.echo(f"Still holds these letters, look at it and delete it if it is about them: {path}")
    for one in old:
        click.echo(f"A backup from before still holds them, and may go from {one.expires_on} on: {one.path}")
    click.echo("Printed pages, exports and files you gave away are yours to destroy.", err=True)


def _say_retention(preview: RetentionPreview) -> None:
    if preview.last_day is None or not preview.players:
        click.echo(f"Nothing is older than {preview.months} months after its season.")
        return
    click.echo(f"Up to {preview.last_day} ({', '.join(printable(one.name) for one in preview.seasons)}):")
    for one in preview.players:
        fate = "erased, nothing later is kept" if one.goes else "named from then on only"
        click.echo(
            f"  {printable(one.player.display_name)}: {one.strikes} strikes, {one.placements} placements; {fate}"
        )
