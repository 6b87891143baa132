"""How long the work takes on this machine, beside plain tools doing the same in the same run.

    python -m tests.benchmarks [--only files tables …] [--rows N] [--strikes N] …

Prints one Markdown table. *files*: import, one question and the help, whole processes from start to end. *tables*:
every table of every squad. *intervals*: a million of them. *pages*: a rerun of a page beside an empty one. *reports*:
printed pages. *touchline*: phones that log. The best of a few runs counts; the ratio is of processor seconds, which
other work on the machine moves less than those on the clock.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

from tests.benchmarks import intervals, pages, reports, tables, touchline
from tests.benchmarks.spent import HEAD, Line, script, spent

PARTS = ["files", "tables", "intervals", "pages", "reports", "touchline"]
ROWS = 1_000_000
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


def files(*, rows: int = ROWS) -> list[Line]:
    """The import of a file, the rates over it, and the help, each beside a plain tool."""
    with tempfile.TemporaryDirectory(prefix="strike-ladder-benchmark-") as folder:
        strikes, database = str(Path(folder) / "strikes.csv"), str(Path(folder) / "strikes.duckdb")
        # By another process, for the most memory a process held is passed on to those it starts.
        subprocess.run([sys.executable, "-m", "tests.benchmarks.strike_table", strikes, str(rows)], check=True)
        return [
            Line(
                work=f"import {rows:,} strikes",
                ours=spent([*COMMAND, "import", strikes, "--db", database], runs=1),
                referee="duckdb: read_csv into a table without keys, group by",
                theirs=spent(script(GROUP_BY_IN_DUCKDB, strikes), runs=1),
            ),
            Line(
                work="accuracy by player and foot over them",
                ours=spent([*COMMAND, "accuracy", "--format", "json", "--db", database]),
                referee="pandas and statsmodels from the CSV, strikes taken as independent",
                theirs=spent(script(RATES_IN_PANDAS, strikes), runs=2),
            ),
            Line(
                work="strikeladder --help",
                ours=spent([*COMMAND, "--help"], runs=5),
                referee="python: import click",
                theirs=spent(script(IMPORT_CLICK), runs=5),
            ),
        ]


def main() -> None:
    """Prints the table."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.benchmarks", description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--only", nargs="+", choices=PARTS, default=PARTS)
    parser.add_argument("--rows", type=int, default=ROWS, help="strikes to import (default: %(default)s)")
    parser.add_argument("--strikes", type=int, default=tables.STRIKES, help="strikes under the tables and pages")
    parser.add_argument("--players", type=int, default=16, help="printed reports (default: %(default)s)")
    parser.add_argument("--phones", type=int, default=16)
    parser.add_argument("--seconds", type=int, default=60, help="how long the phones log (default: %(default)s)")
    asked = parser.parse_args()
    parts: dict[str, Callable[[], list[Line]]] = {
        "files": lambda: files(rows=asked.rows),
        "tables": lambda: tables.lines(strikes=asked.strikes),
        "intervals": intervals.lines,
        "pages": lambda: pages.lines(strikes=asked.strikes),
        "reports": lambda: reports.lines(asked.players),
        "touchline": lambda: touchline.lines(phones=asked.phones, seconds=asked.seconds),
    }
    print(HEAD, flush=True)  # noqa: T201
    for name in asked.only:
        for line in parts[name]():
            print(line.markdown(), flush=True)  # noqa: T201


if __name__ == "__main__":
    main()
