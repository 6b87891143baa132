"""The commands aim, change, agreement and watch: keys, requests that cannot be, and what a person reads."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from answers import Run

DAY = "2026-05-30"
AIM = {
    *("player", "foot", "attempts", "bias_deg", "bias_low", "bias_high", "spread_deg", "spread_low", "spread_high"),
    *("predicted_rate", "predicted_low", "predicted_high", "case"),
}
CHANGE = {"player", "foot", "start_rate", "end_rate", "change", "low", "high", "practices", "verdict", "note"}
AGREEMENT = {"strikes_compared", "agreement", "kappa", "low", "high", "note"}
WATCH = {"order", "player", "foot", "stage", "reason"}
QUESTIONS = [["aim"], ["change"], ["agreement", DAY], ["watch", DAY]]


@pytest.mark.parametrize(
    ("arguments", "keys", "rows"),
    [
        (["aim"], AIM, 32),
        (["aim", "--by", "player,foot,stage"], {*AIM, "stage"}, 139),
        (["aim", "--target-width", "2", "--distance", "10"], AIM, 32),
        (["change"], CHANGE, 32),
        (["agreement", DAY], AGREEMENT, 1),
        (["watch", DAY], WATCH, 32),
        (["gap", "--by", "player"], {"gap", "low", "high", "raw_gap", "note"}, 14),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, list) else "",
)
def test_json_has_the_promised_keys_and_one_row_each(
    run: Run, demo_file: Path, arguments: list[str], keys: set[str], rows: int
) -> None:
    answer = run(*arguments, "--db", demo_file, "--format", "json")
    assert (answer.code, answer.err, len(answer.rows)) == (0, "", rows)
    for row in answer.rows:
        assert keys <= row.keys()
        assert not any(isinstance(value, dict | list) for value in row.values())


def test_watch_has_these_keys_and_no_more(run: Run, demo_file: Path) -> None:
    rows = run("watch", DAY, "--db", demo_file, "--format", "json").rows
    assert {tuple(row) for row in rows} == {("order", "player", "foot", "stage", "reason")}
    assert [row["order"] for row in rows] == list(range(1, 33))


@pytest.mark.parametrize("arguments", QUESTIONS, ids=lambda value: value[0])
def test_csv_and_json_say_the_same(run: Run, demo_file: Path, arguments: list[str]) -> None:
    rows = run(*arguments, "--db", demo_file, "--format", "json").rows
    table = list(csv.DictReader(io.StringIO(run(*arguments, "--db", demo_file, "--format", "csv").out)))
    assert list(table[0]) == list(rows[0])
    assert len(table) == len(rows)


@pytest.mark.parametrize("arguments", QUESTIONS, ids=lambda value: value[0])
def test_a_table_is_plain_columns(run: Run, demo_file: Path, arguments: list[str]) -> None:
    lines = run(*arguments, "--db", demo_file).out.splitlines()
    assert set(lines[1]) == {"-", " "}
    assert "nan" not in "".join(lines)
    assert "-0 %" not in "".join(lines)


@pytest.mark.parametrize("command", ["aim", "change"])
@pytest.mark.parametrize(("form", "out"), [("table", "Nothing to show yet.\n"), ("json", "[]\n")])
def test_no_strikes_are_still_an_answer(run: Run, club_file: Path, command: str, form: str, out: str) -> None:
    answer = run(command, "--db", club_file, "--format", form)
    assert (answer.code, answer.out) == (0, out)


def test_zoe_s_left_foot_is_clearly_up_and_d_andre_s_only_on_its_own(run: Run, demo_file: Path) -> None:
    rows = {(row["player"], row["foot"]): row for row in run("change", "--db", demo_file, "--format", "json").rows}
    assert rows["Zoë L.", "left"]["verdict"] == "clearly up"
    assert rows["D'Andre W.", "left"]["verdict"] == "no clear change"
    assert rows["D'Andre W.", "left"]["note"].startswith("Clear on its own")


def test_a_narrower_target_is_hit_less_often(run: Run, demo_file: Path) -> None:
    def predicted(width: str) -> list[float]:
        rows = run("aim", "--db", demo_file, "--target-width", width, "--distance", "10", "--format", "json").rows
        return [row["predicted_rate"] for row in rows]

    assert all(narrow <= wide for narrow, wide in zip(predicted("1"), predicted("3"), strict=True))


def test_kappa_and_its_limits_are_numbers_while_agreement_is_a_share(run: Run, club_file: Path, tmp_path: Path) -> None:
    file = tmp_path / "twice.csv"
    rows = [
        f"2026-03-07T18:00:{10 * number + late:02}Z,Ana,left,{outcome},{logger}"
        for logger, late, outcomes in (("Ravi", 0, "1101"), ("Tess", 2, "1100"))
        for number, outcome in enumerate(outcomes)
    ]
    file.write_text("\n".join(["struck_at,player,foot,on_target,logger", *rows]), encoding="utf-8")
    assert run("import", file, "--db", club_file).code == 0
    figures = run("agreement", "2026-03-07", "--db", club_file).out.splitlines()[2].split()
    assert figures[:4] == ["4", "75", "%", "0.5"]
    row = run("agreement", "2026-03-07", "--db", club_file, "--format", "json").rows[0]
    assert (row["strikes_compared"], row["agreement"], row["kappa"]) == (4, 0.75, 0.5)
    assert "not yet trustworthy" in row["note"]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["aim", "--by", "player"], "--by player,foot"),
        (["change", "--by", "foot,stage"], "--by player,foot"),
        (["aim", "--target-width", "2"], "--target-width M and --distance M"),
        (["watch", "2020-01-01"], "There is no practice '2020-01-01'"),
        (["agreement", "soon"], "There is no practice 'soon'"),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, list) else "",
)
def test_a_request_that_cannot_be_is_a_sentence_and_exit_code_1(
    run: Run, demo_file: Path, arguments: list[str], words: str
) -> None:
    answer = run(*arguments, "--db", demo_file)
    assert (answer.code, answer.out) == (1, "")
    assert words in answer.sentence


@pytest.mark.parametrize(
    "arguments",
    [
        ["aim", "--target-width", "0", "--distance", "10"],
        ["aim", "--by", "surface"],
        ["change", "--level", "1"],
        ["watch"],
        ["agreement"],
    ],
    ids=" ".join,
)
def test_wrong_usage_ends_with_exit_code_2(run: Run, demo_file: Path, arguments: list[str]) -> None:
    answer = run(*arguments, "--db", demo_file)
    assert (answer.code, answer.out) == (2, "")
