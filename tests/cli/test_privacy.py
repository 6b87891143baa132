"""``forget``, ``export --player``, ``retention`` and ``audit``, as a person types them."""

from __future__ import annotations

import io
import sys
import zipfile
from pathlib import Path

import pytest
from answers import Run

from tracker.review.backups import BackupReason, back_up_beside
from tracker.store.database import Database

NAME = "Zoë L."


def done(run: Run, file: Path) -> list[str]:
    return [row["what"] for row in run("audit", "--db", file, "--format", "json").rows]


def test_forgetting_asks_first_and_no_answer_changes_nothing(
    run: Run, own_demo_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO("n\n"))
    answer = run("forget", NAME, "--db", own_demo_file)
    assert answer.code == 1
    assert "Zoë L.: 13" in answer.err
    assert "cannot be undone" in answer.err
    assert run("accuracy", "--db", own_demo_file, "--format", "json", "--by", "player").code == 0
    assert "forget" not in done(run, own_demo_file)


def test_a_forgotten_player_is_gone(run: Run, own_demo_file: Path) -> None:
    answer = run("forget", NAME, "--yes", "--db", own_demo_file)
    assert answer.code == 0, answer.err
    assert answer.out.startswith("Erased, with 13")
    assert "There is no player" in run("export", "x.zip", "--player", NAME, "--db", own_demo_file).sentence
    assert NAME.encode() not in own_demo_file.read_bytes()
    assert done(run, own_demo_file) == ["forget"]


def test_numbers_stay_with_a_former_player(run: Run, own_demo_file: Path) -> None:
    by = ("--by", "foot", "--format", "json", "--no-cluster", "--db", own_demo_file)
    before = run("accuracy", *by).rows
    answer = run("forget", NAME, "--keep-numbers", "--yes", "--db", own_demo_file)
    assert "strikes stay as Former player 1" in answer.out
    assert run("accuracy", *by).rows == before


def test_a_backup_from_before_is_named(run: Run, own_demo_file: Path) -> None:
    with Database.open(own_demo_file) as database:
        backup = back_up_beside(database, reason=BackupReason.DAILY)
    said = run("forget", NAME, "--yes", "--db", own_demo_file).out
    assert f"may go from {backup.expires_on} on: {backup.path}" in said


def test_one_player_is_taken_out_and_that_is_noted(run: Run, own_demo_file: Path, tmp_path: Path) -> None:
    file = tmp_path / "zoe.zip"
    answer = run("export", file, "--player", NAME, "--db", own_demo_file)
    assert answer.out.strip() == str(file)
    with zipfile.ZipFile(file) as archive:
        assert {"profile.csv", "strikes.csv", "audit.csv"} <= set(archive.namelist())
    (entry,) = run("audit", "--db", own_demo_file, "--format", "json", "--player", NAME).rows
    assert (entry["what"], entry["player"], entry["detail"]) == ("export", NAME, "everything about them")


def test_what_of_one_player_cannot_be_cut(run: Run, own_demo_file: Path) -> None:
    answer = run("export", "x.zip", "--player", NAME, "--what", "tallies", "--db", own_demo_file)
    assert "takes everything about them" in answer.sentence


def test_reports_and_hand_overs_are_noted(run: Run, own_demo_file: Path, tmp_path: Path) -> None:
    assert run("report", "--player", NAME, "--out", tmp_path / "reports", "--db", own_demo_file).code == 0
    assert run("hand-over", tmp_path / "zoe-out.zip", "--player", NAME, "--db", own_demo_file).code == 0
    assert done(run, own_demo_file) == ["hand-over", "report written"]


def test_a_rule_is_set_looked_at_and_applied(run: Run, own_demo_file: Path) -> None:
    assert "No rule is set" in run("retention", "show", "--db", own_demo_file).out
    assert "Nothing is older" in run("retention", "show", "--months", 240, "--db", own_demo_file).out
    assert run("retention", "set", "--months", 240, "--db", own_demo_file).out == "Names are kept 240 months.\n"
    assert run("retention", "apply", "--db", own_demo_file).out == "Nothing is due.\n"
    assert run("retention", "set", "--off", "--db", own_demo_file).code == 0
    assert run("retention", "set", "--db", own_demo_file).code == 2


def test_a_rule_lists_whom_it_would_reach(run: Run, own_demo_file: Path) -> None:
    shown = run("retention", "show", "--months", 0, "--db", own_demo_file).out
    assert f"{NAME}: 13" in shown
    assert "erased, nothing later is kept" in shown
