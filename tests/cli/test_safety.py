"""The commands backup and restore, on a database that is free and on one that is served."""

from __future__ import annotations

import json
import stat
import subprocess
import sys
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.faults.served import Club, Server
from tracker.cli.main import main
from tracker.serve.backup_route import key_file
from tracker.store.restore import examined


def run(*arguments: object) -> int:
    """The exit code of a command."""
    try:
        main([str(one) for one in arguments])
    except SystemExit as ended:
        return int(ended.code or 0)
    return 0


@pytest.fixture
def club(tmp_path: Path) -> Club:
    return Club.make(tmp_path / "strikes.duckdb", phones=1)


def test_a_backup_comes_back_by_restore(club: Club, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("backup", tmp_path / "copy.duckdb", "--db", club.path) == 0
    assert "holds everything stored up to now" in capsys.readouterr().out
    club.path.unlink()
    assert run("restore", tmp_path / "copy.duckdb", "--db", club.path) == 0
    assert "holds 1 squads" in capsys.readouterr().out
    assert run("check", "--db", club.path) == 0


def test_neither_command_overwrites(club: Club, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("backup", tmp_path / "copy.duckdb", "--db", club.path) == 0
    assert run("backup", tmp_path / "copy.duckdb", "--db", club.path) == 1
    assert run("restore", tmp_path / "copy.duckdb", "--db", club.path) == 1
    assert capsys.readouterr().err.count("is never overwritten") == 2


def test_check_says_what_is_stored_and_tries_the_last_backup(
    club: Club, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "backups"
    folder.mkdir()
    assert run("check", "--db", club.path) == 0
    assert "Stored: 1 squads" in capsys.readouterr().out
    (folder / "strikes-20260301T120000Z-daily.duckdb").write_bytes(b"nothing")
    assert run("check", "--db", club.path, "--format", "json") == 1
    faults = {row["check"]: row["faults"] for row in json.loads(capsys.readouterr().out)}
    assert {name for name, number in faults.items() if number} == {"last backup"}


def test_a_database_that_another_command_holds_is_not_backed_up(
    club: Club, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    opening = f"from tracker.store.database import Database, Path; held = Database.open(Path({str(club.path)!r}))"
    code = f"{opening}; print(flush=True); input()"
    with subprocess.Popen([sys.executable, "-c", code], stdin=subprocess.PIPE, stdout=subprocess.PIPE) as holder:
        assert holder.stdout is not None
        holder.stdout.readline()
        assert run("backup", tmp_path / "copy.duckdb", "--db", club.path) == 3
        holder.communicate(b"\n")
    assert "in use by process" in capsys.readouterr().err


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Club, Server]]:
    """One server for these tests."""
    club = Club.make(tmp_path_factory.mktemp("served") / "strikes.duckdb", phones=1)
    with Server(club.path) as server:
        yield club, server
        server.stop()
    assert not key_file(club.path).exists()


def test_the_process_that_serves_makes_the_backup(served: tuple[Club, Server], tmp_path: Path) -> None:
    club, _ = served
    assert run("backup", tmp_path / "copy.duckdb", "--db", club.path) == 0
    assert examined(tmp_path / "copy.duckdb").counts["squads"][0] == 1


def test_its_refusal_reaches_the_person(
    served: tuple[Club, Server], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "copy.duckdb").write_bytes(b"mine")
    assert run("backup", tmp_path / "copy.duckdb", "--db", served[0].path) == 1
    assert "is never overwritten" in capsys.readouterr().err


def test_its_key_is_for_the_owner_alone(served: tuple[Club, Server]) -> None:
    assert stat.S_IMODE(key_file(served[0].path).stat().st_mode) == 0o600


@pytest.mark.parametrize("key", [None, "guessed", "ä"])
def test_without_the_key_nothing_is_written(served: tuple[Club, Server], tmp_path: Path, key: str | None) -> None:
    target = tmp_path / "copy.duckdb"
    headers = {"Authorization": f"Bearer {key}".encode().decode("latin-1")} if key else {}
    request = urllib.request.Request(
        f"{served[1].base}/api/backup", data=json.dumps({"path": str(target)}).encode(), headers=headers
    )
    with pytest.raises(urllib.error.HTTPError) as refused:
        urllib.request.urlopen(request)
    refused.value.close()
    assert refused.value.code == 401
    assert not target.exists()
