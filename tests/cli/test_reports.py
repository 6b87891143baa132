"""``report``: every number on paper is the one the other commands give as JSON."""

from __future__ import annotations

import math
import re
from datetime import date
from pathlib import Path
from typing import Any

import pypdf
import pytest
from answers import Run

from tracker.domain.ladder_file import shipped_ladders
from tracker.report.glossary import CLEARER_BELOW
from tracker.report.player_words import how_to_read
from tracker.review import club
from tracker.store.database import Database

SEASON = "2025/26"
NAME = 'Zoë "<b>" O\'Neill #1 \\today 日本 عمر'


def text_of(path: Path) -> str:
    return "\n".join(page.extract_text() for page in pypdf.PdfReader(path).pages)


def of(rate: float, many: int) -> int:
    """A rate as so many of a number, halves up."""
    return math.floor(many * rate + 0.5)


def numbers(text: str) -> set[str]:
    return set(re.findall(r"\d+(?:[.,]\d+)*", text))


def answers_about(run: Run, file: Path, command: str, *options: str) -> dict[str, list[dict[str, Any]]]:
    rows = run(command, "--db", file, "--format", "json", "--season", SEASON, *options).rows
    by_player: dict[str, list[dict[str, Any]]] = {}
    for row in rows:
        by_player.setdefault(row["player"], []).append(row)
    return by_player


def test_every_number_on_paper_is_the_one_the_commands_give(run: Run, own_demo_file: Path, tmp_path: Path) -> None:
    file = own_demo_file
    assert run("report", "--db", file, "--out", tmp_path / "out").code == 0
    rates, changes, boards = (answers_about(run, file, one) for one in ("accuracy", "change", "readiness"))
    assert len(rates) == 16
    for name, feet in rates.items():
        (path,) = (tmp_path / "out").glob(f"{name.rstrip('.')}*.pdf")
        said = text_of(path)
        expected = {
            f"{row['on_target']} of {row['attempts']} strikes on target, in {row['practices']} practices."
            for row in feet
        }
        total = sum(row["attempts"] for row in feet)
        expected.add(f"You came to {max(row['practices'] for row in feet)} practices and took {total:,} strikes")
        is_few = max(row["attempts"] for row in feet) < CLEARER_BELOW
        for row in [] if is_few else changes[name]:
            for end, label in (("start", "Start"), ("end", "Now")):
                rate, low, high = (of(row[f"{end}_{part}"], 20) for part in ("rate", "low", "high"))
                expected.add(f"{label}: {rate} of 20 (likely {low} to {high})")
        for row in (one for one in boards[name] if one["is_current"]):
            expected.add(f"stage {row['stage_position']} of 7, {row['stage']}.")
        here = {row["foot"]: row["stage_position"] for row in boards[name] if row["is_current"]}
        days = {
            row["became_ready_at"][:10]
            for row in boards[name]
            if row["became_ready_at"]
            and row["stage_position"] <= here[row["foot"]]
            and (row["is_current"] or row["is_passed"])
        }
        missing = [one for one in expected if "".join(one.split()) not in "".join(said.split())]
        assert missing == [], name
        allowed = numbers(" ".join(how_to_read(is_enough=not is_few)))
        allowed |= {number for one in expected for number in numbers(one)}
        allowed |= {str(number) for number in range(1, 32)}  # days of the month; how many stages were passed
        allowed |= numbers(f"{path.stem} {SEASON} U12") | {"2025", "2026"}
        allowed |= {number for ladder in shipped_ladders()[1:2] for one in ladder.stages for number in _lengths(one)}
        assert numbers(said) - allowed == set(), name
        for day in days:
            written = date.fromisoformat(day)
            assert f"{written.day} {written:%B %Y}" in " ".join(said.split())


def _lengths(stage: Any) -> set[str]:
    metres = (stage.distance_m, stage.target.width_m, stage.target.height_m or 1.0)
    return {f"{round(one / 0.9144, 1):g}" for one in metres}


def test_a_name_that_looks_like_markup_stands_in_page_file_and_answer(
    run: Run, club_file: Path, tmp_path: Path
) -> None:
    rows = "date,player,foot,attempts,on_target\n" + f'2026-03-07,"{NAME.replace(chr(34), chr(34) * 2)}",left,20,14\n'
    (tmp_path / "t.csv").write_text(rows, encoding="utf-8")
    assert run("import", tmp_path / "t.csv", "--db", club_file, "--create-players").code == 0
    answer = run("report", "--db", club_file, "--player", NAME, "--out", tmp_path / "out", "--html")
    assert answer.code == 0, answer.err
    stem = "Zoë _b_ O'Neill #1 _today 日本 عمر"
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == [f"{stem}.html", f"{stem}.pdf"]
    assert NAME in text_of(tmp_path / "out" / f"{stem}.pdf").splitlines()
    assert (
        "Zoë &quot;&lt;b&gt;&quot; O&#x27;Neill #1 \\today 日本 عمر</h1>"
        in (tmp_path / "out" / f"{stem}.html").read_text()
    )


def test_a_file_in_the_way_is_named_and_nothing_is_written(run: Run, club_file: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (out / "Ben.pdf").write_text("mine")
    answer = run("report", "--db", club_file, "--out", out)
    assert answer.code == 1
    assert "Ben.pdf is there already" in answer.err
    assert [path.name for path in out.iterdir()] == ["Ben.pdf"]


@pytest.mark.parametrize("option", [("--player", "Nobody"), ("--season", "1999/00"), ("--squad", "Nobody")])
def test_what_is_not_there_is_said(run: Run, club_file: Path, tmp_path: Path, option: tuple[str, str]) -> None:
    answer = run("report", "--db", club_file, "--out", tmp_path / "out", *option)
    assert answer.code == 1
    assert option[1] in answer.sentence
    assert not (tmp_path / "out").exists()


def test_a_sheet_is_written_and_written_again_but_over_nothing_else(run: Run, club_file: Path, tmp_path: Path) -> None:
    out = tmp_path / "sheets" / "saturday.pdf"
    arguments = ("sheet", "--db", club_file, "--practice", "2026-03-07", "--out", out)
    assert run(*arguments).out.strip() == str(out)
    assert run(*arguments, "--paper", "us-letter").code == 0
    said = text_of(out)
    assert "7 March 2026" in said
    assert "Ana" in said
    assert run("sheet", "--db", club_file, "--practice", "2026-03-14", "--out", out).code == 1
    assert text_of(out) == said


def test_a_name_that_our_fonts_lack_letters_for_is_warned_of_and_printed_all_the_same(
    run: Run, club_file: Path, tmp_path: Path
) -> None:
    with Database.open(club_file) as database:
        squad = club.squads(database)[0]
        club.add_player(database, squad, display_name="⚽ Cem")
        club.make_season(database, name="2026", starts_on=date(2026, 1, 1), ends_on=date(2026, 12, 31))
    answer = run("report", "--db", club_file, "--out", tmp_path / "out")
    assert answer.code == 0
    assert "⚽ Cem: our fonts have no letter for ⚽" in answer.err
    assert (tmp_path / "out" / "⚽ Cem.pdf").exists()
