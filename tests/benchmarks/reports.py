"""How long season reports take, how much memory, and what the template alone would take.

    python -m tests.benchmarks.reports [PLAYERS …]

Without numbers: 16 and 200 players, squads of 16 with the demo season's strikes each. The database is made first and
not counted.
"""

from __future__ import annotations

import resource
import sys
import tempfile
import time
from pathlib import Path

import polars as pl

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


def measured(players: int) -> None:
    """Prints what one batch takes."""
    with club_of(players) as database, tempfile.TemporaryDirectory() as folder:
        started = time.perf_counter()
        asked = 0.0
        written: list[Path] = []
        for squad in club.squads(database):
            question = time.perf_counter()
            reports = season_reports(database, squad, season_to_report(database, squad))[: players - len(written)]
            asked += time.perf_counter() - question
            written += write_reports(reports, make_folder(Path(folder) / squad.name), look=LOOK)
        taken = time.perf_counter() - started
        pages = [player_page(report, unit=LOOK.unit) for report in reports]
        template = time.perf_counter()
        for page in pages:  # all unlike, for the engine remembers what it has set before
            pdf(Template.PLAYER, {**page, "days": f"{page['days']}."})
        alone = (time.perf_counter() - template) / len(pages)
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(  # noqa: T201
        f"{len(written)} reports: {taken:.1f} s ({asked:.1f} s of it the questions), "
        f"{taken / len(written) * 1000:.0f} ms each; the template alone {alone * 1000:.0f} ms, "
        f"ratio {taken / len(written) / alone:.1f}; peak memory {peak_mb:.0f} MB"
    )


if __name__ == "__main__":
    for many in [int(one) for one in sys.argv[1:]] or [16, 200]:
        measured(many)
