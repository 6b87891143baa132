"""Whatever goes wrong: one sentence, the right exit code, and a traceback only for those who ask."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from answers import Run

from tracker.cli import questions
from tracker.cli.main import main
from tracker.errors import DatabaseMissing

ROOT = Path(__file__).parents[2]
COMMAND = [sys.executable, "-m", "tracker.cli.main"]


def process(*arguments: object) -> subprocess.CompletedProcess[str]:
    """Runs the command as a process of its own."""
    return subprocess.run(
        [*COMMAND, *map(str, arguments)], cwd=ROOT, capture_output=True, text=True, encoding="utf-8", timeout=60
    )


@pytest.mark.parametrize(
    "arguments",
    [
        *(["accuracy"], ["gap"], ["readiness"], ["check"], ["export", "a.csv"], ["ladder", "show"]),
        ["correct", "0198b0c4-7c1e-7d3a-9f00-5a1b2c3d4e5f", "--why", "typo"],
        ["place", "Ana", "--foot", "left", "--stage", "Rolling ball"],
    ],
    ids=lambda arguments: arguments[0],
)
def test_a_missing_database_says_how_to_make_one(run: Run, tmp_path: Path, arguments: list[str]) -> None:
    answer = run(*arguments, "--db", tmp_path / "none.duckdb")
    assert (answer.code, answer.out) == (1, "")
    assert answer.sentence.endswith("none.duckdb yet. Make one with: strikeladder init")
    assert list(tmp_path.iterdir()) == []


def test_a_file_that_is_no_database_is_one_sentence(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "club.duckdb"
    path.write_text("player,foot\n", encoding="utf-8")
    answer = run("accuracy", "--db", path)
    assert answer.code == 1
    assert "is not a Strike Ladder database" in answer.sentence


def test_a_folder_is_no_database(run: Run, tmp_path: Path) -> None:
    answer = run("accuracy", "--db", tmp_path)
    assert answer.code == 1
    assert "is a folder, not a database file" in answer.sentence


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--squad", "Reds"], "There is no squad 'Reds'. There is: Quillhaven U12"),
        (["--season", "1999"], "There is no season '1999'. There is: 2025/26"),
        (["--from", "2026-02-01", "--to", "2026-01-01"], "The last day 2026-01-01 is before the first day"),
    ],
    ids=["squad", "season", "dates"],
)
@pytest.mark.parametrize("command", ["accuracy", "gap", "readiness"])
def test_a_request_that_cannot_be_says_what_there_is(
    run: Run, demo_file: Path, command: str, arguments: list[str], words: str
) -> None:
    answer = run(command, *arguments, "--db", demo_file)
    assert answer.code == 1
    assert words in answer.sentence


def test_feet_compared_across_players_are_refused(run: Run, demo_file: Path) -> None:
    answer = run("gap", "--by", "stage", "--db", demo_file)
    assert answer.code == 1
    assert "within one player" in answer.sentence


def test_debug_shows_where_an_error_came_from(tmp_path: Path) -> None:
    with pytest.raises(DatabaseMissing):
        main(["--debug", "accuracy", "--db", str(tmp_path / "none.duckdb")])


def test_debug_may_stand_anywhere(tmp_path: Path) -> None:
    with pytest.raises(DatabaseMissing):
        main(["accuracy", "--db", str(tmp_path / "none.duckdb"), "--debug"])


def test_what_nobody_foresaw_is_still_a_sentence(run: Run, demo_file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object, **__: object) -> None:
        raise ZeroDivisionError("division by zero")

    monkeypatch.setattr(questions, "print_frame", broken)
    answer = run("accuracy", "--db", demo_file)
    assert answer.code == 1
    assert "not foreseen (ZeroDivisionError: division by zero)" in answer.sentence
    assert "--debug" in answer.sentence


@pytest.fixture
def holder(own_demo_file: Path) -> Iterator[subprocess.Popen[str]]:
    """Another process that holds the database until the test is over."""
    code = (
        "import sys\nfrom pathlib import Path\nfrom tracker.store.database import Database\n"
        "database = Database.open(Path(sys.argv[1]))\nprint('open', flush=True)\nsys.stdin.read()"
    )
    command = [sys.executable, "-c", code, str(own_demo_file)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, cwd=ROOT) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == "open\n"
        yield other
        other.communicate()


def test_a_database_held_by_another_process_names_it_with_exit_code_3(
    run: Run, own_demo_file: Path, holder: subprocess.Popen[str], tmp_path: Path
) -> None:
    for arguments in (["accuracy"], ["check"], ["import", tmp_path / "a.csv"], ["export", tmp_path / "b.csv"]):
        answer = run(*arguments, "--db", own_demo_file)
        assert (answer.code, answer.out) == (3, "")
        assert f"in use by process {holder.pid}" in answer.sentence
    assert process("readiness", "--db", own_demo_file).returncode == 3


def test_a_taken_port_is_named(tmp_path: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        answer = process("serve", "--port", port, "--no-browser", "--db", tmp_path / "club.duckdb")
    assert answer.returncode == 1
    assert f"Port {port} is taken by another program" in answer.stderr
    assert "Traceback" not in answer.stderr


def test_the_command_as_a_process_answers_and_fails_in_words(demo_file: Path, tmp_path: Path) -> None:
    right, wrong = process("--help"), process("accuracy", "--db", tmp_path / "none.duckdb")
    assert (right.returncode, right.stderr) == (0, "")
    assert wrong.returncode == 1
    assert wrong.stderr.startswith("strikeladder: There is no database at ")
    assert wrong.stderr.count("\n") == 1


def test_a_reader_that_stops_early_is_no_error(demo_file: Path) -> None:
    read_end, write_end = os.pipe()
    os.close(read_end)
    with os.fdopen(write_end, "w") as closed:
        answer = subprocess.run(
            [*COMMAND, "accuracy", "--format", "json", "--by", "player,practice,stage", "--db", str(demo_file)],
            cwd=ROOT,
            stdout=closed,
            stderr=subprocess.PIPE,
            text=True,
            timeout=60,
        )
    assert answer.stderr == ""
