"""The command that plans a practice."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from tracker.cli.options import DAY, opened, print_frame, with_database, with_format

if TYPE_CHECKING:
    from tracker.domain.practice_plan import PracticePlan
    from tracker.domain.squad import Squad
    from tracker.plan.request import PlanOptions
    from tracker.store.database import Database

FEDERATIONS = ("us-soccer", "the-fa", "scottish-fa", "canada-soccer", "football-australia", "dfb", "ifab")
PHASES = ("block", "upkeep")


@click.command
@click.option("--minutes", type=click.IntRange(min=1), required=True, help="How long the practice is.")
@click.option("--players", type=click.IntRange(min=1), help="How many, of whom nothing is known; goes with --age.")
@click.option("--age", metavar="U12", help="Their age, such as U12; goes with --players or --federation.")
@click.option("--date", "day", type=DAY, help="The day of the practice, also one to come.  [default: today]")
@click.option("--present", multiple=True, metavar="NAME", help="Who is there; everybody when left out. Repeat it.")
@click.option("--squad", metavar="NAME", help="Which squad; not needed when there is one.")
@click.option(
    "--federation", type=click.Choice(FEDERATIONS), help="Whose field, goal and heading rules; goes with --age."
)
@click.option("--gates", type=click.IntRange(min=0), help="Ready-made gates at hand.")
@click.option("--flags", type=click.IntRange(min=0), help="Flags at hand; two make a gate.")
@click.option("--cones", type=click.IntRange(min=0), help="Flat cones at hand; two make a gate.")
@click.option("--goals", type=click.IntRange(min=0), help="Goals at hand.")
@click.option("--goal-width-m", type=click.FloatRange(0.5, 12), help="Their width in metres, if not the ladder's.")
@click.option("--balls", type=click.IntRange(min=0), help="Balls at hand.")
@click.option("--loggers", type=click.IntRange(min=0), help="How many people log.")
@click.option(
    "--other-foot", "phase", type=click.Choice(PHASES), help="A block for it, or its upkeep.  [default: by the weeks]"
)
@click.option("--save", is_flag=True, help="Keep it for the squad's practice of that day.")
@click.option("--sheet", type=click.Path(path_type=Path, dir_okay=False), help="Write the practice sheet, a PDF.")
@with_database
@with_format
def plan(
    *,
    minutes: int,
    players: int | None,
    age: str | None,
    day: datetime | None,
    present: tuple[str, ...],
    squad: str | None,
    federation: str | None,
    gates: int | None,
    flags: int | None,
    cones: int | None,
    goals: int | None,
    goal_width_m: float | None,
    balls: int | None,
    loggers: int | None,
    phase: str | None,
    save: bool,
    sheet: Path | None,
    db: Path | None,
    form: str,
) -> None:
    """A practice off one set-up: stages, times, sets, distances, equipment and cautions."""
    from tracker.plan.layout import plan_table
    from tracker.plan.practice_plan import plan_practice
    from tracker.plan.squad_request import squad_request
    from tracker.review.scope import squad_named

    if players and not age:
        raise click.UsageError("Name --age with --players, or leave it out to plan for your squad.")
    if bool(age) != bool(players or federation):
        raise click.UsageError("--age goes with --players or --federation, and --federation with --age.")
    if players and save:
        raise click.UsageError("--save keeps a plan for a squad: leave out --players.")
    things = {"gates": gates, "flags": flags, "cones": cones, "goals": goals, "balls": balls}
    options = _options(things, goal_width_m=goal_width_m, loggers=loggers, federation=federation, age=age, phase=phase)
    when = day or datetime.now().astimezone()
    if players and age:
        made = _for_players(players, age, minutes=minutes, day=when, options=options)
        if sheet:
            _write_sheet(made, sheet, name=age.upper())
    else:
        with opened(db) as database:
            chosen = squad_named(database, squad)
            request = squad_request(
                database, chosen, minutes=minutes, held_on=when.date(), present=present or None, options=options
            )
            made = plan_practice(request)
            if sheet:
                _write_squad_sheet(database, chosen, made, sheet)
            if save:  # last, so that nothing is kept when the sheet cannot be written
                _keep(database, chosen, made, options)
    print_frame(plan_table(made), form)
    if form == "table":
        for sentence in (*made.remarks, *(caution.text for caution in made.cautions)):
            click.echo(f"* {sentence}")


def _options(
    things: dict[str, int | None],
    *,
    goal_width_m: float | None,
    loggers: int | None,
    federation: str | None,
    age: str | None,
    phase: str | None,
) -> PlanOptions:
    """What the options say; what is left out is as usual."""
    from dataclasses import replace

    from tracker.domain.standards import Federation
    from tracker.domain.standards_file import age_of
    from tracker.plan.request import AS_USUAL, Equipment, FootPhase, PlanOptions

    said = {name: count for name, count in things.items() if count is not None}
    return PlanOptions(
        equipment=replace(Equipment(), **said, goal_width_m=goal_width_m),
        loggers=AS_USUAL.loggers if loggers is None else loggers,
        federation=Federation[federation.upper().replace("-", "_")] if federation else None,
        age=age_of(age) if age else None,
        phase=FootPhase(phase) if phase else None,
    )


def _for_players(players: int, age: str, *, minutes: int, day: datetime, options: PlanOptions) -> PracticePlan:
    from tracker.domain.standards_file import age_of
    from tracker.plan.practice_plan import plan_practice
    from tracker.plan.request import FootPhase, PlanRequest, ladder_for_age, players_by_number

    ladder = ladder_for_age(age_of(age))
    return plan_practice(
        PlanRequest(
            ladder=ladder,
            minutes=minutes,
            players=players_by_number(players, ladder),
            held_on=day.date(),
            equipment=options.equipment,
            loggers=options.loggers,
            standard=options.standard,
            phase=options.phase or FootPhase.BLOCK,
        )
    )


def _keep(database: Database, squad: Squad, plan: PracticePlan, options: PlanOptions) -> None:
    from tracker.plan.kept_plan import keep_plan

    practice = keep_plan(database, squad, plan, options=options)
    click.echo(f"Kept for the practice of {practice.held_on} {practice.label}".rstrip() + ".", err=True)


def _write_sheet(plan: PracticePlan, path: Path, *, name: str) -> None:
    from tracker.domain.vocabulary import LengthUnit
    from tracker.plan.layout import lanes_of_plan
    from tracker.report.printed.practice_page import write_practice_sheet

    written = write_practice_sheet(plan, lanes_of_plan(plan), squad_name=name, path=path, unit=LengthUnit.YARDS)
    click.echo(written, err=True)


def _write_squad_sheet(database: Database, squad: Squad, plan: PracticePlan, path: Path) -> None:
    """With the tally sheet, on the paper and in the language set in the dashboard."""
    from tracker.plan.layout import lanes_of_plan
    from tracker.report.printed.practice_page import write_practice_sheet
    from tracker.review import club
    from tracker.review.practice_sheet import practice_sheet

    written = write_practice_sheet(
        plan,
        lanes_of_plan(plan),
        squad_name=squad.name,
        path=path,
        unit=club.length_unit(database),
        paper=club.paper(database),
        language=club.language(database),
        tally=practice_sheet(database, squad, plan.held_on),
    )
    click.echo(written, err=True)
