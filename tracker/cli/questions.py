"""The commands that answer a question: accuracy, gap, aim, readiness, change, agreement, watch."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from tracker.cli.options import ScopeOptions, print_frame, with_format, with_level, with_scope
from tracker.domain.vocabulary import Dimension, IntervalMethod

if TYPE_CHECKING:
    import polars as pl

READINESS_TABLE = ["player", "foot", "stage", "status", "score", "ready_line", "attempts", "practices", "reason"]
"""What fits on a terminal; JSON and CSV give everything."""
GAP_LEFT_OUT = ["preferred_compared", "other_compared", "preferred_distance_m", "other_distance_m", "disagrees"]
AIM_LEFT_OUT = ["case", "target_width_m", "distance_m"]
CHANGE_LEFT_OUT = [
    *("attempts", "raw_verdict", "disagrees", "alone_verdict"),
    *("start_low", "start_high", "end_low", "end_high"),
]
"""What does not fit there."""

FEET = (Dimension.PLAYER, Dimension.FOOT)
LENGTH = click.FloatRange(0, 1000, min_open=True)


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


WITH_CLUSTER = click.option(
    "--cluster/--no-cluster",
    default=True,
    show_default=True,
    help="Allow for strikes of one day hanging together, or count each as independent.",
)
BY_FOOT = click.option(
    "--by",
    type=Dimensions(*FEET, Dimension.STAGE),
    default="player,foot",
    show_default=True,
    help="What to split by: player,foot or player,foot,stage.",
)


@click.command
@click.option("--by", type=Dimensions(), default="player,foot", show_default=True, help="What to split by.")
@click.option(
    "--method",
    type=click.Choice([one.value for one in IntervalMethod]),
    default=IntervalMethod.WILSON.value,
    show_default=True,
    help="How the interval is computed.",
)
@with_level
@WITH_CLUSTER
@with_scope
@with_format
def accuracy(
    *,
    by: list[Dimension],
    method: str,
    level: float,
    cluster: bool,
    asked: ScopeOptions,
    form: str,
) -> None:
    """How accurate is each player, with which foot, and how sure is that?"""
    from tracker.review.accuracy import accuracy as rates

    with asked.opened() as (database, scope):
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
@with_level
@with_scope
@with_format
def gap(
    *,
    by: list[Dimension],
    level: float,
    asked: ScopeOptions,
    form: str,
) -> None:
    """Is the other foot catching up? Preferred minus other foot, as the player says it."""
    from tracker.errors import RequestError
    from tracker.report.notes import with_gap_notes
    from tracker.review.gap import foot_gap

    if Dimension.PLAYER not in by:
        raise RequestError("Feet are compared within one player: use --by player or --by player,stage.")
    with asked.opened() as (database, scope):
        print_frame(_fitting(with_gap_notes(foot_gap(database, scope, by=by, level=level)), form, GAP_LEFT_OUT), form)


@click.command
@click.option("--player", metavar="NAME", help="Only this player.")
@WITH_CLUSTER
@with_scope
@with_format
def readiness(
    *,
    player: str | None,
    cluster: bool,
    asked: ScopeOptions,
    form: str,
) -> None:
    """Who is ready for the next stage, with which foot, and on what evidence?"""
    from tracker.report.readiness_words import with_reasons
    from tracker.review.readiness import readiness as board

    with asked.opened(player=player) as (database, scope):
        frame = with_reasons(board(database, scope, cluster=cluster))
        print_frame(frame.select(READINESS_TABLE) if form == "table" else frame, form)


@click.command
@BY_FOOT
@click.option(
    "--target-width", "target_width_m", type=LENGTH, metavar="M", help="Predict at a target this wide, metres."
)
@click.option("--distance", "distance_m", type=LENGTH, metavar="M", help="Predict from this distance, metres.")
@with_level
@with_scope
@with_format
def aim(
    *,
    by: list[Dimension],
    target_width_m: float | None,
    distance_m: float | None,
    level: float,
    asked: ScopeOptions,
    form: str,
) -> None:
    """Where do the strikes go, and how widely? Degrees; a bias below 0 is to the left, as the striker sees it.

    Predicted is the chance that the direction is right at --target-width from --distance, or at the foot's own stage;
    strikes over or short come on top of that. Where stages differ, only the strikes at the stage named are used.
    """
    from tracker.errors import RequestError
    from tracker.report.notes import with_aim_notes
    from tracker.review.aim import aim as aims

    if (target_width_m is None) != (distance_m is None):
        raise RequestError("A target needs both: --target-width M and --distance M.")
    with asked.opened() as (database, scope):
        frame = aims(database, scope, by=_feet(by), target_width_m=target_width_m, distance_m=distance_m, level=level)
        print_frame(_fitting(with_aim_notes(frame), form, AIM_LEFT_OUT), form)


@click.command
@BY_FOOT
@with_level
@with_scope
@with_format
def change(
    *,
    by: list[Dimension],
    level: float,
    asked: ScopeOptions,
    form: str,
) -> None:
    """Did a foot get better over the season, at the same stage and distance? Allows for looking at many feet."""
    from tracker.report.notes import with_change_notes
    from tracker.review.change import change as changes

    with asked.opened() as (database, scope):
        frame = with_change_notes(changes(database, scope, by=_feet(by), level=level))
        print_frame(_fitting(frame, form, CHANGE_LEFT_OUT), form)


@click.command
@click.argument("practice")
@with_level
@with_scope
@with_format
def agreement(
    *,
    practice: str,
    level: float,
    asked: ScopeOptions,
    form: str,
) -> None:
    """Did two people who logged the same strikes of PRACTICE (a date, a date with its label, or an id) agree?"""
    from tracker.report.notes import with_trust_notes
    from tracker.review.agreement import agreement as agreed
    from tracker.review.scope import practice_named

    with asked.opened() as (database, scope):
        chosen = practice_named(database, practice, scope=scope)
        print_frame(with_trust_notes(agreed(database, chosen, level=level)), form)


@click.command
@click.argument("practice")
@with_scope
@with_format
def watch(
    *,
    practice: str,
    asked: ScopeOptions,
    form: str,
) -> None:
    """Whom to watch next in PRACTICE (a date, a date with its label, or an id)? Where a set tells most comes first."""
    from tracker.review.scope import practice_named
    from tracker.review.watch import watch as watched

    with asked.opened() as (database, scope):
        chosen = practice_named(database, practice, scope=scope)
        print_frame(watched(database, scope, chosen).select("order", "player", "foot", "stage", "reason"), form)


def _feet(by: list[Dimension]) -> list[Dimension]:
    """The split asked for, when it is into single feet. Raises RequestError."""
    from tracker.errors import RequestError

    if not set(FEET) <= set(by):
        raise RequestError("One foot of one player is looked at: use --by player,foot or --by player,foot,stage.")
    return by


def _fitting(frame: pl.DataFrame, form: str, left_out: list[str]) -> pl.DataFrame:
    """The frame, without the columns that do not fit where it is printed as a table."""
    return frame.drop(left_out) if form == "table" else frame
