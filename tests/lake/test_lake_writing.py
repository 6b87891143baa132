"""What a club tells: public ids, weeks and counts, and nothing that names a child."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path
from uuid import UUID

import polars as pl
import pytest
from builders import SquadBuilder

from tracker.domain.vocabulary import BallArrival, Foot
from tracker.errors import RequestError
from tracker.lake.writing import club_id, lake_rows, write_lake
from tracker.review import club
from tracker.store.database import Database
from tracker.store.lake import LAKE_TALLY

CLUB = UUID("0198f2a4-0000-7000-8000-000000000001")
ROLLING = "Rolling ball"
UUID_TEXT = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")


def test_no_name_no_birth_year_and_no_day_is_in_any_file(squad: SquadBuilder, tmp_path: Path) -> None:
    club.add_player(squad.database, squad.squad, display_name="Wilhelmina", birth_year=2013)
    squad.strikes("Wilhelmina", Foot.LEFT, "+-+", day=date(2026, 3, 7), stage=ROLLING, label="Marigold")
    squad.strikes(
        "Wilhelmina", Foot.LEFT, "+-", day=date(2026, 3, 7), stage="Wilhelmina's own drill", logger="Hortense"
    )
    (written,) = write_lake(squad.database, tmp_path, club=CLUB)
    (file,) = [path for path in tmp_path.rglob("*") if path.is_file()]
    frame = pl.read_parquet(file, hive_partitioning=False)
    plain = tmp_path / "plain.parquet"  # uncompressed, so that bytes can be searched
    frame.write_parquet(plain, compression="uncompressed")
    for content in (file.read_bytes(), plain.read_bytes(), str(file).encode()):
        for secret in ("Wilhelmina", "Hortense", "Marigold", "Quillhaven", "drill", "2013", "2026-03-07"):
            assert secret.encode() not in content
    assert dict(frame.schema) == {name: kind for name, kind in LAKE_TALLY.items()}
    words = {"left", "right", "U11–U12", "2025-26", *BallArrival}
    texts = {text for name in frame.columns if frame[name].dtype == pl.String for text in frame[name].drop_nulls()}
    assert {text for text in texts if text not in words and not UUID_TEXT.fullmatch(text)} == set()
    assert frame["week"].unique().to_list() == [date(2026, 3, 2)]
    assert (written.season, written.attempts) == ("2025-26", 5)


def test_a_row_holds_a_foot_at_a_stage_in_a_week(squad: SquadBuilder) -> None:
    for day, outcomes in ((3, "++-"), (4, "+--"), (5, "++++-b")):
        squad.strikes("Ana", Foot.RIGHT, outcomes, day=date(2026, 3, day), stage=ROLLING)
    rows = lake_rows(squad.database, club_id=CLUB).select(list(LAKE_TALLY)[4:])
    stage = ("U11–U12", "rolling", 10, 27, "right")
    assert rows.rows() == [(*stage, 3, 2, 6, 3, 18, 5), (*stage, 5, 1, 5, 4, 25, 16)]


def test_writing_again_changes_nothing_and_a_new_practice_only_its_season(squad: SquadBuilder, tmp_path: Path) -> None:
    squad.strikes("Ana", Foot.LEFT, "+-+", day=date(2025, 7, 31))
    squad.strikes("Ana", Foot.LEFT, "+-+", day=date(2025, 8, 1))

    def told() -> dict[str, str]:
        return {one.season: one.what for one in write_lake(squad.database, tmp_path, club=CLUB)}

    assert told() == {"2024-25": "written", "2025-26": "written"}
    assert told() == {"2024-25": "unchanged", "2025-26": "unchanged"}
    squad.strikes("Ben", Foot.LEFT, "+-+", day=date(2025, 9, 1))
    assert told() == {"2024-25": "unchanged", "2025-26": "written"}


def test_a_season_is_called_by_the_years_it_lies_in(squad: SquadBuilder, tmp_path: Path) -> None:
    club.make_season(squad.database, name="Ana's", starts_on=date(2026, 2, 1), ends_on=date(2026, 11, 30))
    squad.strikes("Ana", Foot.LEFT, "+", day=date(2026, 9, 1))
    assert [one.season for one in write_lake(squad.database, tmp_path, club=CLUB)] == ["2026"]


def test_what_is_no_longer_in_the_records_is_removed_from_the_lake(squad: SquadBuilder, tmp_path: Path) -> None:
    squad.strikes("Ana", Foot.LEFT, "+-+", day=date(2026, 3, 7))
    write_lake(squad.database, tmp_path, club=CLUB)
    with Database.open(None) as empty:
        (gone,) = write_lake(empty, tmp_path, club=CLUB)
    assert (gone.season, gone.what) == ("2025-26", "removed")
    assert not [path for path in tmp_path.rglob("*") if path.is_file()]


def test_a_club_keeps_the_id_it_was_given_first(database: Database) -> None:
    made = club_id(database)
    assert club_id(database) == made
    assert club_id(database, made) == made
    with pytest.raises(RequestError, match="has the id"):
        club_id(database, CLUB)


def test_a_federation_may_give_the_id(database: Database) -> None:
    assert club_id(database, CLUB) == CLUB
    assert club_id(database) == CLUB
