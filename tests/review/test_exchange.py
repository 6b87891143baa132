"""Files in and out: whole or not at all, once however often it is read, and every refusal explained."""

from __future__ import annotations

import csv
from collections.abc import Callable
from datetime import date, datetime, timedelta
from pathlib import Path

import polars as pl
import pytest
from builders import SquadBuilder, csv_file, strike_row
from polars.testing import assert_frame_equal

from tracker.domain.squad import Squad
from tracker.domain.vocabulary import Dimension, ExportWhat, Foot, Miss, Surface
from tracker.errors import FileError, RequestError, RowsRejected
from tracker.intake.file_kind import FileKind
from tracker.review import club
from tracker.review.accuracy import accuracy
from tracker.review.exchange import export_file, import_file, import_players
from tracker.review.scope import chosen_scope
from tracker.store.database import Database

Import = Callable[..., tuple[int, int, int, int]]


def everything(database: Database) -> tuple[int, ...]:
    return database.query("counts").row(0)


def attempts(database: Database) -> list[tuple[str, str, int, int]]:
    return accuracy(database, chosen_scope(database)).select("player", "foot", "attempts", "on_target").rows()


def rejects_of(path: Path) -> list[dict[str, str]]:
    with path.with_name(f"{path.stem}.rejects.csv").open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A file of five right strikes of Ana and Ben."""
    return csv_file(
        tmp_path / "strikes.csv",
        [
            strike_row(),
            strike_row(outcome="off"),
            strike_row(foot="R", outcome="blocked"),
            strike_row(player="ben", foot="right"),
            strike_row(player="Ben", foot="right", struck_at="2026-03-08T09:00:00+01:00"),
        ],
    )


def test_a_file_is_stored_once_however_often_it_is_read(database: Database, squad: SquadBuilder, file: Path) -> None:
    first, again = import_file(database, file), import_file(database, file)
    assert (first.kind, first.read, first.stored, first.already_there, first.rejected) == (FileKind.STRIKES, 5, 5, 0, 0)
    assert (again.read, again.stored, again.already_there) == (5, 0, 5)
    assert attempts(database) == [("Ana", "left", 2, 1), ("Ben", "right", 2, 2)]
    assert database.query("counts").select("players", "practices").row(0) == (2, 2)


def test_a_file_into_an_empty_database_makes_squad_and_players_and_is_still_stored_once(
    database: Database, file: Path
) -> None:
    first, again = import_file(database, file), import_file(database, file)
    assert first.new_squads == ("My squad",)
    assert first.new_players == ("Ana", "ben")
    assert (again.stored, again.already_there, again.new_players) == (0, 5, ())


def test_two_equal_rows_of_a_file_are_two_strikes(database: Database, squad: SquadBuilder, tmp_path: Path) -> None:
    assert import_file(database, csv_file(tmp_path / "a.csv", [strike_row(), strike_row()])).stored == 2


def test_a_row_with_an_id_is_stored_once_from_any_file(database: Database, squad: SquadBuilder, tmp_path: Path) -> None:
    row = strike_row(strike_id="0198b0c4-7c1e-7d3a-9f00-5a1b2c3d4e5f")
    assert import_file(database, csv_file(tmp_path / "a.csv", [row])).stored == 1
    summary = import_file(database, csv_file(tmp_path / "b.csv", [row, strike_row(strike_id="")]))
    assert (summary.stored, summary.already_there) == (1, 1)


BAD_ROWS = [
    ({"foot": "middle"}, "foot", "middle", 'foot is "middle": must be left or right'),
    ({"outcome": "goal"}, "outcome", "goal", 'outcome is "goal": must be on, off or blocked'),
    ({"struck_at": "2999-01-01T10:00:00Z"}, "struck_at", "2999-01-01T10:00:00Z", "in the future"),
    ({"struck_at": "yesterday"}, "struck_at", "yesterday", "must be an ISO 8601 time"),
    ({"player": "Mia"}, "player", "Mia", "no such player in this squad"),
    ({"player": " "}, "player", " ", "every row needs one"),
]


@pytest.mark.parametrize(("wrong", "column", "value", "why"), BAD_ROWS)
def test_a_file_with_a_wrong_row_stores_nothing_and_says_which(
    database: Database, squad: SquadBuilder, tmp_path: Path, wrong: dict[str, str], column: str, value: str, why: str
) -> None:
    before = everything(database)
    path = csv_file(tmp_path / "strikes.csv", [strike_row(), strike_row(**wrong), strike_row()])
    with pytest.raises(RowsRejected, match="1 of 3 rows is wrong, so nothing was stored") as caught:
        import_file(database, path)
    assert everything(database) == before
    assert "line 3: " in str(caught.value)
    assert why in str(caught.value)
    (reject,) = rejects_of(path)
    assert (reject["line"], reject["column"], reject["value"]) == ("3", column, value)
    assert why in reject["why"]


def test_the_good_rows_can_be_stored_without_the_bad(database: Database, squad: SquadBuilder, tmp_path: Path) -> None:
    rows = [strike_row(), *(strike_row(**wrong) for wrong, *_ in BAD_ROWS), strike_row(player="Ben")]
    path = csv_file(tmp_path / "strikes.csv", rows)
    summary = import_file(database, path, skip_bad_rows=True)
    assert (summary.read, summary.stored, summary.rejected) == (8, 2, 6)
    assert [int(one["line"]) for one in rejects_of(path)] == [3, 4, 5, 6, 7, 8]
    assert summary.rejects_file == tmp_path / "strikes.rejects.csv"
    assert "6 rows left out" in " ".join(summary.remarks())


def test_rows_left_out_can_come_later_and_the_others_are_not_stored_twice(database: Database, tmp_path: Path) -> None:
    SquadBuilder.start(database, "Reds", Ana="right")
    club.make_squad(database, name="Blues")
    path = csv_file(tmp_path / "strikes.csv", [strike_row(squad="Reds"), strike_row(squad="Blues", player="Ben")])
    assert import_file(database, path, skip_bad_rows=True).stored == 1
    summary = import_file(database, path, create_players=True)
    assert (summary.stored, summary.already_there, summary.new_players) == (1, 1, ("Ben",))


def test_new_players_are_made_when_asked_for(database: Database, squad: SquadBuilder, tmp_path: Path) -> None:
    path = csv_file(tmp_path / "a.csv", [strike_row(player="Mia"), strike_row(player="MIA"), strike_row(player="Zoë")])
    summary = import_file(database, path, create_players=True)
    assert summary.new_players == ("Mia", "Zoë")
    assert [one.display_name for one in club.players(database, squad.squad)] == ["Ana", "Ben", "Mia", "Zoë"]


def test_a_dry_run_says_what_would_happen_and_stores_nothing(database: Database, file: Path) -> None:
    before = everything(database)
    dry = import_file(database, file, dry_run=True)
    assert everything(database) == before
    real = import_file(database, file)
    assert (dry.stored, dry.new_squads, dry.new_players) == (real.stored, real.new_squads, real.new_players)
    assert dry.remarks()[0] == "Nothing was stored: this was a dry run."
    assert "would be made" in " ".join(dry.remarks())


def test_columns_of_other_names_can_be_mapped(database: Database, squad: SquadBuilder, tmp_path: Path) -> None:
    path = csv_file(tmp_path / "a.csv", [{"Spieler": "Ana", "Fuß": "L", "on target": "yes", "Date": "2026-03-07"}])
    with pytest.raises(FileError, match=r'no column "player", no column "foot".*--map COLUMN=FIELD'):
        import_file(database, path)
    summary = import_file(database, path, column_map={"Spieler": "player", "fuß": "foot"})
    assert summary.stored == 1
    assert attempts(database) == [("Ana", "left", 1, 1)]


def test_unknown_columns_and_stages_are_reported_and_not_fatal(
    database: Database, squad: SquadBuilder, tmp_path: Path
) -> None:
    path = csv_file(
        tmp_path / "a.csv", [strike_row(stage="Keepy-uppy", weather="rain"), strike_row(stage="ROLLING ball")]
    )
    summary = import_file(database, path)
    assert (summary.unknown_columns, summary.unknown_stages) == (("weather",), ("Keepy-uppy",))
    stages = accuracy(database, squad.scope, by=[Dimension.STAGE])["stage"].to_list()
    assert stages == ["Keepy-uppy", "Rolling ball"]


def test_a_strike_at_a_stage_takes_its_distance_and_target_from_the_ladder_unless_it_says_its_own(
    database: Database, squad: SquadBuilder, tmp_path: Path
) -> None:
    own = {"stage": "Rolling ball", "distance_yd": "20", "target_width_m": "5"}
    import_file(database, csv_file(tmp_path / "a.csv", [strike_row(stage="Rolling ball")]))
    import_file(database, csv_file(tmp_path / "b.csv", [strike_row(**own)]))
    stage = squad.ladder.stages[2]
    stored = database._connection.execute(
        "select distance_m, target_width_m from strike order by distance_m"
    ).fetchall()
    assert stored == [(stage.distance_m, stage.target.width_m), (pytest.approx(20 * 0.9144), 5.0)]


def test_rows_of_several_squads_go_to_their_own(database: Database, tmp_path: Path) -> None:
    reds = SquadBuilder.start(database, "Reds", Ana="right")
    blues = SquadBuilder.start(database, "Blues", Ana="right")
    path = csv_file(
        tmp_path / "a.csv", [strike_row(squad="reds"), strike_row(squad="Blues"), strike_row(squad="Blues")]
    )
    assert import_file(database, path).stored == 3
    assert accuracy(database, reds.scope)["attempts"].to_list() == [1]
    assert accuracy(database, blues.scope)["attempts"].to_list() == [2]


def test_a_file_that_names_no_squad_needs_one_when_there_are_several(
    database: Database, squad: SquadBuilder, file: Path
) -> None:
    other = SquadBuilder.start(database, "Reds", Ana="right", Ben="left")
    with pytest.raises(RequestError, match=r"several. Say so with --squad"):
        import_file(database, file)
    for one in (squad, other):
        assert import_file(database, file, squad=one.squad).stored == 5
        assert import_file(database, file, squad=one.squad).already_there == 5


def test_a_squad_that_is_not_there_is_made_only_when_asked_for(
    database: Database, squad: SquadBuilder, tmp_path: Path
) -> None:
    path = csv_file(tmp_path / "a.csv", [strike_row(squad="Reds")])
    with pytest.raises(RequestError, match=r"no squad 'Reds'.*--create-players"):
        import_file(database, path)
    assert import_file(database, path, create_players=True).new_squads == ("Reds",)


@pytest.mark.parametrize(
    ("name", "content", "sentence"),
    [
        ("a.csv", b"", "is empty; the first line must name the columns"),
        ("a.csv", b"player,foot,outcome,date\n", "has a header but no rows"),
        ("a.csv", b"name,side\nAna,left\n", 'no column "player"'),
        ("a.csv", b"player\0foot\n1,2\n", "holds a zero byte"),
        ("a.csv", b"player,foot\nAna,\xff\xfe\n", "line 2 is not UTF-8 text"),
        ("a.xlsx", b"PK\x03\x04rest", "is a workbook"),
        ("a.parquet", b"PAR1 and then nothing", "is not a Parquet file, or is cut short"),
    ],
)
def test_a_file_that_cannot_be_read_stores_nothing(
    database: Database, squad: SquadBuilder, tmp_path: Path, name: str, content: bytes, sentence: str
) -> None:
    path, before = tmp_path / name, everything(database)
    path.write_bytes(content)
    with pytest.raises(FileError, match=sentence):
        import_file(database, path)
    assert everything(database) == before


def test_tallies_become_strikes_that_add_up(database: Database, squad: SquadBuilder, tmp_path: Path) -> None:
    row = {"date": "2026-03-07", "player": "Ana", "foot": "left", "stage": "Rolling ball", "attempts": 10}
    rows = [
        row | {"on_target": 7, "left": 2, "short": 1},
        row | {"foot": "right", "on_target": 10, "left": "", "short": ""},
    ]
    path = csv_file(tmp_path / "tallies.csv", rows)
    first, again = import_file(database, path), import_file(database, path)
    assert (first.kind, first.read, first.stored) == (FileKind.TALLIES, 2, 20)
    assert (again.stored, again.already_there) == (0, 20)
    assert attempts(database) == [("Ana", "left", 10, 7), ("Ana", "right", 10, 10)]
    assert "2 rows stand for 20 strikes" in " ".join(first.remarks())


def test_twelve_of_ten_is_refused_in_words(database: Database, squad: SquadBuilder, tmp_path: Path) -> None:
    row = {"date": "2026-03-07", "player": "Ana", "foot": "left", "attempts": 10, "on_target": 12}
    with pytest.raises(RowsRejected, match="on_target is 12 of 10 attempts: more on target than attempts"):
        import_file(database, csv_file(tmp_path / "tallies.csv", [row]))
    assert attempts(database) == []


def test_a_tally_of_an_unknown_player_is_one_reject(database: Database, squad: SquadBuilder, tmp_path: Path) -> None:
    row = {"date": "2026-03-07", "player": "Mia", "foot": "left", "attempts": 10, "on_target": 2}
    path = csv_file(tmp_path / "tallies.csv", [row])
    with pytest.raises(RowsRejected, match="1 of 1 rows is wrong"):
        import_file(database, path)
    assert len(rejects_of(path)) == 1


def test_a_day_in_the_future_is_refused_and_today_is_not(
    database: Database, squad: SquadBuilder, tmp_path: Path
) -> None:
    today = datetime.now().astimezone().date()
    row = {"player": "Ana", "foot": "left", "outcome": "on"}
    with pytest.raises(RowsRejected, match="in the future"):
        import_file(database, csv_file(tmp_path / "a.csv", [row | {"date": today + timedelta(days=3)}]))
    assert import_file(database, csv_file(tmp_path / "b.csv", [row | {"date": today}])).stored == 1


@pytest.mark.parametrize("ending", ["csv", "parquet"])
def test_exported_strikes_come_back_the_same(squad: SquadBuilder, tmp_path: Path, ending: str) -> None:
    squad.strikes(
        "Ana", Foot.LEFT, "++-b", day=date(2026, 3, 7), stage="Rolling ball", surface=Surface.LACES, miss=Miss.OVER
    )
    squad.strikes("Ben", Foot.RIGHT, "--+", day=date(2026, 3, 8), at_once=True, distance_m=1 / 3)
    path = tmp_path / f"strikes.{ending}"
    assert export_file(squad.database, path, what=ExportWhat.STRIKES, scope=squad.scope) == [path]
    with Database.open(None) as other:
        assert import_file(other, path).stored == 7
        back = tmp_path / "back.parquet"
        export_file(other, back, what=ExportWhat.STRIKES, scope=chosen_scope(other))
        export_file(squad.database, tmp_path / "there.parquet", what=ExportWhat.STRIKES, scope=squad.scope)
        assert_frame_equal(pl.read_parquet(back), pl.read_parquet(tmp_path / "there.parquet"))
        assert import_file(squad.database, path).already_there == 7


def test_an_export_holds_what_the_scope_names(squad: SquadBuilder, tmp_path: Path) -> None:
    for day in (7, 8, 9):
        squad.strikes("Ana", Foot.LEFT, "+" * day, day=date(2026, 3, day))
    scope = chosen_scope(squad.database, first_day=date(2026, 3, 8), last_day=date(2026, 3, 8))
    for what in (ExportWhat.STRIKES, ExportWhat.TALLIES):
        export_file(squad.database, tmp_path / f"{what}.parquet", what=what, scope=scope)
    assert pl.read_parquet(tmp_path / "strikes.parquet").height == 8
    assert pl.read_parquet(tmp_path / "tallies.parquet")["attempts"].to_list() == [8]


def test_exported_tallies_come_back_with_the_same_counts(squad: SquadBuilder, tmp_path: Path) -> None:
    stage = squad.stages[0]
    squad.strikes("Ana", Foot.LEFT, "++-b", day=date(2026, 3, 7), stage=stage, miss=Miss.LEFT, distance_m=0.4)
    squad.strikes("Ana", Foot.LEFT, "b", day=date(2026, 3, 7), stage=stage, distance_m=3.3)
    squad.strikes("Ben", Foot.RIGHT, "--+", day=date(2026, 3, 8), label="evening", surface=Surface.TOE)
    export_file(squad.database, tmp_path / "tallies.csv", what=ExportWhat.TALLIES, scope=squad.scope)
    by = [Dimension.PLAYER, Dimension.FOOT, Dimension.STAGE, Dimension.SURFACE, Dimension.PRACTICE]
    with Database.open(None) as other:
        assert import_file(other, tmp_path / "tallies.csv").stored == 8
        back, there = (accuracy(one, chosen_scope(one), by=by) for one in (other, squad.database))
        assert_frame_equal(back, there)
        misses = "select missed_left, blocked from tally order by all"
        assert other._connection.execute(misses).fetchall() == squad.database._connection.execute(misses).fetchall()


@pytest.mark.parametrize("name", ['=HYPERLINK("x")', "<script>alert(1)</script>", "'=1+1", "-Ana", "@Ana", "Ana; DROP"])
def test_a_name_that_looks_like_code_is_text_in_every_direction(
    database: Database, squad: SquadBuilder, tmp_path: Path, name: str
) -> None:
    club.add_player(database, squad.squad, display_name=name)
    squad.strikes(name, Foot.LEFT, "+-", day=date(2026, 3, 7))
    path = tmp_path / "strikes.csv"
    export_file(database, path, what=ExportWhat.STRIKES, scope=squad.scope)
    with path.open(newline="", encoding="utf-8") as text:
        cells = {row["player"] for row in csv.DictReader(text)}
    assert not any(cell.startswith(("=", "+", "-", "@")) for cell in cells)
    with Database.open(None) as other:
        import_file(other, path)
        assert attempts(other) == [(name, "left", 2, 1)]


@pytest.mark.parametrize("name", ['=HYPERLINK("x")', "<script>"])
def test_such_a_name_in_a_file_from_elsewhere_is_kept_as_it_is(database: Database, tmp_path: Path, name: str) -> None:
    import_file(database, csv_file(tmp_path / "a.csv", [strike_row(player=name)]))
    assert attempts(database) == [(name, "left", 1, 1)]


def test_an_export_that_cannot_be_written_says_why(squad: SquadBuilder, tmp_path: Path) -> None:
    with pytest.raises(FileError, match="there is no folder"):
        export_file(squad.database, tmp_path / "no" / "a.csv", what=ExportWhat.STRIKES, scope=squad.scope)
    with pytest.raises(FileError, match="it is a folder"):
        export_file(squad.database, tmp_path, what=ExportWhat.STRIKES, scope=squad.scope)


def test_players_of_a_file_join_the_squad_or_are_brought_up_to_date(squad: SquadBuilder, tmp_path: Path) -> None:
    rows: list[dict[str, object]] = [
        {"player": "ANA", "shirt_number": 9, "preferred_foot": "left"},
        {"player": "Mia", "shirt_number": "", "preferred_foot": ""},
    ]
    path = csv_file(tmp_path / "players.csv", rows)
    before = squad.player("Ana").player_id
    assert import_players(squad.database, path, squad=squad.squad) == 2
    assert import_players(squad.database, path, squad=squad.squad) == 2
    names = [one.display_name for one in club.players(squad.database, squad.squad)]
    assert names == ["ANA", "Ben", "Mia"]
    assert squad.player("Ana").player_id == before


def test_a_file_of_players_with_a_wrong_one_adds_none(squad: SquadBuilder, tmp_path: Path) -> None:
    path = csv_file(
        tmp_path / "players.csv", [{"player": "Mia", "birth_year": 2014}, {"player": "Noor", "birth_year": 14}]
    )
    with pytest.raises(RowsRejected, match="line 3: birth_year"):
        import_players(squad.database, path, squad=squad.squad)
    assert len(club.players(squad.database, squad.squad)) == 2


def test_a_player_twice_in_a_file_of_players_is_one_player(database: Database, tmp_path: Path) -> None:
    squad: Squad = club.make_squad(database, name="Reds")
    import_players(database, csv_file(tmp_path / "p.csv", [{"player": "Mia"}, {"player": "mia"}]), squad=squad)
    assert len(club.players(database, squad)) == 1
