"""The command that plans a practice, for a squad and for a number of players."""

from __future__ import annotations

from pathlib import Path

import pytest
from answers import Run

from tracker.plan.kept_plan import kept_plan
from tracker.review import club, logbook
from tracker.store.database import Database

KEYS = {"stage", "minutes", "players", "distance_m", "target_width_m", "sets", "equipment", "cautions"}


def test_a_squads_plan_fills_the_time_from_warm_up_to_game(run: Run, demo_file: Path) -> None:
    rows = run("plan", "--minutes", 75, "--date", "2026-05-30", "--db", demo_file, "--format", "json").rows
    assert set(rows[0]) >= KEYS
    assert (rows[0]["stage"], rows[-1]["stage"]) == ("warm-up", "game")
    assert all(row["players"] <= 16 for row in rows)


def test_the_table_ends_with_the_cautions(run: Run, demo_file: Path) -> None:
    told = run("plan", "--minutes", 60, "--db", demo_file).out
    for word in ("Warm up first", "Anchor every goal", "Pain means stop"):
        assert word in told


def test_only_those_who_are_there_are_planned_for(run: Run, demo_file: Path) -> None:
    present = ["Amara N.", "Bjørn S.", "Chidi O.", "Zoë L."]
    named = [part for name in present for part in ("--present", name)]
    rows = run("plan", "--minutes", 60, *named, "--db", demo_file, "--format", "json").rows
    assert rows[0]["players"] == 4


def test_players_of_whom_nothing_is_known_start_at_the_first_stage(run: Run) -> None:
    rows = run("plan", "--minutes", 60, "--players", 12, "--age", "U10", "--format", "json").rows
    assert {row["stage"] for row in rows} == {"warm-up", "Served volley", "game"}


@pytest.mark.parametrize(
    ("arguments", "word"),
    [
        (["--minutes", 20, "--players", 12, "--age", "U10"], "20 minutes"),
        (["--minutes", 60, "--players", 40, "--age", "U10"], "40 players"),
        (["--minutes", 60, "--players", 10, "--age", "U99"], "U99"),
    ],
)
def test_what_cannot_be_planned_is_said_in_a_sentence(run: Run, arguments: list[object], word: str) -> None:
    answer = run("plan", *arguments)
    assert answer.code == 1
    assert word in answer.sentence


def test_a_player_who_is_not_in_the_squad_is_named(run: Run, demo_file: Path) -> None:
    answer = run("plan", "--minutes", 60, "--present", "Nobody", "--db", demo_file)
    assert (answer.code, "Nobody" in answer.sentence) == (1, True)


@pytest.mark.parametrize(
    "arguments",
    [
        ["--players", 12],
        ["--age", "U12"],
        ["--federation", "us-soccer"],
        ["--players", 12, "--age", "U12", "--save"],
    ],
    ids=["players without age", "age alone", "federation without age", "no squad to save for"],
)
def test_what_goes_together_is_asked_for_together(run: Run, arguments: list[object]) -> None:
    assert run("plan", "--minutes", 60, *arguments).code == 2


def test_a_federation_brings_its_heading_rule_and_equipment_its_limits(run: Run) -> None:
    told = run("plan", "--minutes", 60, "--players", 12, "--age", "U10", "--federation", "us-soccer").out
    assert "US Soccer, U10" in told
    answer = run("plan", "--minutes", 60, "--players", 12, "--age", "U10", "--balls", 0)
    assert (answer.code, "no ball" in answer.sentence) == (1, True)
    alone = run("plan", "--minutes", 60, "--players", 4, "--age", "U10", "--cones", 8, "--gates", 0)
    assert alone.code == 0


def test_a_federation_without_numbers_for_an_age_is_named(run: Run) -> None:
    answer = run("plan", "--minutes", 60, "--players", 12, "--age", "U16", "--federation", "canada-soccer")
    assert (answer.code, "U16" in answer.sentence) == (1, True)


def test_a_plan_is_saved_for_the_practice_of_its_day(run: Run, own_demo_file: Path) -> None:
    answer = run("plan", "--minutes", 60, "--date", "2026-06-04", "--save", "--db", own_demo_file)
    assert answer.code == 0
    assert "Kept for the practice of 2026-06-04." in answer.err
    with Database.open(own_demo_file) as database:
        (squad,) = club.squads(database)
        (practice, *_) = logbook.practices(database, squad)
        kept = kept_plan(database, squad, practice)
    assert (str(practice.held_on), kept and kept.document.plan.minutes) == ("2026-06-04", 60)


def test_the_sheet_is_written_beside_the_plan(run: Run, demo_file: Path, tmp_path: Path) -> None:
    own, other = tmp_path / "squad.pdf", tmp_path / "players.pdf"
    answer = run(
        *("plan", "--minutes", 60, "--date", "2026-06-04", "--sheet", own, "--db", demo_file, "--format", "json")
    )
    assert answer.rows[0]["stage"] == "warm-up"
    assert run("plan", "--minutes", 60, "--players", 8, "--age", "U12", "--sheet", other).code == 0
    assert [path.read_bytes()[:5] for path in (own, other)] == [b"%PDF-", b"%PDF-"]
