"""The command that plans a practice."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from tracker.cli.options import DAY, opened, print_frame, with_database, with_format

if TYPE_CHECKING:
    from tracker.plan.request import PlanRequest


@click.command
@click.option("--minutes", type=click.IntRange(min=1), required=True, help="How long the practice is.")
@click.option("--players", type=click.IntRange(min=1), help="How many, of whom nothing is known; goes with --age.")
@click.option("--age", metavar="U12", help="Their age, such as U12; goes with --players.")
@click.option("--date", "day", type=DAY, help="The day of the practice.  [default: today]")
@click.option("--present", multiple=True, metavar="NAME", help="Who is there; everybody when left out. Repeat it.")
@click.option("--squad", metavar="NAME", help="Which squad; not needed when there is one.")
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
    db: Path | None,
    form: str,
) -> None:
    """A practice off one set-up: stages, times, sets, distances, equipment and cautions."""
    from tracker.plan.layout import plan_table
    from tracker.plan.practice_plan import plan_practice

    if bool(players) != bool(age):
        raise click.UsageError("Name --players and --age together, or leave both out to plan for your squad.")
    held_on = day.date() if day else datetime.now().astimezone().date()
    if players and age:
        request = _by_number(players, age, minutes=minutes, day=day or datetime.now().astimezone())
    else:
        from tracker.plan.squad_request import squad_request
        from tracker.review.scope import squad_named

        with opened(db) as database:
            chosen = squad_named(database, squad)
            request = squad_request(database, chosen, minutes=minutes, held_on=held_on, present=list(present) or None)
    made = plan_practice(request)
    print_frame(plan_table(made), form)
    if form == "table":
        for sentence in (*made.remarks, *(caution.text for caution in made.cautions)):
            click.echo(f"* {sentence}")


def _by_number(players: int, age: str, *, minutes: int, day: datetime) -> PlanRequest:
    from tracker.domain.standards_file import age_of
    from tracker.errors import RequestError
    from tracker.plan.request import PlanRequest, ladder_for_age, players_by_number

    ladder = ladder_for_age(age_of(age))
    try:
        return PlanRequest(
            ladder=ladder, minutes=minutes, players=players_by_number(players, ladder), held_on=day.date()
        )
    except ValueError as error:
        raise RequestError.of(error) from error
