"""How time and memory of all squad tables grow with the strikes: a table, and a picture in ``build/growth.svg``.

    python -m tests.benchmarks.growth [--strikes 10000 100000 …] [--folder DIR]

Squads of twenty, 25 of them, from the first to the last size; above ten million the strikes have no primary key. Each
size is a database file made in a scratch folder and deleted again: 100 million strikes take about 5 GB there.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path

import altair as alt
import polars as pl

from tests.benchmarks.grown import grown_apart
from tests.benchmarks.spent import spent

SIZES = [10**power for power in range(4, 9)]
BUILD = Path(__file__).parents[2] / "build"


def main() -> None:
    """Prints the table and writes the picture."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.growth", description=__doc__)
    parser.add_argument("--strikes", type=int, nargs="+", default=SIZES)
    parser.add_argument("--folder", type=Path, help="where the databases stand meanwhile")
    asked = parser.parse_args()
    out = sys.stdout.write
    out("| strikes | file MB | all tables s | processor s | µs of it a strike | memory MB |\n")
    out("| ---: | ---: | ---: | ---: | ---: | ---: |\n")
    rows = []
    for strikes in asked.strikes:
        row = measured(strikes, folder=asked.folder)
        rows.append(row)
        each = 1e6 * row["processor seconds"] / strikes
        out(
            f"| {strikes:,} | {row['file MB']:.0f} | {row['seconds']:.2f} | {row['processor seconds']:.2f} | "
            f"{each:.2f} | {row['memory MB']:.0f} |\n"
        )
        sys.stdout.flush()
    BUILD.mkdir(exist_ok=True)
    picture(pl.DataFrame(rows)).save(BUILD / "growth.svg")


def measured(strikes: int, *, folder: Path | None) -> dict[str, float]:
    """What all tables take over so many strikes."""
    with tempfile.TemporaryDirectory(prefix="strike-ladder-growth-", dir=folder) as scratch:
        path = grown_apart(Path(scratch) / "grown.duckdb", strikes=strikes)
        size = path.stat().st_size
        command = [sys.executable, "-m", "tests.benchmarks.tables", "ours", str(path)]
        took = spent(command, runs=3 if strikes <= 10**7 else 1)
    return {
        "strikes": strikes,
        "file MB": size / 2**20,
        "seconds": took.seconds,
        "processor seconds": took.cpu_seconds,
        "memory MB": took.memory_mb,
    }


def picture(rows: pl.DataFrame) -> alt.HConcatChart:
    """Time and memory over strikes, all axes logarithmic: a straight line of slope one is linear."""
    line = (
        alt.Chart(rows.unpivot(["processor seconds", "memory MB"], index="strikes"))
        .mark_line(point=True)
        .encode(
            x=alt.X("strikes:Q", scale=alt.Scale(type="log"), title="strikes"),
            y=alt.Y("value:Q", scale=alt.Scale(type="log"), title=None),
        )
        .properties(width=260, height=220)
    )
    return alt.hconcat(
        *(
            line.transform_filter(alt.datum.variable == name).properties(title=name)
            for name in ("processor seconds", "memory MB")
        )
    )


if __name__ == "__main__":
    main()
