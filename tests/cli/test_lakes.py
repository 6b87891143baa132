"""The commands past one club."""

from __future__ import annotations

import csv
import io
import json
import sys
from pathlib import Path
from types import ModuleType
from uuid import UUID

import pytest
from answers import Run


@pytest.fixture
def lake(run: Run, own_demo_file: Path, tmp_path: Path) -> Path:
    """A lake with the demo season in it."""
    assert run("lake", "write", tmp_path / "lake", "--db", own_demo_file).code == 0
    return tmp_path / "lake"


def test_a_club_writes_its_seasons_and_is_told_what_became_of_them(
    run: Run, own_demo_file: Path, tmp_path: Path
) -> None:
    options = ("--db", own_demo_file, "--format", "json")
    (first,) = run("lake", "write", tmp_path / "lake", *options).rows
    (again,) = run("lake", "write", tmp_path / "lake", *options).rows
    assert (first["season"], first["what"], again["what"]) == ("2025-26", "written", "unchanged")
    assert first["club"] == again["club"] == str(UUID(first["club"]))
    other = run("lake", "write", tmp_path / "lake", "--club", "0198f2a4-0000-7000-8000-000000000001", *options)
    assert other.code == 1
    assert "so it stays" in other.sentence


def test_an_empty_club_has_nothing_to_write(run: Run, club_file: Path, tmp_path: Path) -> None:
    assert run("lake", "write", tmp_path / "lake", "--db", club_file).out == "Nothing to show yet.\n"
    answer = run("lake", "rates", tmp_path / "lake")
    assert answer.code == 1
    assert "lake" in answer.sentence


def test_rates_come_as_table_json_and_csv(run: Run, lake: Path) -> None:
    table = run("lake", "rates", lake)
    rows = run("lake", "rates", lake, "--format", "json").rows
    read = list(csv.DictReader(io.StringIO(run("lake", "rates", lake, "--format", "csv").out)))
    assert len(rows) == len(read) == table.out.count("\n") - 2
    assert {"age_band", "stage", "foot", "players", "clubs", "rate", "low", "high", "correlation_source"} <= set(
        rows[0]
    )
    assert all(row["players"] is None or row["players"] >= 10 for row in rows)


def test_two_processes_print_what_one_prints(run: Run, lake: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # A page tested before in this process leaves itself as the main module, which a spawned process would run.
    monkeypatch.setitem(sys.modules, "__main__", ModuleType("__main__"))
    options = ("--by", "player,foot", "--format", "csv")
    assert run("lake", "rates", lake, "--workers", 2, *options).out == run("lake", "rates", lake, *options).out


@pytest.mark.parametrize(
    ("options", "what"),
    [
        (("--by", "shirt"), "name one or more of club, season"),
        (("--engine", "dask"), "--engine dask needs --scheduler"),
        (("--engine", "dask", "--scheduler", "tcp://127.0.0.1:9", "--tls-ca", __file__), "TLS needs all three"),
    ],
)
def test_wrong_usage_is_explained(run: Run, lake: Path, options: tuple[str, ...], what: str) -> None:
    answer = run("lake", "rates", lake, *options)
    assert answer.code == 2
    assert what in answer.err


def test_norms_go_from_a_lake_to_a_club_and_out_again(
    run: Run, lake: Path, own_demo_file: Path, tmp_path: Path
) -> None:
    file = tmp_path / "norms.json"
    assert "half of players" in run("lake", "norms", lake, "--out", file).out
    written = len(json.loads(file.read_text(encoding="utf-8"))["norms"])
    taken = run("lake", "use-norms", file, "--db", own_demo_file)
    assert taken.out == (
        f"{written} norms taken in.\nSquad Quillhaven U12: {written} of them fit a stage of its ladder with one foot.\n"
    )
    assert run("lake", "use-norms", "--forget", "--db", own_demo_file).out == "No norms are used any more.\n"


def test_use_norms_needs_a_file_or_forget(run: Run, club_file: Path, tmp_path: Path) -> None:
    assert run("lake", "use-norms", "--db", club_file).code == 2
    (tmp_path / "wrong.json").write_text("[]", encoding="utf-8")
    answer = run("lake", "use-norms", tmp_path / "wrong.json", "--db", club_file)
    assert answer.code == 1
    assert answer.sentence.startswith("wrong.json holds no norms")
