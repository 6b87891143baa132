"""One player's everything, and nothing about anybody else."""

from __future__ import annotations

import io
import zipfile
from datetime import date
from pathlib import Path

import polars as pl
import pytest
from builders import SquadBuilder

from tracker.domain.vocabulary import AuditEvent, Foot
from tracker.errors import FileError
from tracker.review import audit
from tracker.review.club import make_season
from tracker.review.coach_words import write_coach_words
from tracker.review.decisions import place
from tracker.review.logbook import correct
from tracker.review.player_export import export_player, packed_export

DAY = date(2026, 3, 7)


@pytest.fixture
def records(squad: SquadBuilder) -> SquadBuilder:
    season = make_season(squad.database, name="2025/26", starts_on=date(2025, 8, 1), ends_on=date(2026, 7, 31))
    hers = squad.strikes("Ana", Foot.LEFT, "+-+", day=DAY, logger="Tess Oxbow")
    squad.strikes("Ben", Foot.LEFT, "++--", day=DAY, logger="Tess Oxbow")
    correct(squad.database, [hers[0].strike_id], why="it was Ben", corrected_by="Tess Oxbow")
    place(squad.database, squad.player("Ana"), foot=Foot.LEFT, stage=squad.ladder.stages[0], note="better than Ben")
    write_coach_words(squad.database, squad.player("Ana"), season, words="Ana helps Ben; Benjamin is nobody here.")
    write_coach_words(squad.database, squad.player("Ben"), season, words="Only about the boy.")
    audit.note(squad.database, AuditEvent.REPORT_READ, who="coach", players=[squad.player("Ana")])
    audit.note(squad.database, AuditEvent.REPORT_READ, who="coach", players=[squad.player("Ben")])
    return squad


def files_of(content: bytes) -> dict[str, str]:
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        return {name: archive.read(name).decode() for name in archive.namelist()}


def test_it_holds_every_kind_of_record_there_is(records: SquadBuilder) -> None:
    files = files_of(packed_export(records.database, records.player("Ana")))
    assert sorted(files) == [
        "READ ME.txt",
        "audit.csv",
        "coach_words.csv",
        "corrections.csv",
        "placements.csv",
        "practices.csv",
        "profile.csv",
        "strikes.csv",
    ]
    rows = {name: pl.read_csv(io.StringIO(text)).height for name, text in files.items() if name.endswith(".csv")}
    assert (rows["strikes.csv"], rows["practices.csv"], rows["corrections.csv"], rows["audit.csv"]) == (3, 1, 1, 1)


def test_it_names_no_other_child_and_nobody_who_logged(records: SquadBuilder) -> None:
    text = "".join(files_of(packed_export(records.database, records.player("Ana"))).values())
    assert "Ana helps (a player); Benjamin is nobody here." in text
    for other in ("Ben;", "Ben\n", "it was Ben", "than Ben", "the boy", "Tess", str(records.player("Ben").player_id)):
        assert other not in text


def test_it_is_written_as_a_zip_or_as_a_folder(records: SquadBuilder, tmp_path: Path) -> None:
    ana = records.player("Ana")
    assert export_player(records.database, ana, tmp_path / "ana.zip") == [tmp_path / "ana.zip"]
    assert tmp_path / "ana" / "strikes.csv" in export_player(records.database, ana, tmp_path / "ana")
    with pytest.raises(FileError, match="holds something already"):
        export_player(records.database, ana, tmp_path / "ana")
    with pytest.raises(FileError, match="cannot be written"):
        export_player(records.database, ana, tmp_path / "nowhere" / "ana.zip")
