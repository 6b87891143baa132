"""``hand-over`` and ``take-over``: from one installation to another, previewed, asked about, stored once."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from answers import Run


@pytest.fixture
def handed_over(run: Run, own_demo_file: Path, tmp_path: Path) -> Path:
    file = tmp_path / "zoe.zip"
    assert run("hand-over", file, "--db", own_demo_file, "--player", "Zoë L.").out.strip() == str(file)
    return file


def test_a_player_arrives_elsewhere(run: Run, handed_over: Path, own_demo_file: Path, tmp_path: Path) -> None:
    there = tmp_path / "there.duckdb"
    answer = run("take-over", handed_over, "--db", there)
    assert answer.code == 0, answer.err
    said = json.loads(answer.out)
    assert said["players"] == {"Zoë L.": "new"}
    assert said["strikes"] == said["new_strikes"] > 1300
    by = ("--by", "player,foot,stage", "--format", "json", "--no-cluster")
    theirs = [row for row in run("accuracy", "--db", own_demo_file, *by).rows if row["player"] == "Zoë L."]
    assert run("accuracy", "--db", there, *by).rows == theirs


def test_a_preview_stores_nothing(run: Run, handed_over: Path, club_file: Path) -> None:
    said = json.loads(run("take-over", handed_over, "--db", club_file, "--squad", "Quillhaven U12", "--preview").out)
    assert said["players"] == {"Zoë L.": "new"}
    assert run("accuracy", "--db", club_file, "--format", "json").rows == []


def test_a_namesake_is_asked_about_and_decided(run: Run, handed_over: Path, club_file: Path, tmp_path: Path) -> None:
    zoe = tmp_path / "t.csv"
    zoe.write_text("date,player,foot,attempts,on_target\n2026-03-07,Zoë L.,left,4,2\n", encoding="utf-8")
    assert run("import", zoe, "--db", club_file, "--create-players").code == 0
    refused = run("take-over", handed_over, "--db", club_file)
    assert refused.code == 1
    assert "Somebody here is called Zoë L. too" in refused.err
    assert run("take-over", handed_over, "--db", club_file, "--rename", "Zoë L.=Zoë Lind").code == 0
    names = {row["player"] for row in run("accuracy", "--db", club_file, "--format", "json").rows}
    assert names == {"Zoë L.", "Zoë Lind"}


def test_a_file_of_somebody_else_is_not_written_over(run: Run, own_demo_file: Path, tmp_path: Path) -> None:
    (tmp_path / "mine.zip").write_bytes(b"mine")
    answer = run("hand-over", tmp_path / "mine.zip", "--db", own_demo_file)
    assert answer.code == 1
    assert "left alone" in answer.err
