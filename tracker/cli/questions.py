"""The commands that answer a question: accuracy, gap, readiness."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import click

from tracker.cli.options import opened, print_frame, scope_of, with_format, with_scope
from tracker.domain.vocabulary import Dimension, IntervalMethod

READINESS_TABLE = ["player", "foot", "stage", "status", "score", "ready_line", "attempts", "practices", "reason"]
"""What fits on a terminal; JSON and CSV give everything."""

LEVEL = click.FloatRange(0, 1, min_open=True, max_open=True)


class Dimensions(click.ParamType[list[Dimension]]):
    """A comma-separated list of dimensions."""

    name = "LIST"

    def __init__(self, *allowed: Dimension) -> None:
        self.allowed = allowed or tuple(Dimension)

    def convert(
        self, value: str | list[Dimension], param: click.Parameter | None, ctx: click.Context | None
    ) -> list[Dimension]:
        """The dimensions named, each once."""
        if not isinstance(value, str):
            return value
        names = [part.strip().lower() for part in value.split(",") if part.strip()]
        unknown = [name for name in names if name not in [one.value for one in self.allowed]]
        if unknown or not names:
            self.fail(f"{value!r}: name one or more of {', '.join(one.value for one in self.allowed)}", param, ctx)
        return [Dimension(name) for name in dict.fromkeys(names)]


@click.command
@click.option("--by", type=Dimensions(), default="player,foot", show_default=True, help="What to split by.")
@click.option(
    "--method",
    type=click.Choice([one.value for one in IntervalMethod]),
    default=IntervalMethod.WILSON.value,
    show_default=True,
    help="How the interval is computed.",
)
@click.option("--level", type=LEVEL, default=0.95, show_default=True, help="How sure the interval is.")
@click.option(
    "--cluster/--no-cluster",
    default=True,
    show_default=True,
    help="Allow for strikes of one day hanging together, or count each as independent.",
)
@with_scope
@with_format
def accuracy(
    *,
    by: list[Dimension],
    method: str,
    level: float,
    cluster: bool,
    db: Path | None,
    squad: str | None,
    season: str | None,
    first_day: datetime | None,
    last_day: datetime | None,
    form: str,
) -> None:
    """How accurate is each player, with which foot, and how sure is that?"""
    from tracker.review.accuracy import accuracy as rates

    with opened(db) as database:
        scope = scope_of(database, squad=squad, season=season, first_day=first_day, last_day=last_day)
        frame = rates(database, scope, by=by, level=level, method=IntervalMethod(method), cluster=cluster)
        print_frame(frame, form)


@click.command
@click.option(
    "--by",
    type=Dimensions(Dimension.PLAYER, Dimension.STAGE),
    default="player,stage",
    show_default=True,
    help="What to split by.",
)
@click.option("--level", type=LEVEL, default=0.95, show_default=True, help="How sure the interval is.")
@with_scope
@with_format
def gap(
    *,
    by: list[Dimension],
    level: float,
    db: Path | None,
    squad: str | None,
    season: str | None,
    first_day: datetime | None,
    last_day: datetime | None,
    form: str,
) -> None:
    """Is the other foot catching up? Preferred minus other foot, as the player says it."""
    from tracker.errors import RequestError
    from tracker.review.gap import foot_gap

    if Dimension.PLAYER not in by:
        raise RequestError("Feet are compared within one player: use --by player or --by player,stage.")
    with opened(db) as database:
        scope = scope_of(database, squad=squad, season=season, first_day=first_day, last_day=last_day)
        print_frame(foot_gap(database, scope, by=by, level=level), form)


@click.command
@click.option("--player", metavar="NAME", help="Only this player.")
@click.option(
    "--cluster/--no-cluster",
    default=True,
    show_default=True,
    help="Allow for strikes of one day hanging together, or count each as independent.",
)
@with_scope
@with_format
def readiness(
    *,
    player: str | None,
    cluster: bool,
    db: Path | None,
    squad: str | None,
    season: str | None,
    first_day: datetime | None,
    last_day: datetime | None,
    form: str,
) -> None:
    """Who is ready for the next stage, with which foot, and on what evidence?"""
    from tracker.report.wording import with_reasons
    from tracker.review.readiness import readiness as board

    with opened(db) as database:
        scope = scope_of(database, squad=squad, season=season, first_day=first_day, last_day=last_day, player=player)
        frame = with_reasons(board(database, scope, cluster=cluster))
        print_frame(frame.select(READINESS_TABLE) if form == "table" else frame, form)
