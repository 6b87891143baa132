"""How long season reports take, how much memory, and what the template alone would take.

Squads of 16 with the demo season's strikes each. The database is made first and not counted.
"""

from __future__ import annotations

import resource
import tempfile
import time
from pathlib import Path

import polars as pl

from tests.benchmarks.spent import Line, Spent
from tracker.domain.vocabulary import LengthUnit
from tracker.intake.table_out import write_table
from tracker.report.printed.batch import Look, write_reports
from tracker.report.printed.engine import Template, pdf
from tracker.report.printed.files import make_folder
from tracker.report.printed.player_page import player_page
from tracker.review import club
from tracker.review.archive import import_archive
from tracker.review.demonstration import demo_folder
from tracker.review.season_report import season_reports, season_to_report
from tracker.store.database import Database

SQUAD_SIZE = 16
LOOK = Look(unit=LengthUnit.YARDS)


def club_of(players: int) -> Database:
    """A database with so many players, in squads whose strikes are the demo season's."""
    database = Database.open(None)
    for number in range(-(-players // SQUAD_SIZE)):
        with tempfile.TemporaryDirectory() as folder:
            for file in ("players", "seasons", "strikes", "placements"):
                frame = pl.read_csv(demo_folder() / f"{file}.csv", infer_schema=False)
                if "squad" in frame.columns:
                    frame = frame.with_columns(pl.format("{} {}", "squad", pl.lit(number)))
                if file == "placements":
                    frame = frame.with_columns(pl.lit(f"Quillhaven U12 {number}").alias("squad"))
                write_table(frame, Path(folder) / f"{file}.csv")
            import_archive(database, Path(folder))
    return database


def lines(players: int) -> list[Line]:
    """One batch of reports."""
    with club_of(players) as database, tempfile.TemporaryDirectory() as folder:
        clock, cpu = time.perf_counter(), time.process_time()
        written: list[Path] = []
        for squad in club.squads(database):
            reports = season_reports(database, squad, season_to_report(database, squad))[: players - len(written)]
            written += write_reports(reports, make_folder(Path(folder) / squad.name), look=LOOK)
        ours = _since(clock, cpu)
        pages = [player_page(report, unit=LOOK.unit) for report in reports]
        clock, cpu = time.perf_counter(), time.process_time()
        for number in range(len(written)):  # all unlike, for the engine remembers what it has set before
            page = pages[number % len(pages)]
            pdf(Template.PLAYER, {**page, "days": f"{page['days']}{'.' * number}"})
        theirs = _since(clock, cpu)
    return [Line(work=f"{players} season reports", ours=ours, referee="typst alone on the same pages", theirs=theirs)]


def _since(clock: float, cpu: float) -> Spent:
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return Spent(seconds=time.perf_counter() - clock, cpu_seconds=time.process_time() - cpu, memory_mb=memory)
