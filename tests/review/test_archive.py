"""Everything out to a folder and back into an empty database, with nothing lost."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from builders import SquadBuilder, csv_file, strike_row
from polars.testing import assert_frame_equal

from tracker.domain.ladder_file import shipped_ladder_text
from tracker.domain.practice import Practice
from tracker.domain.vocabulary import Dimension, ExportWhat, Foot, LengthUnit, PitchSurface, Surface
from tracker.errors import FileError, LadderError, RowsRejected, TrackerError
from tracker.review import club, decisions
from tracker.review.accuracy import accuracy
from tracker.review.archive import import_archive, write_archive
from tracker.review.demonstration import demo_database, demo_folder
from tracker.review.exchange import export_file, import_file
from tracker.review.gap import foot_gap
from tracker.review.integrity import faults
from tracker.review.logbook import correct
from tracker.review.readiness import readiness
from tracker.review.scope import Scope, chosen_scope
from tracker.store.database import Database
from tracker.store.export import everything
from tracker.store.practices import change_practice

BY = [Dimension.PLAYER, Dimension.FOOT, Dimension.STAGE, Dimension.SURFACE, Dimension.DISTANCE, Dimension.PRACTICE]


def assert_same_records(one: Database, other: Database) -> None:
    """Every table, and every answer that rests on them, is the same."""
    there, back = everything(one), everything(other)
    assert there.keys() == back.keys()
    for name in there:
        assert_frame_equal(there[name], back[name])
    scopes = chosen_scope(one), chosen_scope(other)
    for question in (lambda db, scope: accuracy(db, scope, by=BY), foot_gap, readiness):
        first, second = (question(database, scope) for database, scope in zip((one, other), scopes, strict=True))
        assert first.height > 0
        assert_frame_equal(first, second)


def test_the_demo_season_comes_back_the_same(demo: Database, tmp_path: Path) -> None:
    export_file(demo, tmp_path / "all", what=ExportWhat.ALL, scope=Scope())
    with Database.open(None) as other:
        summary = import_archive(other, tmp_path / "all")
        assert (summary.read, summary.stored, summary.already_there) == (20808, 20808, 0)
        assert_same_records(demo, other)


@pytest.fixture
def records(database: Database, squad: SquadBuilder) -> Database:
    """Records with something of everything: two squads, own ladder, corrections, placements, settings, odd names."""
    own = shipped_ladder_text("U13–U18").replace('name = "U13–U18"', 'name = "Our own"', 1)
    club.use_ladder(database, squad.squad, text=own, source="own.toml")
    reds = SquadBuilder.start(database, "=Reds", **{"Ana": "both", 'O\'Neil, "Jo"\u00a0;': "left"})
    club.set_length_unit(database, LengthUnit.METRES)
    club.make_season(database, name="2025/26", starts_on=date(2025, 8, 1), ends_on=date(2026, 7, 31))
    for builder in (squad, reds):
        made = builder.strikes("Ana", Foot.LEFT, "++-b+-", day=date(2026, 3, 7), stage=builder.stages[1])
        builder.strikes("Ana", Foot.RIGHT, "+-", day=date(2026, 3, 7), label="evening", surface=Surface.HEEL)
        builder.strikes("Ana", Foot.LEFT, "++++-", day=date(2026, 3, 8), stage="Keepy-uppy", at_once=True)
        correct(database, [made[0].strike_id], why="-ball, moved", corrected_by="Tess")
        standing = builder.placed("Ana", Foot.LEFT, builder.stages[1], day=date(2026, 3, 1))
        taken_back = builder.placed("Ana", Foot.RIGHT, builder.stages[2], day=date(2026, 3, 2))
        decisions.withdraw(database, taken_back.placement_id)
        assert standing.placement_id != taken_back.placement_id
    practice = squad.practice(date(2026, 3, 7))
    change_to = Practice(
        practice_id=practice.practice_id,
        squad_id=practice.squad_id,
        held_on=practice.held_on,
        place="Lower field",
        pitch_surface=PitchSurface.GRASS,
        notes="wet,\nand windy",
    )
    with database.transaction() as transaction:
        change_practice(transaction, change_to)
    return database


def test_records_of_every_kind_come_back_the_same(records: Database, tmp_path: Path) -> None:
    write_archive(records, tmp_path / "all")
    with Database.open(None) as other:
        import_archive(other, tmp_path / "all")
        assert_same_records(records, other)
        assert club.length_unit(other) is LengthUnit.METRES
        assert {one.ladder_name for one in club.squads(other)} == {"Our own", "U11–U12"}
        assert faults(other)["faults"].sum() == 0
        write_archive(other, tmp_path / "again")
    for file in (tmp_path / "all").rglob("*.csv"):
        assert file.read_bytes() == (tmp_path / "again" / file.name).read_bytes(), file.name


def test_a_strike_two_people_logged_counts_once_and_comes_back_so(
    database: Database, squad: SquadBuilder, tmp_path: Path
) -> None:
    first = squad.strikes("Ana", Foot.LEFT, "+-+", day=date(2026, 3, 7), logger="Tess")
    squad.strikes("Ana", Foot.LEFT, "+--", day=date(2026, 3, 7), logger="Uwe")
    assert accuracy(database, squad.scope)["attempts"].to_list() == [3]
    correct(database, [one.strike_id for one in first], why="wrong player", corrected_by="Tess")
    assert accuracy(database, squad.scope).select("attempts", "on_target").rows() == [(3, 1)]
    write_archive(database, tmp_path / "all")
    with Database.open(None) as other:
        import_archive(other, tmp_path / "all")
        assert_frame_equal(accuracy(other, chosen_scope(other)), accuracy(database, squad.scope))


def test_reading_a_folder_again_changes_nothing(records: Database, tmp_path: Path) -> None:
    write_archive(records, tmp_path / "all")
    before = everything(records)
    summary = import_archive(records, tmp_path / "all")
    assert (summary.stored, summary.placements) == (0, 0)
    for name, frame in everything(records).items():
        assert_frame_equal(frame, before[name])


def test_reading_the_demo_folder_again_or_its_strikes_alone_adds_nothing() -> None:
    with Database.open(None) as database:
        import_archive(database, demo_folder())
        before = database.query("counts")
        assert import_archive(database, demo_folder()).stored == 0
        assert import_file(database, demo_folder() / "strikes.csv").stored == 0
        assert_frame_equal(database.query("counts"), before)


def test_what_was_not_known_is_not_filled_in_on_the_way(
    database: Database, squad: SquadBuilder, tmp_path: Path
) -> None:
    squad.strikes("Ana", Foot.LEFT, "+", day=date(2026, 3, 7), stage=squad.stages[0])
    write_archive(database, tmp_path / "all")
    with Database.open(None) as other:
        import_archive(other, tmp_path / "all")
        assert other._connection.execute("select distance_m, target_width_m from strike").fetchall() == [(None, None)]


@pytest.mark.parametrize(
    ("file", "content", "error"),
    [
        ("strikes.csv", "player,foot,outcome,date\nAna,middle,on,2026-03-07\n", RowsRejected),
        ("players.csv", "player,birth_year\nAna,1066\n", RowsRejected),
        ("seasons.csv", "season,starts_on,ends_on\nX,2026-03-07,2026-03-01\n", RowsRejected),
        ("corrections.csv", "strike_id,corrected_at,why\nx,2026-03-07T10:00:00Z,typo\n", RowsRejected),
        ("placements.csv", "player,foot,stage,placed_at\nAna,left,Rolling ball,soon\n", RowsRejected),
        ("ladders/1.toml", "name = 'x'", LadderError),
    ],
)
def test_a_folder_with_a_wrong_file_stores_nothing(
    database: Database, tmp_path: Path, file: str, content: str, error: type[TrackerError]
) -> None:
    folder = tmp_path / "all"
    (folder / "ladders").mkdir(parents=True)
    csv_file(folder / "players.csv", [{"player": "Ana"}])
    csv_file(folder / "strikes.csv", [strike_row()])
    (folder / file).write_text(content, encoding="utf-8")
    with pytest.raises(error) as caught:
        import_archive(database, folder)
    assert Path(file).name in str(caught.value)
    assert set(database.query("counts").row(0)) == {0}


def test_a_placement_withdrawn_elsewhere_is_withdrawn_here_even_without_an_id(
    database: Database, tmp_path: Path
) -> None:
    folder = tmp_path / "all"
    folder.mkdir()
    csv_file(folder / "strikes.csv", [strike_row()])
    row = {"player": "Ana", "foot": "left", "stage": "Rolling ball", "placed_at": "2026-03-07T10:00:00Z"}
    csv_file(folder / "placements.csv", [row | {"withdrawn_at": "2026-03-08T10:00:00Z"}])
    import_archive(database, folder)
    (stored,) = database.query("export_placements").to_dicts()
    assert stored["withdrawn_at"] == datetime(2026, 3, 8, 10, tzinfo=UTC)


def test_a_folder_that_holds_something_is_not_written_to(demo: Database, tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(FileError, match="holds something already"):
        write_archive(demo, tmp_path)
    assert [one.name for one in tmp_path.iterdir()] == ["notes.txt"]


def test_a_folder_without_records_is_refused(database: Database, tmp_path: Path) -> None:
    (tmp_path / "notes.csv").write_text("mine", encoding="utf-8")
    with pytest.raises(FileError, match="no records in this folder"):
        import_archive(database, tmp_path)


def test_a_squad_without_strikes_comes_back_too(database: Database, squad: SquadBuilder, tmp_path: Path) -> None:
    write_archive(database, tmp_path / "all")
    with Database.open(None) as other:
        summary = import_archive(other, tmp_path / "all")
        assert (summary.read, summary.stored, summary.players) == (0, 0, 2)
        assert club.players(other, squad.squad) == club.players(database, squad.squad)


def test_a_kept_demo_is_opened_again_as_it_was_left(own_demo_file: Path) -> None:
    folder = own_demo_file.parent
    own_demo_file.rename(folder / "demo.duckdb")
    with demo_database(folder) as database:
        club.make_squad(database, name="Reds")
    with demo_database(folder) as database:
        assert [one.name for one in club.squads(database)] == ["Quillhaven U12", "Reds"]
