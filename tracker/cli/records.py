"""The commands that put records in and take them out: import, export, correct, place."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING
from uuid import UUID

import click

from tracker.cli.options import ScopeOptions, opened, who_runs_this, with_database, with_scope
from tracker.domain.vocabulary import ExportWhat, Foot

if TYPE_CHECKING:
    from tracker.review.archive import ArchiveSummary
    from tracker.review.exchange import ImportSummary


class ColumnMap(click.ParamType[tuple[str, str]]):
    """COLUMN=FIELD."""

    name = "COLUMN=FIELD"

    def convert(
        self, value: str | tuple[str, str], param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[str, str]:
        """The column of the file and the field it stands for."""
        if not isinstance(value, str):
            return value
        column, equals, field = value.rpartition("=")
        if not equals or not column.strip() or not field.strip():
            self.fail(f"{value!r} must look like COLUMN=FIELD, for example Spieler=player", param, ctx)
        return column.strip(), field.strip()


@click.command("import")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--dry-run", is_flag=True, help="Read and check everything, store nothing.")
@click.option("--map", "column_map", type=ColumnMap(), multiple=True, help="A column that has another name here.")
@click.option("--create-players", is_flag=True, help="Add players (and squads) that are not there yet.")
@click.option("--skip-bad-rows", is_flag=True, help="Store the good rows even when others are wrong.")
@click.option("--squad", metavar="NAME", help="Whose strikes they are; not needed when there is one squad.")
@with_database
def import_(
    *,
    file: Path,
    dry_run: bool,
    column_map: tuple[tuple[str, str], ...],
    create_players: bool,
    skip_bad_rows: bool,
    squad: str | None,
    db: Path | None,
) -> None:
    """Strikes or tallies from a CSV or Parquet file, or a folder that `export --what all` wrote."""
    import json

    from tracker.errors import RequestError, RowsRejected
    from tracker.review.archive import import_archive
    from tracker.review.exchange import import_file
    from tracker.review.scope import squad_named

    with opened(db, create=True) as database:
        if file.is_dir():
            if dry_run:
                raise RequestError("A folder is imported whole or not at all; --dry-run is for a file.")
            summary: ImportSummary | ArchiveSummary = import_archive(database, file)
        else:
            try:
                summary = import_file(
                    database,
                    file,
                    squad=squad_named(database, squad) if squad else None,
                    dry_run=dry_run,
                    column_map=dict(column_map),
                    create_players=create_players,
                    skip_bad_rows=skip_bad_rows,
                )
            except RowsRejected as error:
                click.echo(json.dumps(error.counts(), ensure_ascii=False))
                raise
    click.echo(json.dumps(summary.counts(), ensure_ascii=False))
    for sentence in summary.remarks():
        click.echo(sentence, err=True)


@click.command("export")
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--what",
    type=click.Choice([one.value for one in ExportWhat]),
    default=ExportWhat.STRIKES.value,
    show_default=True,
    help="Strikes, their tallies, or a folder with everything that `import` reads back.",
)
@click.option("--player", metavar="NAME", help="Everything about this player alone, as a .zip or a folder to read.")
@with_scope
def export_(
    *,
    file: Path,
    what: str,
    player: str | None,
    asked: ScopeOptions,
) -> None:
    """Writes CSV, or Parquet when FILE ends in .parquet."""
    from tracker.domain.vocabulary import AuditEvent
    from tracker.errors import RequestError
    from tracker.review import audit
    from tracker.review.exchange import export_file
    from tracker.review.player_export import export_player

    if player and (what != ExportWhat.STRIKES or asked.names_days):
        raise RequestError("--player takes everything about them; leave --what and the dates out.")
    if what == ExportWhat.ALL and not player and (asked.squad or asked.names_days):
        raise RequestError("--what all takes everything; leave --squad, --season, --from and --to out.")
    with asked.opened(player=player) as (database, scope):
        if scope.player:
            audit.note(
                database, AuditEvent.EXPORT, who=who_runs_this(), players=[scope.player], detail="everything about them"
            )
            paths = export_player(database, scope.player, file)
        else:
            paths = export_file(database, file, what=ExportWhat(what), scope=scope)
            audit.note(database, AuditEvent.EXPORT, who=who_runs_this(), detail=what)
        for path in paths:
            click.echo(path)


@click.command
@click.argument("strike_id", type=click.UUID)
@click.option("--why", required=True, help="The reason, in a few words.")
@click.option("--by", "corrected_by", metavar="NAME", help="Who says so.")
@with_database
def correct(*, strike_id: UUID, why: str, corrected_by: str | None, db: Path | None) -> None:
    """Voids one strike. It stays in the records with the reason, and no longer counts."""
    from tracker.review.logbook import correct as void

    with opened(db) as database:
        changed = void(database, [strike_id], why=why, corrected_by=corrected_by)
    click.echo(f"Strike {strike_id} no longer counts." if changed else f"Strike {strike_id} was void already.")


@click.command
@click.argument("player")
@click.option("--foot", type=click.Choice([one.value for one in Foot]), required=True, help="Which foot.")
@click.option("--stage", required=True, metavar="NAME", help="Which stage of the ladder.")
@click.option("--note", help="Why, in a few words.")
@click.option("--squad", metavar="NAME", help="Which squad; not needed when there is one.")
@with_database
def place(*, player: str, foot: str, stage: str, note: str | None, squad: str | None, db: Path | None) -> None:
    """Places a player's foot at a stage from now on: the coach decides, the tool's suggestion is kept beside it."""
    from tracker.review import club, decisions
    from tracker.review.scope import player_named, squad_named, squad_of, stage_named

    with opened(db) as database:
        chosen = player_named(database, player, squad=squad_named(database, squad) if squad else None)
        wanted = stage_named(club.ladder_of(database, squad_of(database, chosen)), stage)
        placement = decisions.place(database, chosen, foot=Foot(foot), stage=wanted, note=note)
    said = f" The tool suggested: {placement.suggested_stage}." if placement.suggested_stage else ""
    click.echo(f"{chosen.display_name}, {foot} foot: {wanted.name} from now on.{said}")
