"""The commands that make pages: report, sheet."""

from __future__ import annotations

import sys
from datetime import datetime
from pathlib import Path

import click

from tracker.cli.options import DAY, opened, who_runs_this, with_database
from tracker.domain.vocabulary import Language, Paper


@click.command
@click.option("--player", metavar="NAME", help="Only this player.  [default: the whole squad, and its summary]")
@click.option("--out", required=True, type=click.Path(path_type=Path, file_okay=False), help="The folder to write to.")
@click.option("--squad", metavar="NAME", help="Which squad; not needed when there is one.")
@click.option("--season", metavar="NAME", help="Which season.  [default: the latest with a practice]")
@click.option(
    "--paper", type=click.Choice([one.value for one in Paper]), help="[default: as set in the dashboard, else a4]"
)
@click.option(
    "--language", type=click.Choice([one.value for one in Language]), help="[default: as set in the dashboard]"
)
@click.option("--html", "with_web", is_flag=True, help="Also write each report as a web page in one file.")
@with_database
def report(
    *,
    player: str | None,
    out: Path,
    squad: str | None,
    season: str | None,
    paper: str | None,
    language: str | None,
    with_web: bool,
    db: Path | None,
) -> None:
    """Writes the season report of every player, two pages each, and the squad's summary for the coach."""
    from tracker.domain.vocabulary import AuditEvent
    from tracker.report.language import speaking
    from tracker.report.printed.batch import Look, write_reports, write_squad_report
    from tracker.report.printed.files import make_folder
    from tracker.report.printed.letters import letter_warnings
    from tracker.review import audit, club
    from tracker.review.scope import player_named, season_named, squad_named, squad_of
    from tracker.review.season_report import season_reports, season_to_report
    from tracker.review.squad_report import squad_report

    with opened(db) as database:
        named = squad_named(database, squad) if squad or not player else None
        only = [player_named(database, player, squad=named)] if player else None
        chosen = squad_of(database, only[0]) if only else squad_named(database, squad)
        when = season_named(database, season) if season else season_to_report(database, chosen)
        look = Look(
            unit=club.length_unit(database),
            paper=Paper(paper) if paper else club.paper(database),
            with_web=with_web,
        )
        with speaking(Language(language) if language else club.language(database)):
            reports = season_reports(database, chosen, when, only=only)
            folder = make_folder(out)
            many = len(reports) * (1 + with_web) + (not only)
            with click.progressbar(length=many, label="Reports", file=sys.stderr) as bar:
                written = write_reports(reports, folder, look=look, written=lambda _path: bar.update(1))
                if not only:
                    written.append(write_squad_report(squad_report(database, chosen, when), folder, look=look))
                    bar.update(1)
        whom = [one.player for one in reports]
        for warning in letter_warnings([one.display_name for one in whom]):
            click.echo(warning, err=True)
        audit.note(database, AuditEvent.REPORT_WRITTEN, who=who_runs_this(), players=whom, detail=f"season {when.name}")
    for path in written:
        click.echo(path)


@click.command
@click.option("--practice", "day", type=DAY, required=True, help="The day of the practice, also one to come.")
@click.option("--out", required=True, type=click.Path(path_type=Path, dir_okay=False), help="The PDF to write.")
@click.option("--squad", metavar="NAME", help="Which squad; not needed when there is one.")
@click.option(
    "--paper", type=click.Choice([one.value for one in Paper]), help="[default: as set in the dashboard, else a4]"
)
@click.option(
    "--language", type=click.Choice([one.value for one in Language]), help="[default: as set in the dashboard]"
)
@with_database
def sheet(
    *, day: datetime, out: Path, squad: str | None, paper: str | None, language: str | None, db: Path | None
) -> None:
    """Writes the tally sheet of a practice: one page to fill in at the touchline and to type in afterwards."""
    from tracker.report.language import speaking
    from tracker.report.printed.engine import Template, pdf
    from tracker.report.printed.files import make_folder, write_page
    from tracker.report.printed.letters import letter_warnings
    from tracker.report.printed.sheet_page import sheet_mark, sheet_page
    from tracker.review import club
    from tracker.review.practice_sheet import practice_sheet
    from tracker.review.scope import squad_named

    with opened(db) as database:
        found = practice_sheet(database, squad_named(database, squad), day.date())
        chosen = Paper(paper) if paper else club.paper(database)
        with speaking(Language(language) if language else club.language(database)):
            page = pdf(Template.SHEET, sheet_page(found, unit=club.length_unit(database), paper=chosen))
    for warning in letter_warnings([row.player.display_name for row in found.rows]):
        click.echo(warning, err=True)
    make_folder(out.parent)
    click.echo(write_page(out, page, mark=sheet_mark(found)))
