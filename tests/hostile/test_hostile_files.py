"""Files that are not what they say: each is refused in one sentence, at once, and nothing is stored."""

from __future__ import annotations

import io
import json
import os
import re
import tracemalloc
import zipfile
from collections.abc import Iterator
from pathlib import Path

import polars as pl
import pytest
from builders import SquadBuilder

from tracker.domain import file_content
from tracker.domain.file_content import read_content
from tracker.domain.ladder_file import parse_ladder, read_ladder, shipped_ladder_text
from tracker.errors import FileError, LadderError
from tracker.intake import hand_over_file
from tracker.intake.hand_over_file import new_manifest, packed_hand_over, read_hand_over
from tracker.intake.table_file import LARGEST_FILE_BYTES, read_table, table_from_bytes
from tracker.review.archive import import_archive
from tracker.review.exchange import import_file
from tracker.review.take_over import take_over
from tracker.store.database import Database

HEADING = "player,foot,outcome,date\n"
ROW = "Ana,left,on,2026-03-07\n"
PLAYER_ID = "0198b0c4-7c1e-7d3a-9f00-5a1b2c3d4e5f"
PLAYERS = pl.DataFrame({"player": ["Cleo"], "player_id": [PLAYER_ID]})
MANIFEST = new_manifest(made_by="0.1.0", squad="Marlow U12", ladder="U11–U12", with_notes=False)


def refusal(content: bytes, *, source: str = "x.csv") -> str:
    with pytest.raises(FileError) as caught:
        table_from_bytes(content, source=source)
    assert "\n" not in str(caught.value)
    return str(caught.value)


def zipped(parts: dict[str, bytes], *, kind: int = zipfile.ZIP_DEFLATED) -> bytes:
    content = io.BytesIO()
    with zipfile.ZipFile(content, "w", kind) as archive:
        for name, part in parts.items():
            archive.writestr(name, part)
    return content.getvalue()


def hand_over_parts(**changed: bytes) -> dict[str, bytes]:
    """The parts of a right hand-over, with those changed that are named (``players`` is ``players.parquet``)."""
    right = packed_hand_over(MANIFEST, ladder_text=shipped_ladder_text("U11–U12"), tables={"players": PLAYERS})
    with zipfile.ZipFile(io.BytesIO(right)) as archive:
        return {name: changed.get(name.partition(".")[0], archive.read(name)) for name in archive.namelist()}


@pytest.mark.parametrize(
    ("content", "words"),
    [
        ("player,foot\nZoë,left\n".encode("utf-16"), "is saved as UTF-16"),
        ("player,foot\nZoë,left\n".encode("utf-16-le"), "looks like UTF-16"),
        ("player,foot\nZoë,left\n".encode("utf-32"), "is saved as UTF-32"),
        ("player,foot\nZoë,left\n".encode("latin-1"), "line 2 is not UTF-8 text but looks like Latin-1"),
        ("player,foot\nO’Neil,left\n".encode("cp1252"), "line 2 is not UTF-8 text but looks like Windows-1252"),
        ("player,foot\nZoë,left\n".encode() + "Zoë,left\n".encode("latin-1"), "line 3 is not UTF-8 text"),
        (b"player,foot\nA\0na,left\n", "line 2 holds a zero byte"),
        (b'player,foot\n"Ana,left\nBen,left\n', "a quotation mark opens a field and is never closed"),
        (",".join(f"c{place}" for place in range(10_000)).encode() + b"\n1\n", "has 10000 columns, more than 500"),
        (b"", "is empty"),
        (HEADING.encode(), "has a header but no rows"),
    ],
    ids=[
        "utf-16",
        "utf-16 unmarked",
        "utf-32",
        "latin-1",
        "cp1252",
        "two encodings",
        "zero byte",
        "open quote",
        "columns",
        "empty",
        "header only",
    ],
)
def test_a_table_that_is_none_says_what_it_is_and_what_to_do(content: bytes, words: str) -> None:
    assert words in refusal(content)


def test_a_line_of_ten_million_characters_is_one_long_value(squad: SquadBuilder, tmp_path: Path) -> None:
    path = tmp_path / "long.csv"
    path.write_text(HEADING + "A" * 10_000_000 + ",left,on,2026-03-07\n", encoding="utf-8")
    with pytest.raises(FileError, match="must have 1 to 80 characters") as caught:
        import_file(squad.database, path)
    assert len(str(caught.value)) < 1000


@pytest.mark.parametrize("value", ["1e308", "1e309", "NaN", "inf", "-1", "9" * 400, "0x10", "１２", "1_0"])
def test_a_number_that_cannot_be_is_a_reject_and_nothing_is_stored(
    squad: SquadBuilder, tmp_path: Path, value: str
) -> None:
    path = tmp_path / "numbers.csv"
    path.write_text(f"{HEADING.strip()},distance_m\n{ROW.strip()},{value}\n", encoding="utf-8")
    with pytest.raises(FileError, match=r"distance_m is .*must be 0\.1 to 120 metres"):
        import_file(squad.database, path)
    assert squad.database.query("counts")["strikes"].to_list() == [0]
    assert (tmp_path / "numbers.rejects.csv").exists()


@pytest.mark.parametrize(
    ("day", "why"),
    [
        ("0000-01-01", "must be a date|before 1950"),
        ("0001-01-01", "before 1950"),
        ("9999-12-31", "in the future"),
        ("10000-01-01", "must be a date|in the future"),
        ("2026-02-29", "must be a date"),
        ("2026-03-07+14:00", "must be a date"),
    ],
)
def test_a_date_that_cannot_be_is_a_reject(squad: SquadBuilder, tmp_path: Path, day: str, why: str) -> None:
    path = tmp_path / "days.csv"
    path.write_text(f"{HEADING}Ana,left,on,{day}\n", encoding="utf-8")
    with pytest.raises(FileError, match=why):
        import_file(squad.database, path)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes here")
@pytest.mark.parametrize(
    "read", [read_table, read_ladder, lambda path: read_content(path, most_bytes=9, wanted="a file")]
)
def test_a_pipe_a_device_and_a_folder_are_refused_without_waiting(tmp_path: Path, read: object) -> None:
    assert callable(read)
    pipe, link = tmp_path / "pipe.csv", tmp_path / "link.csv"
    os.mkfifo(pipe)
    link.symlink_to("/dev/zero")
    for path in (pipe, link, Path("/dev/zero"), tmp_path):
        with pytest.raises(FileError, match=r"is not an ordinary file|is a folder"):
            read(path)


def test_a_link_to_an_ordinary_file_is_followed(tmp_path: Path) -> None:
    (tmp_path / "real.csv").write_text(HEADING + ROW, encoding="utf-8")
    (tmp_path / "link.csv").symlink_to(tmp_path / "real.csv")
    assert read_table(tmp_path / "link.csv").frame.height == 1


def test_a_file_above_the_limit_is_refused_before_it_is_read(tmp_path: Path) -> None:
    path = tmp_path / "huge.csv"
    with path.open("wb") as file:
        file.truncate(LARGEST_FILE_BYTES + 1)
    with pytest.raises(FileError, match="is larger than 2 GB; split it into smaller files"):
        read_table(path)


def test_a_sparse_file_of_two_gigabytes_is_refused_for_a_few_megabytes_of_memory(tmp_path: Path) -> None:
    path = tmp_path / "sparse.csv"
    with path.open("wb") as file:
        file.truncate(LARGEST_FILE_BYTES)
    tracemalloc.start()
    with pytest.raises(FileError, match="line 1 holds a zero byte"):
        read_table(path)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 20_000_000


def test_a_file_that_changes_while_it_is_read_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "copying.csv"
    path.write_text(HEADING + ROW, encoding="utf-8")
    first_look = os.fstat

    def look_then_let_it_grow(descriptor: int) -> os.stat_result:
        seen = first_look(descriptor)
        with path.open("a", encoding="utf-8") as file:
            file.write(ROW)
        return seen

    monkeypatch.setattr(file_content.os, "fstat", look_then_let_it_grow)
    with pytest.raises(FileError, match="changed while it was read; wait until it is complete, then try again"):
        read_table(path)


def test_a_parquet_file_that_unpacks_to_a_gigabyte_is_refused_before_it_does() -> None:
    content = io.BytesIO()
    pl.DataFrame({"player": ["A" * 10_000]}).sample(100_000, with_replacement=True).write_parquet(content)
    assert len(content.getvalue()) < 100_000
    assert "unpacks to more than 500 MB of text" in refusal(content.getvalue(), source="x.parquet")


# --- hand-over files ---


@pytest.fixture
def here(squad: SquadBuilder) -> Iterator[Database]:
    """A database, of which nothing may have changed at the end."""
    before = squad.database.changes
    yield squad.database
    assert squad.database.changes == before


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (zipped(hand_over_parts(ladder=b"#" * 300_000_000)), "unpacks to more than 200 MB"),
        (zipped(hand_over_parts(players=zipped({"a": b""}))), "is a workbook|not a Parquet file"),
        (zipped(hand_over_parts(), kind=zipfile.ZIP_BZIP2), "is packed in a way that no hand-over is"),
        (zipped(hand_over_parts())[:-40], "is not a hand-over file, or it is damaged"),
        (zipped({"manifest.json": b"[" * 100_000}), "its manifest.json is not one"),
        (
            zipped(hand_over_parts(manifest=b'{"format": "strike-ladder hand-over", "version": 2}')),
            "newer Strike Ladder",
        ),
        (zipped({"nothing.txt": b""}), "it has no manifest.json"),
        (b"", "is not a hand-over file, or it is damaged"),
    ],
    ids=["bomb", "a zip in the zip", "packed another way", "cut", "deep manifest", "newer", "no manifest", "empty"],
)
def test_a_hand_over_that_is_none_is_refused(here: Database, content: bytes, words: str) -> None:
    with pytest.raises(FileError, match=words):
        take_over(here, content, source="cleo.zip")


def test_a_part_that_lies_about_its_size_is_not_believed(here: Database, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(hand_over_file, "LARGEST_UNPACKED_BYTES", 100_000)
    content = bytearray(zipped(hand_over_parts(ladder=b"#" * 1_000_000)))
    true, lie = (1_000_000).to_bytes(4, "little"), (10).to_bytes(4, "little")
    assert content.count(true) == 2  # beside the part, and in the directory at the end
    with pytest.raises(FileError, match=r"unpacks to more|damaged"):
        take_over(here, bytes(content).replace(true, lie), source="cleo.zip")


def test_a_part_whose_name_leads_elsewhere_is_never_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    names = ["../evil", "../../evil", "/tmp/evil-of-a-hand-over", "C:\\evil", "players.parquet/../../evil"]
    read = read_hand_over(zipped(hand_over_parts() | {name: b"evil" for name in names}), source="cleo.zip")
    assert set(read.tables) == {"players"}
    assert list(tmp_path.rglob("*")) == []
    assert not Path("/tmp/evil-of-a-hand-over").exists()


@pytest.mark.parametrize("column", ["player_id"])
def test_a_hand_over_without_its_ids_is_refused(here: Database, column: str) -> None:
    table = io.BytesIO()
    PLAYERS.drop(column).write_parquet(table)
    with pytest.raises(FileError, match=f"a row has no {column}, so this is no hand-over of ours"):
        take_over(here, zipped(hand_over_parts(players=table.getvalue())), source="cleo.zip")


# --- ladders and folders of records ---


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("[" * 5000, "nested too deep|not valid TOML"),
        ("name = " + "9" * 5000, "a number is too long"),
        ("name = 'a'\nname = 'b'", "not valid TOML"),
        ("name = nan", "must be text in quotes"),
        ("name = 'a'\0", "not valid TOML"),
        ("#" * 200_001, "longer than 200,000 characters"),
        ("", "is missing"),
        (shipped_ladder_text("U11–U12").replace("p_ready = ", "p_ready = nan #", 1), "p_ready"),
        (shipped_ladder_text("U11–U12").replace("distance_yd = ", "distance_yd = 1e308 #", 1), "distance_yd"),
    ],
    ids=["deep", "long number", "twice", "nan", "zero byte", "long", "empty", "nan rate", "far"],
)
def test_a_ladder_that_is_none_says_where_and_why(text: str, words: str) -> None:
    with pytest.raises(LadderError, match=words) as caught:
        parse_ladder(text, source="own.toml")
    assert len(str(caught.value)) < 600


@pytest.mark.parametrize(
    ("file", "content", "words"),
    [
        ("settings.csv", "setting,value\nlength_unit,furlongs\n", "length_unit is 'furlongs': must be"),
        ("settings.csv", "setting,value\npaper,skin\n", "paper is 'skin': must be"),
        ("squads.csv", "squad,ladder\nReds,Nobody knows\n", "No ladder named 'Nobody knows'.*ladders/"),
        ("strikes.csv", f"{HEADING}Ana,neither,on,2026-03-07\n", "foot is .*must be left or right"),
    ],
)
def test_a_folder_with_one_wrong_value_stores_nothing(
    here: Database, tmp_path: Path, file: str, content: str, words: str
) -> None:
    (tmp_path / "players.csv").write_text("player,squad\nCleo,Quillhaven U12\n", encoding="utf-8")
    (tmp_path / file).write_text(content, encoding="utf-8")
    with pytest.raises(FileError, match=words):
        import_archive(here, tmp_path)


def test_a_folder_cannot_bring_a_passcode_along(database: Database, tmp_path: Path) -> None:
    (tmp_path / "settings.csv").write_text("setting,value\npasscode_hash,x\nlength_unit,m\n", encoding="utf-8")
    import_archive(database, tmp_path)
    kept = {row["name"] for row in database.query("list_settings").iter_rows(named=True)}
    assert "passcode_hash" not in kept
    assert "length_unit" in kept


def test_the_manifest_is_read_as_data_and_shown_as_such() -> None:
    said = json.loads(hand_over_parts()["manifest.json"]) | {"squad": "<script>alert(1)</script>", "more": [1]}
    read = read_hand_over(zipped(hand_over_parts(manifest=json.dumps(said).encode())), source="cleo.zip")
    assert read.manifest.squad == "<script>alert(1)</script>"
    assert not re.search("more", str(read.manifest))
