"""What other programs rely on: commands, options, JSON keys, formats and exit codes."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import click
import pytest
from answers import Run
from statsmodels.stats.proportion import proportion_confint

from tracker.cli.main import strikeladder
from tracker.domain.vocabulary import IntervalMethod, ReadinessStatus
from tracker.review.demonstration import demo_folder

COMMANDS = [
    *("init", "demo", "serve", "import", "export", "accuracy", "gap", "readiness", "correct", "place", "check"),
    *("ladder show", "ladder check", "ladder use"),
]
ANSWERING = ["accuracy", "gap", "readiness"]
RATES = {"attempts", "on_target", "rate", "low", "high", "level", "method", "practices", "effective_attempts"}


def every_command(group: click.Group = strikeladder, above: str = "") -> list[str]:
    names = []
    for name, command in group.commands.items():
        names.append(f"{above}{name}")
        if isinstance(command, click.Group):
            names.extend(every_command(command, f"{above}{name} "))
    return names


def test_the_commands_promised_are_there() -> None:
    assert set(COMMANDS) <= set(every_command())


@pytest.mark.parametrize("command", ["", *every_command()])
@pytest.mark.parametrize("flag", ["--help", "-h"])
def test_every_command_explains_itself_and_each_of_its_options(run: Run, command: str, flag: str) -> None:
    answer = run(*command.split(), flag)
    assert answer.code == 0
    assert answer.out.startswith(f"Usage: strikeladder {command}".rstrip())
    context = click.Context(strikeladder)
    found: click.Command = strikeladder
    for name in command.split():
        assert isinstance(found, click.Group)
        found = found.commands[name]
    assert found.get_short_help_str(), command
    for option in (one for one in found.get_params(context) if isinstance(one, click.Option)):
        assert option.help, f"{command} {option.opts}"
        assert option.opts[0] in answer.out


@pytest.mark.parametrize("command", ANSWERING)
def test_every_question_takes_the_options_all_questions_take(run: Run, command: str) -> None:
    text = run(command, "--help").out
    for option in ("--format [table|json|csv]", "--db", "--squad", "--season", "--from", "--to", "STRIKELADDER_DB"):
        assert option in text


@pytest.mark.parametrize(
    ("arguments", "keys"),
    [
        (["accuracy"], {"player", "foot", *RATES}),
        (["accuracy", "--by", "stage"], {"stage", *RATES}),
        (
            ["accuracy", "--by", "player,foot,stage,surface,distance,month,practice"],
            {"player", "foot", "stage", "surface", "distance", "month", "practice", *RATES},
        ),
        (
            ["gap"],
            {"player", "stage", "preferred_foot", "preferred_rate", "other_rate", "gap", "low", "high"}
            | {"preferred_attempts", "other_attempts"},
        ),
        (
            ["readiness"],
            {"player", "foot", "stage", "status", "score", "ready_line", "attempts", "practices", "false_ready_risk"}
            | {"horizon", "expected_strikes_to_ready", "became_ready_at", "reason"},
        ),
        (["check"], {"check", "faults", "looks_for"}),
        (["ladder", "show"], {"stage", "angular_width_deg", "distance_m", "p_not_yet", "p_ready"}),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, list) else "",
)
def test_json_is_an_array_of_flat_objects_with_the_promised_keys(
    run: Run, demo_file: Path, arguments: list[str], keys: set[str]
) -> None:
    answer = run(*arguments, "--db", demo_file, "--format", "json")
    assert (answer.code, answer.err) == (0, "")
    assert answer.rows
    for row in answer.rows:
        assert keys <= row.keys()
        assert not any(isinstance(value, dict | list) for value in row.values())


@pytest.mark.parametrize("arguments", [["accuracy"], ["gap", "--by", "player"], ["readiness"]], ids=lambda one: one[0])
def test_csv_and_json_say_the_same(run: Run, demo_file: Path, arguments: list[str]) -> None:
    rows = run(*arguments, "--db", demo_file, "--format", "json").rows
    table = list(csv.DictReader(io.StringIO(run(*arguments, "--db", demo_file, "--format", "csv").out)))
    assert list(table[0]) == list(rows[0])
    assert [row["player"] for row in table] == [row["player"] for row in rows]
    number = next(name for name, value in rows[0].items() if isinstance(value, float))
    assert [float(row[number]) for row in table] == [row[number] for row in rows]


@pytest.mark.parametrize("command", ["accuracy", "gap", "readiness"])
def test_a_table_has_a_heading_and_a_line_a_row(run: Run, demo_file: Path, command: str) -> None:
    lines = run(command, "--db", demo_file).out.splitlines()
    assert lines[0].startswith("player")
    assert set(lines[1]) == {"-", " "}
    assert len(lines) == 2 + len(run(command, "--db", demo_file, "--format", "json").rows)


@pytest.mark.parametrize("command", ["accuracy", "gap", "readiness"])
@pytest.mark.parametrize(("form", "out"), [("table", "Nothing to show yet.\n"), ("json", "[]\n")])
def test_no_rows_are_still_an_answer(run: Run, club_file: Path, command: str, form: str, out: str) -> None:
    answer = run(command, "--db", club_file, "--format", form)
    assert (answer.code, answer.out) == (0, out)


def test_wilson_limits_of_independent_strikes_are_those_of_statsmodels(run: Run, demo_file: Path) -> None:
    answer = run("accuracy", "--db", demo_file, "--by", "player,foot", "--no-cluster", "--format", "json")
    assert len(answer.rows) == 32
    for row in answer.rows:
        low, high = proportion_confint(row["on_target"], row["attempts"], method="wilson")
        assert (row["low"], row["high"]) == pytest.approx((low, high), abs=1e-9)
        assert row["rate"] == row["on_target"] / row["attempts"]


@pytest.mark.parametrize("method", [one.value for one in IntervalMethod])
def test_every_method_of_interval_can_be_named(run: Run, demo_file: Path, method: str) -> None:
    answer = run("accuracy", "--db", demo_file, "--method", method, "--level", "0.8", "--format", "json")
    assert {(row["method"], row["level"]) for row in answer.rows} == {(method, 0.8)}


def test_the_ready_line_of_independent_strikes_is_about_four(run: Run, demo_file: Path) -> None:
    answer = run("readiness", "--db", demo_file, "--no-cluster", "--format", "json")
    gate = [row for row in answer.rows if row["stage"] == "Still ball through a gate"]  # 0.60 not yet, 0.80 ready
    assert len(gate) > 20
    for row in gate:
        assert 3.9 <= row["ready_line"] <= 4.3
        assert row["false_ready_risk"] <= 0.10
        assert row["horizon"] == 100


def test_every_standing_has_a_reason_in_words(run: Run, demo_file: Path) -> None:
    rows = run("readiness", "--db", demo_file, "--format", "json").rows
    assert {row["status"] for row in rows} == {status.value for status in ReadinessStatus}
    for row in rows:
        begins = "Too few strikes" if row["status"] == "gathering" else row["status"].capitalize()
        assert row["reason"].startswith((begins, *(["Passed:"] if row["is_passed"] else [])))
        assert row["reason"].endswith(".")
        assert len(row["reason"].split()) >= 5


def test_one_player_can_be_asked_about(run: Run, demo_file: Path) -> None:
    rows = run("readiness", "--db", demo_file, "--player", "zoë l.", "--format", "json").rows
    assert {row["player"] for row in rows} == {"Zoë L."}


def test_dates_and_seasons_cut_what_is_asked(run: Run, demo_file: Path) -> None:
    def attempts(*options: str) -> int:
        rows = run("accuracy", "--db", demo_file, "--format", "json", *options).rows
        return sum(row["attempts"] for row in rows)

    season, spring = attempts("--season", "2025/26"), attempts("--from", "2026-03-01")
    autumn = attempts("--to", "2026-02-28")
    assert attempts() == season == spring + autumn
    assert min(spring, autumn) > 0


def test_the_database_may_stand_in_the_environment(run: Run, demo_file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("STRIKELADDER_DB", str(demo_file))
    assert len(run("accuracy", "--format", "json").rows) == 32


def test_the_database_is_in_the_user_s_data_folder_otherwise(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    monkeypatch.setenv("HOME", str(tmp_path))
    assert run("init").code == 0
    assert [one.name for one in tmp_path.rglob("*.duckdb")] == ["strikes.duckdb"]


@pytest.mark.parametrize(
    "arguments",
    [
        ["accuracy", "--by", "player,shoe"],
        ["accuracy", "--by", ","],
        ["accuracy", "--level", "95"],
        ["accuracy", "--method", "wald"],
        ["accuracy", "--from", "yesterday"],
        ["accuracy", "--format", "xml"],
        ["gap", "--by", "foot"],
        ["correct", "not-an-id", "--why", "typo"],
        ["correct", "0198b0c4-7c1e-7d3a-9f00-5a1b2c3d4e5f"],
        ["place", "Ana", "--foot", "middle", "--stage", "Rolling ball"],
        ["import"],
        ["import", "a.csv", "--map", "player"],
        ["export", "a.csv", "--what", "goals"],
        ["serve", "--port", "99999"],
        ["score"],
    ],
    ids=" ".join,
)
def test_wrong_usage_ends_with_exit_code_2(run: Run, demo_file: Path, arguments: list[str]) -> None:
    answer = run(*arguments)
    assert answer.code == 2
    assert "Usage: strikeladder" in answer.err
    assert answer.out == ""


def test_the_version_is_told(run: Run) -> None:
    assert run("--version").out.startswith("strikeladder, version ")


def test_the_demo_folder_imports_by_the_command(run: Run, tmp_path: Path) -> None:
    file = tmp_path / "club.duckdb"
    answer = run("import", demo_folder() / "strikes.csv", "--db", file)
    assert (answer.code, answer.rows["stored"]) == (0, 20808)
    assert run("import", demo_folder(), "--db", file).rows == {
        "read": 20808,
        "stored": 0,
        "already_there": 20808,
        "rejected": 0,
        "rejects_file": None,
    }
    assert run("check", "--db", file).code == 0
