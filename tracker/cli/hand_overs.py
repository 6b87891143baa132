"""The commands for a change of coach: hand-over, take-over."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from tracker.cli.options import opened, who_runs_this, with_database

if TYPE_CHECKING:
    from tracker.review.take_over import HandOverPreview


class NamePair(click.ParamType[tuple[str, str]]):
    """NEWCOMER=NAME."""

    name = "NEWCOMER=NAME"

    def convert(
        self, value: str | tuple[str, str], param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[str, str]:
        """The name in the file and the name here."""
        if not isinstance(value, str):
            return value
        newcomer, equals, name = value.partition("=")
        if not equals or not newcomer.strip() or not name.strip():
            self.fail(f"{value!r} must look like NEWCOMER=NAME", param, ctx)
        return newcomer.strip(), name.strip()


@click.command("hand-over")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--player", "names", multiple=True, metavar="NAME", help="Only this player; may be given several times.")
@click.option("--squad", metavar="NAME", help="Which squad; not needed when there is one.")
@click.option("--notes", "with_notes", is_flag=True, help="Take the coach's notes and words for reports along.")
@with_database
def hand_over(*, file: Path, names: tuple[str, ...], squad: str | None, with_notes: bool, db: Path | None) -> None:
    """Writes one zip that hands a squad, or some of its players, to another coach's Strike Ladder."""
    from tracker.domain.vocabulary import AuditEvent
    from tracker.report.printed.files import make_folder, write_page
    from tracker.review import audit
    from tracker.review.hand_over import hand_over as packed
    from tracker.review.scope import player_named, squad_named

    with opened(db) as database:
        chosen = squad_named(database, squad)
        players = [player_named(database, name, squad=chosen) for name in names] if names else None
        content = packed(database, chosen, players=players, with_notes=with_notes)
        whom = players or ()
        audit.note(database, AuditEvent.HAND_OVER, who=who_runs_this(), players=whom, detail="" if whom else "a squad")
    make_folder(file.parent)
    click.echo(write_page(file, content, mark="hand-over"))


@click.command("take-over")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False, exists=True))
@click.option("--squad", metavar="NAME", help="Where to; without it the squad named in the file, made if need be.")
@click.option("--preview", is_flag=True, help="Say what would come in, store nothing.")
@click.option("--same", type=NamePair(), multiple=True, help="The newcomer is the player here: NEWCOMER=PLAYER.")
@click.option("--rename", type=NamePair(), multiple=True, help="Another name for the newcomer: NEWCOMER=NAME.")
@with_database
def take_over(
    *,
    file: Path,
    squad: str | None,
    preview: bool,
    same: tuple[tuple[str, str], ...],
    rename: tuple[tuple[str, str], ...],
    db: Path | None,
) -> None:
    """Takes in what another coach handed over. Nothing here is changed or stored twice."""
    from tracker.domain.file_content import read_content
    from tracker.domain.vocabulary import AuditEvent
    from tracker.intake.hand_over_file import LARGEST_HAND_OVER_BYTES
    from tracker.review import audit
    from tracker.review.scope import player_named, squad_named
    from tracker.review.take_over import preview_hand_over
    from tracker.review.take_over import take_over as taken_over

    with opened(db, create=not preview) as database:
        target = squad_named(database, squad) if squad else None
        content = read_content(file, most_bytes=LARGEST_HAND_OVER_BYTES, wanted="one hand-over file")
        found = preview_hand_over(database, content, source=file.name, squad=target)
        click.echo(json.dumps(_counts(found), ensure_ascii=False))
        if preview:
            return
        newcomers = {one.player.display_name.casefold(): one.player.player_id for one in found.players}
        decisions = {
            newcomers[new.casefold()]: player_named(database, here, squad=found.squad)
            for new, here in same
            if new.casefold() in newcomers
        } | {newcomers[new.casefold()]: name for new, name in rename if new.casefold() in newcomers}
        taken = taken_over(database, content, source=file.name, squad=target, decisions=decisions)
        detail = f"{taken.players} new players, {taken.strikes} strikes"
        audit.note(database, AuditEvent.TAKE_OVER, who=who_runs_this(), detail=detail)
    click.echo(
        f"Squad {taken.squad.name}: {taken.players} players, {taken.strikes} strikes, {taken.placements} placements.",
        err=True,
    )


def _counts(found: HandOverPreview) -> dict[str, object]:
    return {
        "squad": found.squad_name,
        "made_at": found.made_at.isoformat(),
        "notes": found.with_notes,
        "players": {one.player.display_name: one.match.value for one in found.players},
        "practices": found.practices,
        "strikes": found.strikes,
        "new_strikes": found.new_strikes,
        "unknown_stages": found.unknown_stages,
    }
