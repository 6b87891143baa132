"""Every wrong row ends up in a file beside the one it came from."""

from __future__ import annotations

from pathlib import Path

import polars as pl
import pytest

from tracker.errors import FileError
from tracker.intake.rejects import REJECT_SCHEMA, no_rejects, rejects_path, write_rejects

REJECTS = pl.DataFrame(
    [(4, "player", "=1+1\n", 'player is "=1+1": why'), (5, "", "x", "the row has 3 fields")],
    schema=REJECT_SCHEMA,
    orient="row",
)


def test_rejects_stand_beside_their_file_with_formulas_defused(tmp_path: Path) -> None:
    path = write_rejects(REJECTS, source=tmp_path / "march strikes.csv")
    assert path == tmp_path / "march strikes.rejects.csv"
    assert path.read_text() == (
        'line,column,value,why\n4,player,"\'=1+1\n","player is ""=1+1"": why"\n5,"",x,the row has 3 fields\n'
    )


def test_a_new_try_replaces_the_old_rejects(tmp_path: Path) -> None:
    source = tmp_path / "strikes.parquet"
    write_rejects(REJECTS, source=source)
    assert write_rejects(no_rejects(), source=source).read_text() == "line,column,value,why\n"


def test_the_ending_of_the_file_is_replaced() -> None:
    assert rejects_path(Path("a/b.tsv")) == Path("a/b.rejects.csv")


def test_a_folder_that_cannot_be_written_to_is_said(tmp_path: Path) -> None:
    with pytest.raises(FileError, match=r"none/x\.rejects\.csv: cannot be written, because there is no folder"):
        write_rejects(REJECTS, source=tmp_path / "none" / "x.csv")
