"""The strikes the benchmark is run on are right ones, all of them."""

from __future__ import annotations

import runpy
from pathlib import Path

from tracker.review.exchange import import_file
from tracker.store.database import Database


def test_every_strike_of_the_benchmark_can_be_imported(database: Database, tmp_path: Path) -> None:
    benchmark = runpy.run_path(str(Path(__file__).with_name("strike_table.py")), run_name="benchmark")
    benchmark["write_strikes"](tmp_path / "strikes.csv", rows=12_000)
    summary = import_file(database, tmp_path / "strikes.csv")
    assert (summary.read, summary.stored, summary.rejected) == (12_000, 12_000, 0)
    assert (len(summary.new_squads), len(summary.new_players)) == (25, 500)
    assert summary.unknown_columns == summary.unknown_stages == ()
