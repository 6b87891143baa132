"""How long the main job takes on this machine, beside plain tools in the same run. ``python -m tests.benchmarks``.

Prints a Markdown table. Every figure is a whole process, from starting it to its end; the best of the runs counts.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import polars as pl

from tracker.domain.ladder_file import shipped_ladders
from tracker.domain.vocabulary import Surface

ROWS = 1_000_000
SQUADS, PLAYERS_A_SQUAD, STRIKES_A_SET = 25, 20, 10
FIRST_START, PRACTICE_DAYS = np.datetime64("2024-09-07T10:00:00", "ms"), 60
COMMAND = [sys.executable, "-m", "tracker.cli.main"]

GROUP_BY_IN_DUCKDB = """
import duckdb, sys
duckdb.sql(f"create table strike as from read_csv('{sys.argv[1]}')")
print(duckdb.sql("select player, foot, count(*), count(*) filter (outcome = 'on') from strike group by all").fetchall())
"""
RATES_IN_PANDAS = """
import pandas, sys
from statsmodels.stats.proportion import proportion_confint
strikes = pandas.read_csv(sys.argv[1], usecols=["player", "foot", "outcome"])
hit = strikes[strikes.outcome != "blocked"].assign(hit=strikes.outcome == "on")
counts = hit.groupby(["player", "foot"]).hit.agg(["sum", "count"])
print(proportion_confint(counts["sum"], counts["count"], method="wilson"))
"""
IMPORT_CLICK = "import click"


@dataclass(frozen=True, kw_only=True, slots=True)
class Timing:
    """Seconds of one of our commands and of the plain tool beside it."""

    what: str
    seconds: float
    target_seconds: float
    referee: str
    referee_seconds: float

    def row(self) -> str:
        """A row of the Markdown table."""
        ratio = self.seconds / self.referee_seconds
        return (
            f"| {self.what} | {self.seconds:.2f} | < {self.target_seconds:g} | {self.referee} | "
            f"{self.referee_seconds:.2f} | {ratio:.1f} |"
        )


def write_strikes(path: Path, *, rows: int) -> None:
    """Writes a CSV of ``rows`` strikes: sets of ten by the players of 25 squads at the stages of a ladder."""
    rng = np.random.default_rng(20261125)
    number = np.arange(rows)
    sets = number // STRIKES_A_SET
    player = sets % (SQUADS * PLAYERS_A_SQUAD)
    turn = sets // (SQUADS * PLAYERS_A_SQUAD)
    stages = shipped_ladders()[1].stages
    outcome = rng.choice(["on", "off", "blocked"], size=rows, p=[0.6, 0.38, 0.02])
    miss = np.where(outcome == "off", rng.choice(["left", "right", "over", "short"], size=rows), "")
    day = turn % PRACTICE_DAYS
    struck_at = FIRST_START + np.timedelta64(7, "D") * day + np.timedelta64(1, "s") * (number % 7200)
    frame = pl.DataFrame(
        {
            "struck_at": struck_at,
            "squad": pl.Series(player // PLAYERS_A_SQUAD).cast(pl.String),
            "player": pl.Series(player).cast(pl.String),
            "foot": np.where(turn % 2 == 0, "left", "right"),
            "surface": rng.choice([surface.value for surface in Surface], size=rows),
            "outcome": outcome,
            "miss": miss,
            "distance_m": np.round(rng.uniform(4, 20, size=rows), 2),
            "stage": np.array([stage.name for stage in stages])[(player + day // 8) % len(stages)],
            "set": pl.Series(sets).cast(pl.String),
            "source": "tap",
        }
    )
    frame.with_columns(
        pl.format("Squad {}", "squad").alias("squad"),
        pl.format("Player {}", "player").alias("player"),
        pl.col("struck_at").dt.strftime("%Y-%m-%dT%H:%M:%S+00:00"),
    ).write_csv(path)


def seconds_of(command: Sequence[str], *, runs: int = 1) -> float:
    """The shortest time of a few runs of a process."""
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        times.append(time.perf_counter() - start)
    return min(times)


def measure(folder: Path, *, rows: int) -> list[Timing]:
    """Times the import of a file, the rates over it, and the help, each beside a plain tool."""
    strikes, database = str(folder / "strikes.csv"), str(folder / "strikes.duckdb")
    write_strikes(Path(strikes), rows=rows)
    return [
        Timing(
            what=f"import {rows:,} strikes",
            seconds=seconds_of([*COMMAND, "import", strikes, "--db", database]),
            target_seconds=10,
            referee="duckdb: read_csv into a table without keys, group by",
            referee_seconds=seconds_of([sys.executable, "-c", GROUP_BY_IN_DUCKDB, strikes]),
        ),
        Timing(
            what="accuracy by player and foot over them",
            seconds=seconds_of([*COMMAND, "accuracy", "--format", "json", "--db", database], runs=3),
            target_seconds=1.5,
            referee="pandas and statsmodels from the CSV, strikes taken as independent",
            referee_seconds=seconds_of([sys.executable, "-c", RATES_IN_PANDAS, strikes], runs=2),
        ),
        Timing(
            what="strikeladder --help",
            seconds=seconds_of([*COMMAND, "--help"], runs=5),
            target_seconds=0.4,
            referee="python: import click",
            referee_seconds=seconds_of([sys.executable, "-c", IMPORT_CLICK], runs=5),
        ),
    ]


def main() -> None:
    """Prints the table."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks", description=__doc__)
    parser.add_argument("--rows", type=int, default=ROWS, help="strikes to import (default: %(default)s)")
    rows = parser.parse_args().rows
    with tempfile.TemporaryDirectory(prefix="strike-ladder-benchmark-") as folder:
        timings = measure(Path(folder), rows=rows)
    print("| what | seconds | target | beside | seconds | ratio |")  # noqa: T201
    print("| --- | ---: | ---: | --- | ---: | ---: |")  # noqa: T201
    for timing in timings:
        print(timing.row())  # noqa: T201


if __name__ == "__main__":
    main()
