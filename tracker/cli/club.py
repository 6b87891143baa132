"""The commands that set a club up and look after its records: init, ladder, check."""

from __future__ import annotations

from pathlib import Path

import click

from tracker.cli.options import counted, database_path, opened, print_frame, with_database, with_format


@click.command
@click.option("--squad", "squad_name", default="My squad", show_default=True, metavar="NAME", help="The first squad.")
@click.option(
    "--players", "players_file", type=click.Path(path_type=Path, dir_okay=False), help="CSV with a column `player`."
)
@click.option("--ladder", "ladder_name", metavar="NAME", help="A ladder that ships, such as U8–U10.")
@with_database
def init(*, squad_name: str, players_file: Path | None, ladder_name: str | None, db: Path | None) -> None:
    """Makes a new database with a squad, a season and the default ladder."""
    from datetime import datetime

    from tracker.errors import RequestError
    from tracker.review import club
    from tracker.review.exchange import add_players, read_players

    path = database_path(db)
    was_there = path.exists()
    rows = read_players(players_file) if players_file else None
    made = False
    try:
        with opened(db, create=True) as database:
            if club.squads(database):
                raise RequestError(f"{path} holds a squad already. Nothing was changed. Name another with --db PATH.")
            squad = club.make_squad(database, name=squad_name, ladder_name=ladder_name or club.DEFAULT_LADDER)
            name, starts_on, ends_on = club.season_around(datetime.now().astimezone().date())
            club.make_season(database, name=name, starts_on=starts_on, ends_on=ends_on)
            players = add_players(database, rows, squad=squad) if rows is not None else 0
        made = True
    finally:
        if not made and not was_there:  # a database half set up would only be in the way of the next try
            path.unlink(missing_ok=True)
    click.echo(f"{path} is ready: squad {squad_name}, season {name}, ladder {squad.ladder_name}, {players} players.")
    click.echo("Next: strikeladder serve")


@click.group
def ladder() -> None:
    """The drill stages: show them, check a file, put one in use."""


@ladder.command("show")
@click.option("--squad", metavar="NAME", help="Which squad; not needed when there is one.")
@click.option("--shipped", metavar="NAME", help="A ladder that ships instead, such as U8–U10.")
@with_database
@with_format
def show_ladder(*, squad: str | None, shipped: str | None, db: Path | None, form: str) -> None:
    """The stages of a squad's ladder, with the angle each target shows."""
    from tracker.domain.ladder_file import shipped_ladders
    from tracker.errors import RequestError
    from tracker.review import club
    from tracker.review.scope import squad_named

    if shipped is not None:
        found = next((one for one in shipped_ladders() if one.name == shipped.replace("-", "–")), None)
        if found is None:
            raise RequestError(f"There is no ladder {shipped!r}. There is: {', '.join(club.ladder_names())}.")
        print_frame(club.stages_of(found), form)
        return
    with opened(db) as database:
        print_frame(club.stages_of(club.ladder_of(database, squad_named(database, squad))), form)


@ladder.command("check")
@click.argument("file", type=click.Path(path_type=Path))
def check_ladder(*, file: Path) -> None:
    """Says whether a ladder file works, and if not, where and why not."""
    from tracker.domain.ladder_file import read_ladder

    found = read_ladder(file)
    click.echo(f"{file} works: ladder {found.name}, {len(found.stages)} stages.")


@ladder.command("use")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--squad", metavar="NAME", help="Which squad; not needed when there is one.")
@with_database
def use_ladder(*, file: Path, squad: str | None, db: Path | None) -> None:
    """Puts a squad on the ladder of a file."""
    from tracker.domain.ladder_file import parse_ladder, read_ladder_text
    from tracker.review import club
    from tracker.review.scope import squad_named

    text = read_ladder_text(file)
    parse_ladder(text, source=str(file))
    with opened(db) as database:
        chosen = squad_named(database, squad)
        found = club.use_ladder(database, chosen, text=text, source=str(file))
    click.echo(f"Squad {chosen.name} now works on ladder {found.name}, {len(found.stages)} stages.")


@click.command
@with_database
@with_format
def check(*, db: Path | None, form: str) -> None:
    """Looks for anything in the database that should not be there."""
    from tracker.errors import DatabaseError
    from tracker.review.integrity import counts, faults

    with opened(db) as database:
        frame = faults(database)
        print_frame(frame, form)
        if form == "table":
            click.echo(f"\nStored: {counted(counts(database))}.")
        if frame["faults"].sum():
            raise DatabaseError(
                "The database holds things that should not be there; see above. Keep a copy of it as it is, "
                "and go back to your last backup if you have one."
            )
