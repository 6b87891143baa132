"""A player who is forgotten is nowhere any more: not in a row, a free block, the write-ahead file, or a file beside."""

from __future__ import annotations

import threading
import unicodedata
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from builders import SquadBuilder

from tracker.domain.squad import Player
from tracker.domain.vocabulary import AuditEvent, Foot
from tracker.errors import DatabaseError
from tracker.review import audit, club
from tracker.review.coach_words import write_coach_words
from tracker.review.decisions import place
from tracker.review.erasure import erasure_preview, finish_erasure, forget, is_rewrite_due
from tracker.review.logbook import correct
from tracker.store.database import Database
from tracker.store.erasure import counts_about
from tracker.store.practices import change_practice

NAME = "Zéphyrine Quxworthy"
DAY = date(2026, 3, 7)


@pytest.fixture
def club_file(tmp_path: Path) -> Iterator[SquadBuilder]:
    """A squad in a file: a player with strikes, a placement, words, a correction, and texts of others that name her."""
    with Database.open(tmp_path / "strikes.duckdb", create=True) as opened:
        squad = SquadBuilder.start(opened, "Quillhaven U12", Ana="right", Ben="left")
        her = club.add_player(opened, squad.squad, display_name=NAME, shirt_number=9, birth_year=2014)
        season = club.make_season(opened, name="2025/26", starts_on=date(2025, 8, 1), ends_on=date(2026, 7, 31))
        hers = squad.strikes(NAME, Foot.LEFT, "+-+-+", day=DAY, stage="Rolling ball")
        squad.strikes("Ana", Foot.LEFT, "++--", day=DAY, stage="Rolling ball")
        place(opened, her, foot=Foot.LEFT, stage=squad.ladder.stages[1], note=f"{NAME} is ready")
        place(opened, squad.player("Ana"), foot=Foot.LEFT, stage=squad.ladder.stages[1], note=f"with {NAME}")
        correct(opened, [hers[0].strike_id], why="that was Ana", corrected_by="Coach")
        write_coach_words(opened, her, season, words=f"{NAME} works hard.")
        with opened.transaction() as transaction:
            change_practice(transaction, replace(squad.practice(DAY), notes="zéphyrine came late; Zéphyrines do not"))
        yield squad


def her(squad: SquadBuilder) -> Player:
    return squad.player(NAME)


def spellings(name: str) -> list[bytes]:
    forms = [unicodedata.normalize(form, name) for form in ("NFC", "NFD")]
    return [one.encode(encoding) for one in (*forms, name.split()[1]) for encoding in ("utf-8", "utf-16-le")]


def files_with_the_name(folder: Path) -> list[str]:
    return [
        str(path.relative_to(folder))
        for path in sorted(folder.rglob("*"))
        if path.is_file() and any(one in path.read_bytes() for one in spellings(NAME))
    ]


def every_text(path: Path) -> list[str]:
    """Every text and identifier of every table of a file, as the database itself reads them, whatever its packing."""
    with Database.open(path) as opened, opened._connection.cursor() as cursor:
        tables = [row[0] for row in cursor.execute("select table_name from duckdb_tables()").fetchall()]
        return [str(value) for table in tables for row in cursor.table(table).fetchall() for value in row]


def test_after_forgetting_no_file_and_no_row_holds_the_name(club_file: SquadBuilder, tmp_path: Path) -> None:
    player = her(club_file)
    club_file.database.rewrite()  # so that the name is surely in the file, not only in the write-ahead file
    assert files_with_the_name(tmp_path) == ["strikes.duckdb"]
    forget(club_file.database, player, who="coach")
    assert files_with_the_name(tmp_path) == []
    club_file.database.close()
    assert files_with_the_name(tmp_path) == []
    texts = every_text(tmp_path / "strikes.duckdb")
    assert [one for one in texts if "quxworthy" in one.casefold() or str(player.player_id) in one] == []


def test_the_others_and_their_strikes_stay(club_file: SquadBuilder) -> None:
    before = counts_about(club_file.database, club_file.player("Ana").player_id)
    forget(club_file.database, her(club_file), who="coach")
    assert counts_about(club_file.database, club_file.player("Ana").player_id) == before
    assert [one.display_name for one in club.players(club_file.database, club_file.squad)] == ["Ana", "Ben"]
    assert club_file.database.faults()["faults"].sum() == 0


def test_the_database_goes_on_as_before_under_those_who_hold_it(club_file: SquadBuilder, tmp_path: Path) -> None:
    """Readers ask all the while; not one of them fails, and what is written afterwards is there when it is reopened."""
    failed: list[Exception] = []
    over = threading.Event()

    def read() -> None:
        while not over.is_set():
            try:
                club_file.database.query("counts")
            except Exception as error:  # noqa: BLE001 - any failure at all is what the test looks for
                failed.append(error)

    readers = [threading.Thread(target=read) for _ in range(3)]
    for one in readers:
        one.start()
    forget(club_file.database, her(club_file), who="coach")
    over.set()
    for one in readers:
        one.join()
    assert failed == []
    club_file.strikes("Ben", Foot.LEFT, "+++", day=DAY)
    club_file.database.close()
    with Database.open(tmp_path / "strikes.duckdb") as again:
        assert counts_about(again, club_file_player(again, "Ben"))["strikes"] == 3


def club_file_player(database: Database, name: str) -> object:
    (squad,) = club.squads(database)
    return next(one.player_id for one in club.players(database, squad) if one.display_name == name)


def test_the_fresh_file_has_the_whole_schema_with_its_comments_and_rules(club_file: SquadBuilder) -> None:
    def schema() -> list[tuple[object, ...]]:
        with club_file.database._connection.cursor() as cursor:
            asked = (
                "select table_name, column_name, data_type, is_nullable, comment from duckdb_columns() "
                "where not internal",
                "select table_name, constraint_type, constraint_text, comment from duckdb_constraints() "
                "join duckdb_tables() using (table_name)",
                "select view_name, sql from duckdb_views() where not internal",
                "select type_name, labels from duckdb_types() where not internal",
            )
            return [sorted(map(str, cursor.execute(one).fetchall())) for one in asked]  # type: ignore[misc]

    before = schema()
    club_file.database.rewrite()
    assert schema() == before


def test_numbers_may_stay_under_nobodys_name(club_file: SquadBuilder, tmp_path: Path) -> None:
    player = her(club_file)
    done = forget(club_file.database, player, who="coach", keep_numbers=True)
    former = club_file.player("Former player 1")
    assert done.stays_as == "Former player 1"
    assert former.player_id != player.player_id
    assert (former.shirt_number, former.birth_year, former.active) == (None, None, False)
    assert counts_about(club_file.database, former.player_id) == {
        "strikes": 5,
        "practices": 1,
        "placements": 1,
        "words": 0,
    }
    assert files_with_the_name(tmp_path) == []


def test_texts_that_name_a_player_are_shown_before_and_cleaned_on_wish(club_file: SquadBuilder) -> None:
    named = [one.text for one in erasure_preview(club_file.database, her(club_file)).mentions]
    assert named == ["zéphyrine came late; Zéphyrines do not", f"with {NAME}"]
    forget(club_file.database, her(club_file), who="coach")
    assert club_file.practice(DAY).notes == "(a player) came late; Zéphyrines do not"


def test_texts_are_left_alone_when_the_coach_says_so(club_file: SquadBuilder) -> None:
    forget(club_file.database, her(club_file), who="coach", clean_texts=False)
    assert club_file.practice(DAY).notes == "zéphyrine came late; Zéphyrines do not"


def test_a_first_name_that_two_players_share_is_left_alone(club_file: SquadBuilder) -> None:
    club.add_player(club_file.database, club_file.squad, display_name="Zéphyrine B.")
    named = [one.text for one in erasure_preview(club_file.database, her(club_file)).mentions]
    assert named == [f"with {NAME}"]


def test_lists_of_wrong_rows_go_and_other_files_are_named(club_file: SquadBuilder, tmp_path: Path) -> None:
    rejects, export = tmp_path / "old.rejects.csv", tmp_path / "players.csv"
    rejects.write_text(f"line,column,value,why\n2,player,{NAME},unknown\n", encoding="utf-8")
    export.write_text(unicodedata.normalize("NFD", f"player\n{NAME}\n"), encoding="utf-8")
    done = forget(club_file.database, her(club_file), who="coach")
    assert (done.removed, done.files) == ((rejects,), (export,))
    assert (rejects.exists(), export.exists()) == (False, True)


def test_the_audit_log_keeps_that_it_was_done_and_not_to_whom(club_file: SquadBuilder) -> None:
    player = her(club_file)
    audit.note(club_file.database, AuditEvent.REPORT_READ, who="coach", players=[player])
    forget(club_file.database, player, who="coach")
    log = audit.entries(club_file.database)
    assert log.select("who", "what", "player_id").rows() == [("coach", "forget", None), ("coach", "report read", None)]


def test_when_the_disk_has_no_room_nothing_is_called_erased_until_it_is(
    club_file: SquadBuilder, tmp_path: Path
) -> None:
    in_the_way = tmp_path / "strikes.duckdb.fresh"
    in_the_way.mkdir()
    with pytest.raises(DatabaseError, match="may still hold traces"):
        forget(club_file.database, her(club_file), who="coach")
    assert is_rewrite_due(club_file.database)
    in_the_way.rmdir()
    assert finish_erasure(club_file.database)
    assert files_with_the_name(tmp_path) == []
    assert not finish_erasure(club_file.database)
