"""Names are data wherever they come in and go out: no formula, no markup, and the same when read back."""

from __future__ import annotations

import csv
import logging
from collections.abc import Callable
from datetime import date
from pathlib import Path

import polars as pl
import pytest
from builders import SquadBuilder
from hypothesis import given
from hypothesis import strategies as st

from tests.hostile.materials import ODD_TEXTS
from tracker.domain.squad import checked_name
from tracker.domain.vocabulary import ExportWhat, Foot
from tracker.errors import RequestError, TrackerError
from tracker.intake.club_files import parse_players
from tracker.intake.table_file import table_from_bytes
from tracker.intake.table_out import csv_text
from tracker.report.printed.files import safe_stem
from tracker.review import club, decisions
from tracker.review.archive import import_archive
from tracker.review.exchange import export_file, import_file
from tracker.review.hand_over import hand_over
from tracker.review.logbook import correct
from tracker.review.scope import Scope
from tracker.review.take_over import take_over
from tracker.store.database import Database

FORMULAS = [
    "=1+1",
    "@x",
    "-3",
    "+3",
    "'=1",
    "''=1",
    "＝1+1",
    "＋1",
    "－1",
    "＠x",
    '=HYPERLINK("http://x.example";"y")',
    "=a|b!c",
]
MARKUP = [
    "<img src=x onerror=alert(1)>",
    "</script><script>alert(1)</script>",
    "#set page()",
    "${7*7}",
    "a;=1+1",
    'a"b',
    "'; drop",
]
SCRIPTS = ["שרה כהן", "عمر بن علی", "علی\u200cرضا", "李 小龙", "Zoë", "Łucja", "नीहारिका", "👩‍👩‍👧 Ana"]
START_OF_A_FORMULA = tuple("=+-@＝＋－＠\t\r\n")


def stored_names(database: Database) -> set[str]:
    return {one.display_name for squad in club.squads(database) for one in club.players(database, squad)}


@pytest.fixture
def odd_club(squad: SquadBuilder) -> SquadBuilder:
    """Players, stages, labels, notes and reasons that look like formulas and markup."""
    for number, name in enumerate([*FORMULAS, *MARKUP, *SCRIPTS]):
        club.add_player(squad.database, squad.squad, display_name=name)
        made = squad.strikes(
            name, Foot.LEFT, "+-", day=date(2026, 3, 7), stage=name[:20], label=f"={number}", logger=name
        )
        correct(squad.database, [made[0].strike_id], why=name, corrected_by=name)
        decisions.place(squad.database, squad.player(name), foot=Foot.LEFT, stage=squad.ladder.stages[1], note=name)
    return squad


@pytest.mark.parametrize("name", SCRIPTS)
def test_a_name_in_any_script_stays_as_it_is(name: str) -> None:
    assert checked_name(name, what="player") == name


@pytest.mark.parametrize(
    ("name", "kept"),
    [
        ("\u202egnp.ana", "gnp.ana"),
        ("a\u2066b\u2069", "ab"),
        ("\ufeffAna\u200b", "Ana"),
        ("J. Gu\u00f0munds\u00adson", "J. Guðmundsson"),
        ("\u200fשרה\u200f", "שרה"),
    ],
)
def test_what_cannot_be_seen_is_no_part_of_a_name(name: str, kept: str) -> None:
    assert checked_name(name, what="player") == kept


@pytest.mark.parametrize("name", ["\u202e", "\u200b \u2060", "a\x00b", "a\x1b[31m", "a\x9b31m", "\ud800", "x" * 81, ""])
def test_a_name_of_nothing_or_with_control_characters_is_refused(squad: SquadBuilder, name: str) -> None:
    with pytest.raises(RequestError, match=r"must have 1 to 80 characters|contains a control character"):
        club.add_player(squad.database, squad.squad, display_name=name)


@given(name=st.text(st.characters(exclude_categories=["Cs"]), max_size=90) | st.sampled_from(ODD_TEXTS))
def test_a_file_and_the_page_take_the_same_names_in_the_same_way(name: str) -> None:
    if "\0" in name or set(name) & set("\x1c\x1d\x1e\x1f\t\r\n\v\f"):
        return  # what a CSV cannot hold, or what is space to one and a control character to the other
    quoted = name.replace('"', '""')
    table = table_from_bytes(f'player,shirt_number\n"{quoted}",1\n'.encode(), source="players.csv")
    found = parse_players(table).rows["player"].to_list()
    restored = table.frame["player"][0] or ""
    try:
        assert found == [checked_name(restored, what="player")]
    except ValueError:
        assert found == []


@pytest.mark.parametrize("ending", [".csv", ".parquet"])
@pytest.mark.parametrize("what", [ExportWhat.STRIKES, ExportWhat.TALLIES])
def test_every_export_of_odd_names_comes_back_the_same(
    odd_club: SquadBuilder, tmp_path: Path, what: ExportWhat, ending: str
) -> None:
    path = tmp_path / f"out{ending}"
    export_file(odd_club.database, path, what=what, scope=Scope())
    with Database.open(None) as other:
        import_file(other, path)
        assert stored_names(other) == stored_names(odd_club.database) - {"Ana", "Ben"}
        assert len(stored_names(other)) == len(FORMULAS + MARKUP + SCRIPTS)


def test_everything_exported_comes_back_the_same(odd_club: SquadBuilder, tmp_path: Path) -> None:
    export_file(odd_club.database, tmp_path / "all", what=ExportWhat.ALL, scope=Scope())
    with Database.open(None) as other:
        import_archive(other, tmp_path / "all")
        assert stored_names(other) == stored_names(odd_club.database)
        for query in ("export_corrections", "export_placements", "export_practices"):
            assert other.query(query).equals(odd_club.database.query(query))


def test_a_hand_over_of_odd_names_comes_in_the_same(odd_club: SquadBuilder) -> None:
    content = hand_over(odd_club.database, odd_club.squad, with_notes=True)
    with Database.open(None) as other:
        take_over(other, content, source="all.zip")
        assert stored_names(other) == stored_names(odd_club.database)


def test_no_cell_of_any_exported_file_starts_a_formula(odd_club: SquadBuilder, tmp_path: Path) -> None:
    export_file(odd_club.database, tmp_path / "all", what=ExportWhat.ALL, scope=Scope())
    export_file(odd_club.database, tmp_path / "strikes.csv", what=ExportWhat.STRIKES, scope=Scope())
    export_file(odd_club.database, tmp_path / "tallies.csv", what=ExportWhat.TALLIES, scope=Scope())
    cells = [
        cell
        for path in tmp_path.rglob("*.csv")
        for row in csv.reader(path.read_text(encoding="utf-8").splitlines())
        for cell in row
    ]
    assert len(cells) > 500
    assert [cell for cell in cells if cell.startswith(START_OF_A_FORMULA)] == []


def test_the_rejects_of_a_file_and_the_printed_tables_start_no_formula_either(
    squad: SquadBuilder, tmp_path: Path
) -> None:
    path = tmp_path / "odd.csv"
    path.write_text("player,foot,outcome,date\nAna,=1+1,on,2026-03-07\n@x,left,on,2026-03-07\n", encoding="utf-8")
    with pytest.raises(TrackerError):
        import_file(squad.database, path)
    rejects = (tmp_path / "odd.rejects.csv").read_text(encoding="utf-8")
    assert "'=1+1" in rejects
    assert csv_text(pl.DataFrame({"player": ["@x"]})) == "player\n'@x\n"


@pytest.mark.parametrize(
    "name", ["CON", "con.x", "nul .txt", "COM1", "x" * 5000, "../../x", "a/b\\c:d*e?f", "\u202egpj.exe", "-rf"]
)
def test_a_file_named_after_a_player_is_safe_on_every_system(name: str) -> None:
    stem = safe_stem(name)
    assert 0 < len(stem.encode()) <= 121
    assert not set(stem) & set('<>:"/\\|?*\u202e')
    assert stem.partition(".")[0].strip().casefold() not in {"con", "nul", "com1"}
    assert not stem.startswith(("-", ".."))


def test_a_log_line_holds_no_name(squad: SquadBuilder, caplog: pytest.LogCaptureFixture, tmp_path: Path) -> None:
    caplog.set_level(logging.DEBUG)
    name = "Mallory\nINFO: all is well"
    with pytest.raises(RequestError):
        club.add_player(squad.database, squad.squad, display_name=name + "\x07")
    path = tmp_path / "players.csv"
    path.write_text("player,foot,outcome,date\nMallory,left,on,2026-03-07\n", encoding="utf-8")
    import_file(squad.database, path, create_players=True)
    assert "Mallory" not in caplog.text


def test_a_terminal_is_not_steered_by_a_name(squad: SquadBuilder) -> None:
    from tracker.cli.options import as_table

    shown: Callable[[pl.DataFrame], str] = as_table
    assert "\x1b" not in shown(pl.DataFrame({"player": ["a\x1b[31m\u202eb"]}))
    assert "\u202e" not in shown(pl.DataFrame({"player": ["a\x1b[31m\u202eb"]}))
