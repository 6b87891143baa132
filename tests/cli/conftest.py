"""Runs the command in this process, as ``strikeladder`` on a command line would."""

from __future__ import annotations

from pathlib import Path

import pytest
from answers import Answer, Run

from tracker.cli.main import main


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Run:
    """Runs the command with these arguments. Nothing of the user's own is seen."""
    monkeypatch.delenv("STRIKELADDER_DB", raising=False)

    def strikeladder(*arguments: object) -> Answer:
        capsys.readouterr()
        with pytest.raises(SystemExit) as ended:
            main([str(one) for one in arguments])
        captured = capsys.readouterr()
        return Answer(code=int(ended.value.code or 0), out=captured.out, err=captured.err)

    return strikeladder


@pytest.fixture
def club_file(run: Run, tmp_path: Path) -> Path:
    """A new database made by ``init`` with players Ana and Ben."""
    players = tmp_path / "players.csv"
    players.write_text("player,preferred_foot\nAna,right\nBen,left\n", encoding="utf-8")
    file = tmp_path / "club.duckdb"
    assert run("init", "--db", file, "--squad", "Quillhaven U12", "--players", players).code == 0
    return file
