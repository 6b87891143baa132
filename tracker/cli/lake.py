"""The commands past one club: lake write, lake rates, lake norms, lake use-norms."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar
from uuid import UUID

import click

from tracker.cli.options import opened, print_frame, with_database, with_format, with_level

if TYPE_CHECKING:
    from tracker.domain.norm import Norm
    from tracker.lake.counts import LakeCounts
    from tracker.lake.runner import Runner

Command = TypeVar("Command", bound=Callable[..., Any])
LAKE = click.argument("lake_folder", metavar="DIR", type=click.Path(path_type=Path, file_okay=False))
PEM = click.Path(path_type=Path, dir_okay=False, exists=True)
DIMENSIONS = ("club", "season", "age_band", "stage", "foot", "player")
RATES_LEFT_OUT = ["level", "method", "player_practices", "effective_attempts", "correlation_source"]
"""What does not fit on a terminal; JSON and CSV give everything."""


def with_engine(command: Command) -> Command:
    """Adds what says where the counting runs, and over which seasons."""
    for option in (
        click.option("--tls-key", type=PEM, help="This computer's key for dask, PEM."),
        click.option("--tls-cert", type=PEM, help="This computer's certificate for dask, PEM."),
        click.option("--tls-ca", type=PEM, help="The certificate authority of dask's TLS, PEM."),
        click.option(
            "--scheduler", metavar="ADDRESS", help="Address of a dask scheduler, such as tcp://10.0.0.5:8786."
        ),
        click.option(
            "--workers", type=click.IntRange(1, 256), default=1, show_default=True, help="Processes of --engine local."
        ),
        click.option(
            "--engine", type=click.Choice(["local", "dask"]), default="local", show_default=True, help="Where it runs."
        ),
        click.option(
            "--results",
            type=click.Path(path_type=Path, file_okay=False),
            help="Keep each part's sums in this folder; what is there already is not counted again.",
        ),
        click.option(
            "--season",
            "seasons",
            metavar="NAME",
            multiple=True,
            help="Only this season, such as 2025-26; may be repeated.",
        ),
    ):
        command = option(command)
    return command


@click.group
def lake() -> None:
    """Past one club: tallies without names in a folder, counted here or on many machines, and norms from them."""


@lake.command("write")
@LAKE
@click.option("--club", type=click.UUID, metavar="ID", help="The club's public id, once; without it one is made.")
@with_database
@with_format
def write(*, lake_folder: Path, club: UUID | None, db: Path | None, form: str) -> None:
    """Puts this club's tallies into DIR, one Parquet file a season. Writing again brings them up to date.

    A row holds public ids, the week, what the stage asks and counts: no name, no birth year, no day. Ids are
    pseudonyms: who holds the club's database can say whose they are, so hand the folder on only as you agreed.
    """
    from dataclasses import asdict

    import polars as pl

    from tracker.lake.writing import club_id, write_lake

    with opened(db) as database:
        chosen = club_id(database, club)
        written = write_lake(database, lake_folder, club=chosen)
    rows = [{"club": str(chosen), **asdict(one)} for one in written]
    print_frame(pl.DataFrame(rows), form)


@lake.command("rates")
@LAKE
@click.option(
    "--by",
    default="age_band,stage,foot",
    show_default=True,
    metavar="LIST",
    help=f"What to split by: {', '.join(DIMENSIONS)}.",
)
@with_level
@with_engine
@with_format
def rates(*, lake_folder: Path, by: str, level: float, form: str, **where: Any) -> None:
    """How accurate, over all clubs of the lake in DIR? Intervals allow for strikes of a day hanging together.

    Not split by player, cells of fewer than 10 players are not shown, nor others that would give them away.
    Split by player, rows are single children under a public id: not for publication.

    --engine dask: scheduler and workers need this program (pip install 'strike-ladder[lake]') and DIR by the same
    path. dask asks nobody who they are, and runs what it is sent: keep it on a private network, or start scheduler and
    workers with TLS and give --tls-ca, --tls-cert and --tls-key.
    """
    from tracker.lake.rates import LakeDimension, lake_rates

    names = list(dict.fromkeys(part.strip().lower().replace(" ", "_") for part in by.split(",") if part.strip()))
    if not names or not set(names) <= set(DIMENSIONS):
        raise click.BadParameter(f"{by!r}: name one or more of {', '.join(DIMENSIONS)}", param_hint="--by")
    frame = lake_rates(_counts(lake_folder, **where), by=[LakeDimension(name) for name in names], level=level)
    print_frame(frame.drop(RATES_LEFT_OUT) if form == "table" else frame, form)


@lake.command("norms")
@LAKE
@click.option("--out", type=click.Path(path_type=Path, dir_okay=False), help="Write the norms to this JSON file too.")
@with_engine
@with_format
def norms(*, lake_folder: Path, out: Path | None, form: str, **where: Any) -> None:
    """What is usual by age band, stage and foot, and how far do clubs differ?

    half_of_players holds the middle half of players' true rates, half_of_clubs that of clubs' means. Cells of fewer
    than 10 players are not shown, nor others that would give them away. A club takes --out in with: lake use-norms.
    """
    from tracker.lake.norms import norm_table, norms_of, write_norms

    counts = _counts(lake_folder, **where)
    found = norms_of(counts)
    print_frame(norm_table(counts, found), form)
    if out is not None:
        write_norms(out, found)
        click.echo(f"{len(found)} norms written to {out}.", err=True)


@lake.command("use-norms")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False, exists=True), required=False)
@click.option("--forget", is_flag=True, help="Take the norms out again.")
@with_database
def use_norms(*, file: Path | None, forget: bool, db: Path | None) -> None:
    """Takes in a federation's norms from FILE, in place of those that were there.

    They are used only for planning (what a rate is likely to be when there are few strikes), and only at a stage with
    a foot where fewer than 8 players of the squad have 20 strikes: then the squad's rate and spread are drawn towards
    the norm's. No rate, interval or readiness that is shown depends on them.
    """
    from tracker.domain.file_content import read_content
    from tracker.intake.norm_file import LARGEST_NORMS_BYTES, parse_norms
    from tracker.review.club import squads
    from tracker.review.norms import norms_of_squad
    from tracker.review.norms import use_norms as take_in

    if (file is None) != forget:
        raise click.UsageError("Name a FILE of norms, or --forget.")
    found: tuple[Norm, ...] = ()
    if file is not None:
        content = read_content(file, most_bytes=LARGEST_NORMS_BYTES, wanted="one file of norms")
        found = parse_norms(content, source=file.name)
    with opened(db) as database:
        take_in(database, found)
        fitting = {squad.name: len(norms_of_squad(database, squad)) for squad in squads(database)}
    click.echo(f"{len(found)} norms taken in." if found else "No norms are used any more.")
    for name, number in fitting.items() if found else ():
        click.echo(f"Squad {name}: {number} of them fit a stage of its ladder with one foot.")


def _counts(
    folder: Path,
    *,
    seasons: tuple[str, ...],
    results: Path | None,
    engine: str,
    workers: int,
    scheduler: str | None,
    **tls: Path | None,
) -> LakeCounts:
    """The sums over the lake, counted where the options say."""
    from tracker.lake.counts import lake_counts
    from tracker.store.lake import parts

    runner = _runner(engine, workers, scheduler, tls)
    # Workers elsewhere stand in another folder.
    files = [part.absolute() for part in parts(folder, seasons=seasons)]
    return lake_counts(runner, files, results=results.absolute() if results else None)


def _runner(engine: str, workers: int, scheduler: str | None, tls: dict[str, Path | None]) -> Runner:
    from tracker.lake.dask_runner import DaskRunner, TlsFiles
    from tracker.lake.runner import LineRunner, PoolRunner

    if engine == "local":
        return LineRunner() if workers == 1 else PoolRunner(workers=workers)
    if scheduler is None:
        raise click.UsageError("--engine dask needs --scheduler ADDRESS, the address that `dask scheduler` prints.")
    ca, cert, key = (tls[name] for name in ("tls_ca", "tls_cert", "tls_key"))
    if ca is None and cert is None and key is None:
        return DaskRunner(scheduler=scheduler)
    if ca is None or cert is None or key is None:
        raise click.UsageError("TLS needs all three: --tls-ca, --tls-cert and --tls-key.")
    return DaskRunner(scheduler=scheduler, tls=TlsFiles(ca=ca, cert=cert, key=key))
