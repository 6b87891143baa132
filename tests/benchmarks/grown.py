"""Databases of any size, for measuring, written by DuckDB itself (``grown.sql``).

``python -m tests.benchmarks.grown FILE STRIKES`` makes one: in a process of its own, for the most memory a process held
is passed on to those it starts.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import duckdb
import polars as pl

from tracker.domain.ladder_file import shipped_ladder_text, shipped_ladders
from tracker.store.database import Database
from tracker.store.ladders import save_ladder

SQUADS, PLAYERS_A_SQUAD = 25, 20
MOST_WITH_KEY = 10_000_000
"""Above this the strikes have no primary key, whose index alone would outgrow the memory of a laptop."""


def grown_database(path: Path, *, strikes: int, squads: int = SQUADS) -> Path:
    """A database file with so many strikes of ``squads`` squads of twenty; returns its path."""
    ladder = shipped_ladders()[1]
    with Database.open(path, create=True) as database, database.transaction() as transaction:
        save_ladder(transaction, name=ladder.name, content=shipped_ladder_text(ladder.name))
    stages = pl.DataFrame(
        [(one.position - 1, one.name, one.distance_m, one.target.width_m) for one in ladder.stages],
        schema=["position", "stage", "distance_m", "width_m"],
        orient="row",
    )
    with duckdb.connect(str(path)) as connection:
        connection.register("stages", stages)
        if strikes > MOST_WITH_KEY:
            connection.execute("alter table strike rename to keyed").fetchall()
            connection.execute("create table strike as from keyed").fetchall()
            connection.execute("drop table keyed").fetchall()
        figures = {"squads": squads, "strikes": strikes, "ladder": ladder.name}
        for statement in connection.extract_statements(Path(__file__).with_name("grown.sql").read_text("utf-8")):
            asked = {name: figures[name] for name in statement.named_parameters}
            connection.execute(statement, asked or None).fetchall()
    return path


def grown_apart(path: Path, *, strikes: int) -> Path:
    """The same, made by another process."""
    subprocess.run([sys.executable, "-m", "tests.benchmarks.grown", str(path), str(strikes)], check=True)
    return path


if __name__ == "__main__":
    grown_database(Path(sys.argv[1]), strikes=int(sys.argv[2]))
