"""The statements of the lake: the same on another engine, and the same however the parts are put together."""

from __future__ import annotations

import sys
from pathlib import Path
from types import ModuleType

import datafusion
import polars as pl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from made_lake import made_lake, made_part

from tracker.errors import FileError
from tracker.lake.counts import LakeStatement, lake_counts
from tracker.lake.runner import LineRunner, PoolRunner
from tracker.store.lake import answer_of_files, lake_statement, merged, parts
from tracker.store.sql_files import files_in

MADE = pl.concat([made_part(club=club, players=6, practices=4) for club in range(3)])


def test_every_statement_of_the_folder_is_asked() -> None:
    assert {file.stem for file in files_in("lake")} == {one.value for one in LakeStatement}


@pytest.mark.parametrize("statement", LakeStatement)
def test_a_second_engine_gives_equal_rows_for_the_same_text(statement: LakeStatement, tmp_path: Path) -> None:
    files = made_lake(tmp_path, clubs=3)
    ours = merged(statement, [answer_of_files(statement, [file]) for file in files])
    session = datafusion.SessionContext()
    tables = [pl.read_parquet(file).to_arrow(compat_level=pl.CompatLevel.oldest()) for file in files]
    session.register_record_batches("lake_tally", [[batch for table in tables for batch in table.to_batches()]])
    theirs = pl.DataFrame(session.sql(lake_statement(statement)).to_arrow_table())
    assert ours.height > 30
    assert theirs.select(ours.columns).cast(dict(ours.schema)).sort(pl.all(), nulls_last=True).equals(ours)


@pytest.mark.parametrize("statement", LakeStatement)
@settings(max_examples=15)
@given(order=st.permutations(range(6)), cuts=st.lists(st.integers(1, MADE.height - 1), min_size=5, max_size=5))
def test_parts_added_in_any_order_are_one_part(statement: LakeStatement, order: list[int], cuts: list[int]) -> None:
    edges = [0, *sorted(cuts), MADE.height]
    pieces = [MADE[edges[one] : edges[one + 1]] for one in order]
    whole = merged(statement, [MADE])
    answers = [merged(statement, [piece]) for piece in pieces if piece.height]
    assert merged(statement, answers).equals(whole)
    assert merged(statement, [merged(statement, answers[:2]), *answers[2:]]).equals(whole)


def test_processes_give_what_one_process_gives(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # A page tested before in this process leaves itself as the main module, which a spawned process would run.
    monkeypatch.setitem(sys.modules, "__main__", ModuleType("__main__"))
    files = made_lake(tmp_path, clubs=3)
    alone, together = lake_counts(LineRunner(), files), lake_counts(PoolRunner(workers=2), files)
    assert together.by_player.equals(alone.by_player)
    assert together.by_practice_size.equals(alone.by_practice_size)


def test_what_is_there_already_is_not_counted_again(tmp_path: Path) -> None:
    files, results = made_lake(tmp_path / "lake", clubs=2), tmp_path / "results"
    first = lake_counts(LineRunner(), files, results=results)
    kept = {file: file.stat().st_mtime_ns for file in results.iterdir()}
    assert lake_counts(LineRunner(), files, results=results).by_player.equals(first.by_player)
    assert {file: file.stat().st_mtime_ns for file in results.iterdir()} == kept
    made_part(club=0, practices=4).write_parquet(files[0])
    assert (
        lake_counts(LineRunner(), files, results=results).by_player["attempts"].sum()
        < first.by_player["attempts"].sum()
    )


def test_half_written_files_are_no_parts(tmp_path: Path) -> None:
    (file,) = made_lake(tmp_path, clubs=1)
    file.with_name(".0123.part").write_bytes(b"half")
    assert parts(tmp_path) == [file]
    with pytest.raises(FileError, match="no tallies of season 1999"):
        parts(tmp_path, seasons=["1999"])
    with pytest.raises(FileError, match="cannot be read"):
        parts(tmp_path / "elsewhere")


def test_a_damaged_part_is_named(tmp_path: Path) -> None:
    (file,) = made_lake(tmp_path, clubs=1)
    file.write_bytes(file.read_bytes()[:200])
    with pytest.raises(FileError, match=r"part-0\.parquet cannot be read as a part of a lake"):
        lake_counts(LineRunner(), [file])
