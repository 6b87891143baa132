"""The commands that put records in and out: init, import, export, correct, place, ladder, check."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import duckdb
import polars as pl
import pytest
from answers import Run
from builders import csv_file, strike_row

from tracker.domain.ladder_file import shipped_ladder_text
from tracker.store.database import Database

NOTHING = {"read": 2, "stored": 0, "already_there": 0, "rejected": 1}


def attempts(run: Run, file: Path) -> dict[tuple[str, str], int]:
    rows = run("accuracy", "--db", file, "--format", "json").rows
    return {(row["player"], row["foot"]): row["attempts"] for row in rows}


def strike_ids(file: Path) -> list[str]:
    with Database.open(file) as database:
        return database.query("export_strikes", with_voided=True, squad_id=None, first_day=None, last_day=None)[
            "strike_id"
        ].to_list()


def test_init_makes_a_squad_a_season_and_a_ladder(run: Run, tmp_path: Path) -> None:
    file = tmp_path / "new" / "club.duckdb"
    answer = run("init", "--db", file, "--squad", "Reds", "--ladder", "U8–U10")
    assert answer.code == 0
    assert "squad Reds" in answer.out
    assert "0 players" in answer.out
    stages = run("ladder", "show", "--db", file, "--format", "json").rows
    assert len(stages) == 7
    with Database.open(file) as database:
        season = database.query("list_seasons").row(0, named=True)
    assert season["starts_on"] <= datetime.now().astimezone().date() <= season["ends_on"]


def test_init_leaves_a_squad_that_is_there_alone(run: Run, club_file: Path) -> None:
    answer = run("init", "--db", club_file, "--squad", "Reds")
    assert answer.code == 1
    assert "holds a squad already. Nothing was changed" in answer.sentence


@pytest.mark.parametrize("players", ["player,birth_year\nAna,12\n", "name\nAna\n", ""])
def test_init_with_a_wrong_file_of_players_makes_nothing(run: Run, tmp_path: Path, players: str) -> None:
    (tmp_path / "players.csv").write_text(players, encoding="utf-8")
    answer = run("init", "--db", tmp_path / "club.duckdb", "--players", tmp_path / "players.csv")
    assert answer.code == 1
    assert "Traceback" not in answer.err
    assert not (tmp_path / "club.duckdb").exists()


def test_import_counts_what_it_did_and_the_second_time_does_nothing(run: Run, club_file: Path, tmp_path: Path) -> None:
    path = csv_file(tmp_path / "strikes.csv", [strike_row(), strike_row(foot="right")])
    first, again = run("import", path, "--db", club_file), run("import", path, "--db", club_file)
    assert first.rows == {"read": 2, "stored": 2, "already_there": 0, "rejected": 0, "rejects_file": None}
    assert again.rows == {"read": 2, "stored": 0, "already_there": 2, "rejected": 0, "rejects_file": None}
    assert attempts(run, club_file) == {("Ana", "left"): 1, ("Ana", "right"): 1}


def test_import_makes_a_database_where_there_is_none(run: Run, tmp_path: Path) -> None:
    path = csv_file(tmp_path / "strikes.csv", [strike_row(), strike_row()])
    for stored in (2, 0):
        assert run("import", path, "--db", tmp_path / "new.duckdb").rows["stored"] == stored


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"foot": "middle"}, 'line 3: foot is "middle": must be left or right'),
        ({"struck_at": f"{datetime.now(UTC).year + 2}-01-01T10:00:00Z"}, "that is in the future"),
        ({"player": "Mia"}, "no such player in this squad; check the name, or import with --create-players"),
        ({"outcome": "12"}, "must be on, off or blocked"),
    ],
    ids=["foot", "future", "player", "outcome"],
)
def test_a_wrong_row_is_explained_and_nothing_is_stored(
    run: Run, club_file: Path, tmp_path: Path, wrong: dict[str, str], words: str
) -> None:
    path = csv_file(tmp_path / "strikes.csv", [strike_row(), strike_row(**wrong)])
    answer = run("import", path, "--db", club_file)
    assert answer.code == 1
    assert answer.rows == NOTHING | {"rejects_file": str(tmp_path / "strikes.rejects.csv")}
    assert words in answer.err
    assert "nothing was stored" in answer.err
    assert "Traceback" not in answer.err
    assert attempts(run, club_file) == {}
    rejects = pl.read_csv(tmp_path / "strikes.rejects.csv")
    assert (rejects.columns, rejects["line"].to_list()) == (["line", "column", "value", "why"], [3])


def test_twelve_of_ten_is_refused(run: Run, club_file: Path, tmp_path: Path) -> None:
    row = {"date": "2026-03-07", "player": "Ana", "foot": "left", "attempts": 10, "on_target": 12}
    answer = run("import", csv_file(tmp_path / "tallies.csv", [row]), "--db", club_file)
    assert answer.code == 1
    assert "on_target is 12 of 10 attempts" in answer.err
    assert attempts(run, club_file) == {}


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (None, "there is no such file"),
        (b"\x00\x01\x02\x03", "holds a zero byte, so this is not UTF-8 text"),
        (b"\x89PNG\r\n\x1a\n\xff", "is not UTF-8 text"),
        (b"name,side\nAna,left\n", 'no column "player"'),
        (b"", "is empty"),
    ],
    ids=["missing", "binary", "picture", "wrong header", "empty"],
)
def test_a_file_that_cannot_be_read_is_one_sentence(
    run: Run, club_file: Path, tmp_path: Path, content: bytes | None, words: str
) -> None:
    path = tmp_path / "strikes.csv"
    if content is not None:
        path.write_bytes(content)
    answer = run("import", path, "--db", club_file)
    assert (answer.code, answer.out) == (1, "")
    assert words in answer.sentence
    assert attempts(run, club_file) == {}


def test_import_can_map_columns_make_players_skip_bad_rows_and_only_try(
    run: Run, club_file: Path, tmp_path: Path
) -> None:
    rows = [strike_row(player="Mia"), strike_row(foot="middle"), strike_row()]
    path = csv_file(
        tmp_path / "strikes.csv", [{("Spieler" if k == "player" else k): v for k, v in r.items()} for r in rows]
    )
    options = ["--map", "Spieler=player", "--create-players", "--skip-bad-rows", "--db", club_file]
    tried = run("import", path, "--dry-run", *options)
    assert (tried.code, tried.rows["stored"], attempts(run, club_file)) == (0, 2, {})
    assert "dry run" in tried.err
    answer = run("import", path, *options)
    assert (answer.code, answer.rows["stored"], answer.rows["rejected"]) == (0, 2, 1)
    assert "1 new players made: Mia" in answer.err
    assert attempts(run, club_file) == {("Ana", "left"): 1, ("Mia", "left"): 1}


def test_a_folder_is_imported_whole_or_not_at_all(run: Run, club_file: Path, tmp_path: Path) -> None:
    answer = run("import", tmp_path, "--dry-run", "--db", club_file)
    assert answer.code == 1
    assert "whole or not at all" in answer.sentence


@pytest.mark.parametrize("name", ['=HYPERLINK("x")', "<script>"])
def test_a_name_that_looks_like_code_is_stored_shown_exported_and_read_back_as_text(
    run: Run, club_file: Path, tmp_path: Path, name: str
) -> None:
    path = csv_file(tmp_path / "strikes.csv", [strike_row(player=name, stage="Rolling ball")])
    assert run("import", path, "--create-players", "--db", club_file).rows["stored"] == 1
    assert attempts(run, club_file) == {(name, "left"): 1}
    assert name in run("accuracy", "--db", club_file).out
    exported = tmp_path / "out.csv"
    assert run("export", exported, "--db", club_file).out == f"{exported}\n"
    for text in (exported.read_text(encoding="utf-8"), run("accuracy", "--db", club_file, "--format", "csv").out):
        cells = text.replace('"', "").replace("\n", ",").split(",")
        assert not any(cell.startswith("=") for cell in cells)
    assert run("import", exported, "--db", tmp_path / "other.duckdb").code == 0
    assert attempts(run, tmp_path / "other.duckdb") == {(name, "left"): 1}


def test_a_name_cannot_steer_the_terminal(run: Run, club_file: Path, tmp_path: Path) -> None:
    run("import", csv_file(tmp_path / "strikes.csv", [strike_row()]), "--db", club_file)
    with Database.open(club_file) as database:
        database._connection.execute("update player set display_name = 'Ana' || chr(27) || '[2J'").fetchall()
    assert "Ana?[2J" in run("accuracy", "--db", club_file).out


@pytest.mark.parametrize("what", ["strikes", "tallies"])
@pytest.mark.parametrize("ending", ["csv", "parquet"])
def test_an_export_can_be_imported_elsewhere(run: Run, demo_file: Path, tmp_path: Path, what: str, ending: str) -> None:
    path = tmp_path / f"out.{ending}"
    assert run("export", path, "--what", what, "--to", "2025-09-20", "--db", demo_file).code == 0
    answer = run("import", path, "--db", tmp_path / "other.duckdb")
    assert answer.code == 0, answer.err
    rows = [
        run("accuracy", "--by", "player,foot,stage", "--format", "json", "--to", "2025-09-20", "--db", file).rows
        for file in (demo_file, tmp_path / "other.duckdb")
    ]
    assert len(rows[0]) > 50
    key = ("player", "foot", "stage", "attempts", "on_target")
    assert sorted(map(str, ([row[k] for k in key] for row in rows[0]))) == sorted(
        map(str, ([row[k] for k in key] for row in rows[1]))
    )


def test_everything_exported_and_imported_answers_the_same(run: Run, demo_file: Path, tmp_path: Path) -> None:
    folder, other = tmp_path / "all", tmp_path / "other.duckdb"
    assert len(run("export", folder, "--what", "all", "--db", demo_file).out.splitlines()) >= 6
    assert run("import", folder, "--db", other).rows["stored"] == 20808
    for question in (["accuracy"], ["readiness"], ["gap"], ["accuracy", "--by", "practice,surface,distance"]):
        there, back = (run(*question, "--format", "json", "--db", file).out for file in (demo_file, other))
        assert there == back
        assert len(there) > 1000


def test_a_strike_corrected_no_longer_counts(run: Run, club_file: Path, tmp_path: Path) -> None:
    run("import", csv_file(tmp_path / "strikes.csv", [strike_row(), strike_row()]), "--db", club_file)
    strike = strike_ids(club_file)[0]
    first = run("correct", strike, "--why", "ball moved", "--by", "Tess", "--db", club_file)
    again = run("correct", strike, "--why", "ball moved", "--db", club_file)
    assert (first.code, first.out) == (0, f"Strike {strike} no longer counts.\n")
    assert (again.code, again.out) == (0, f"Strike {strike} was void already.\n")
    assert attempts(run, club_file) == {("Ana", "left"): 1}


def test_a_strike_that_is_not_there_cannot_be_corrected(run: Run, club_file: Path) -> None:
    answer = run("correct", "0198b0c4-7c1e-7d3a-9f00-5a1b2c3d4e5f", "--why", "typo", "--db", club_file)
    assert answer.code == 1
    assert answer.sentence == "There is no strike 0198b0c4-7c1e-7d3a-9f00-5a1b2c3d4e5f. Nothing was changed."


def test_a_player_is_placed_at_a_stage(run: Run, club_file: Path) -> None:
    answer = run("place", "ana", "--foot", "left", "--stage", "rolling ball", "--note", "calm", "--db", club_file)
    assert (answer.code, answer.out) == (0, "Ana, left foot: Rolling ball from now on.\n")
    (row,) = run("readiness", "--db", club_file, "--format", "json").rows
    assert (row["player"], row["stage"], row["status"], row["attempts"]) == ("Ana", "Rolling ball", "gathering", 0)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["Mia", "--foot", "left", "--stage", "Rolling ball"], "There is no player 'Mia'. There is: Ana, Ben"),
        (["Ana", "--foot", "left", "--stage", "Penalty"], "There is no stage 'Penalty'. There is: Served volley"),
        (["Ana", "--foot", "left", "--stage", "Rolling ball", "--squad", "Reds"], "There is no squad 'Reds'"),
    ],
    ids=["player", "stage", "squad"],
)
def test_a_placement_that_cannot_be_says_what_there_is(
    run: Run, club_file: Path, arguments: list[str], words: str
) -> None:
    answer = run("place", *arguments, "--db", club_file)
    assert answer.code == 1
    assert words in answer.sentence


def test_a_ladder_file_is_checked_and_put_in_use(run: Run, club_file: Path, tmp_path: Path) -> None:
    file = tmp_path / "own.toml"
    file.write_text(shipped_ladder_text("U13–U18").replace('name = "U13–U18"', 'name = "Our own"', 1), encoding="utf-8")
    assert run("ladder", "check", file).out == f"{file} works: ladder Our own, 7 stages.\n"
    assert "now works on ladder Our own" in run("ladder", "use", file, "--db", club_file).out
    own = run("ladder", "show", "--db", club_file, "--format", "json").rows
    assert own == run("ladder", "show", "--shipped", "U13-U18", "--format", "json").rows


@pytest.mark.parametrize("command", ["check", "use"])
def test_a_ladder_that_breaks_a_rule_is_named_by_file_stage_and_field(
    run: Run, club_file: Path, tmp_path: Path, command: str
) -> None:
    file = tmp_path / "own.toml"
    file.write_text(shipped_ladder_text("U11–U12").replace("p_ready = 0.80", "p_ready = 0.20"), encoding="utf-8")
    answer = run("ladder", command, file, *(["--db", club_file] if command == "use" else []))
    assert answer.code == 1
    for words in (str(file), "Still ball through a gate", "p_ready", "must be above p_not_yet"):
        assert words in answer.sentence
    assert len(run("ladder", "show", "--db", club_file, "--format", "json").rows) == 7


def test_a_ladder_that_does_not_ship_is_answered_with_those_that_do(run: Run) -> None:
    answer = run("ladder", "show", "--shipped", "U99")
    assert answer.code == 1
    assert "U8–U10, U11–U12, U13–U18" in answer.sentence


def test_check_finds_what_should_not_be_there(run: Run, club_file: Path, tmp_path: Path) -> None:
    run("import", csv_file(tmp_path / "strikes.csv", [strike_row()]), "--db", club_file)
    assert run("check", "--db", club_file).code == 0
    with duckdb.connect(club_file) as connection:
        connection.execute("delete from player where display_name = 'Ana'")
    answer = run("check", "--db", club_file, "--format", "json")
    assert answer.code == 1
    assert sum(row["faults"] for row in answer.rows) == 1
    assert "things that should not be there" in answer.sentence


def test_a_practice_today_can_be_imported_and_tomorrow_s_cannot_be_later(
    run: Run, club_file: Path, tmp_path: Path
) -> None:
    today = datetime.now().astimezone().date()
    row = {"player": "Ana", "foot": "left", "on_target": "yes"}
    good = csv_file(tmp_path / "today.csv", [row | {"date": today}])
    bad = csv_file(tmp_path / "later.csv", [row | {"date": today + timedelta(days=7)}])
    assert run("import", good, "--db", club_file).code == 0
    assert run("import", bad, "--db", club_file).code == 1
    assert attempts(run, club_file) == {("Ana", "left"): 1}
