"""Table files are read as text, row by row with line numbers, or refused in one sentence that says what to do."""

from __future__ import annotations

import csv
import io
import os
from datetime import UTC, date, datetime
from pathlib import Path

import polars as pl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tracker.errors import FileError, RequestError
from tracker.intake.table_file import RawTable, read_table, table_from_bytes, with_fields


def table_of(text: str) -> RawTable:
    return table_from_bytes(text.encode(), source="strikes.csv")


def parquet_bytes(frame: pl.DataFrame) -> bytes:
    buffer = io.BytesIO()
    frame.write_parquet(buffer)
    return buffer.getvalue()


def refusal(content: bytes, *, source: str = "strikes.csv") -> str:
    with pytest.raises(FileError) as caught:
        table_from_bytes(content, source=source)
    return str(caught.value)


PLAIN = "player,foot\nAnn,left\nBo,right\n"


@pytest.mark.parametrize(
    "content",
    [
        PLAIN.encode(),
        b"\xef\xbb\xbf" + PLAIN.encode(),
        PLAIN.replace(",", ";").encode(),
        PLAIN.replace(",", "\t").encode(),
        PLAIN.replace("\n", "\r\n").encode(),
        PLAIN.replace("\n", "\r").encode(),
        PLAIN.rstrip("\n").encode(),
        b'"player","foot"\n"Ann","left"\n"Bo","right"\n',
        b"\n\n" + PLAIN.encode(),
    ],
    ids=["plain", "mark", "semicolon", "tab", "crlf", "cr", "no last line end", "quoted", "blank lines first"],
)
def test_every_usual_form_of_csv_gives_the_same_rows(content: bytes) -> None:
    table = table_from_bytes(content, source="strikes.csv")
    assert table.frame.columns == ["player", "foot"]
    assert table.frame.rows() == [("Ann", "left"), ("Bo", "right")]


def test_the_digest_ignores_the_byte_order_mark_and_the_line_ends() -> None:
    digests = {
        table_from_bytes(content, source="x.csv").digest
        for content in (
            PLAIN.encode(),
            b"\xef\xbb\xbf" + PLAIN.encode(),
            PLAIN.replace("\n", "\r\n").encode(),
            PLAIN.replace("\n", "\r").encode(),
        )
    }
    assert len(digests) == 1
    assert table_of(PLAIN + "Cy,left\n").digest not in digests


def test_heading_case_spaces_and_dashes_are_free() -> None:
    table = table_of(" Player , DISTANCE M,struck-at\nAnn,12,2026-03-14\n")
    assert table.frame.columns == ["player", "distance_m", "struck_at"]
    assert table.headings == {"player": "Player", "distance_m": "DISTANCE M", "struck_at": "struck-at"}


def test_lines_are_those_of_the_file_behind_blank_lines_and_quoted_line_ends() -> None:
    table = table_of('\nplayer,note\n\nAnn,"one\ntwo"\n\n,\nBo,"three"\nCy,\n')
    assert table.frame["player"].to_list() == ["Ann", "Bo", "Cy"]
    assert table.lines.to_list() == [4, 8, 9]


def test_lines_count_a_heading_of_two_lines() -> None:
    table = table_of('player,"any\nnote"\nAnn,x\n')
    assert table.frame.columns == ["player", "any_note"]
    assert table.lines.to_list() == [3]


def test_quoted_fields_may_hold_separators_and_quotation_marks() -> None:
    assert table_of('player,foot\n"Lee, ""Ace"" Ann",left\n').frame.row(0) == ('Lee, "Ace" Ann', "left")


def test_a_quotation_mark_inside_an_unquoted_field_is_text() -> None:
    table = table_of('player,foot\nAnn "Ace" Lee,left\nBo 6",right\n')
    assert table.frame["player"].to_list() == ['Ann "Ace" Lee', 'Bo 6"']
    assert table.lines.to_list() == [2, 3]


def test_a_row_with_too_many_fields_is_a_reject_and_the_others_stay() -> None:
    table = table_of("player,foot\nAnn,left\nLee, Bo,right\nCy,right\n")
    assert table.frame["player"].to_list() == ["Ann", "Cy"]
    assert table.lines.to_list() == [2, 4]
    assert table.rejects.rows() == [
        (3, "", "right", "the row has 3 fields, the header names 2; put text that holds a separator in quotes")
    ]


def test_empty_fields_beyond_the_header_are_harmless() -> None:
    table = table_of("player,foot\nAnn,left,,\nBo,right\n")
    assert table.rejects.is_empty()
    assert table.frame.rows() == [("Ann", "left"), ("Bo", "right")]


def test_a_short_row_has_empty_fields_at_its_end() -> None:
    assert table_of("player,foot,stage\nAnn,left\nBo\n").frame.rows() == [("Ann", "left", None), ("Bo", None, None)]


def test_text_after_a_closing_quotation_mark_is_a_reject() -> None:
    table = table_of('player,foot\n"Ann"a,left\nBo,right\n')
    assert table.frame["player"].to_list() == ["Bo"]
    assert table.rejects["line"].to_list() == [2]
    assert "cannot be split into fields" in table.rejects["why"][0]


def test_formulas_defused_in_csv_are_text_again() -> None:
    assert table_of("player,foot\n'=1+1,left\n''=x,left\n'tHooft,left\n").frame["player"].to_list() == [
        "=1+1",
        "'=x",
        "'tHooft",
    ]


def test_numbers_may_have_a_decimal_comma_where_commas_do_not_separate() -> None:
    assert table_of("player;distance_m\nAnn;16,5\n").decimal_comma
    assert not table_of("player,distance_m\nAnn,16.5\n").decimal_comma


def test_typed_parquet_columns_become_the_text_a_csv_would_hold() -> None:
    frame = pl.DataFrame(
        {
            "Player": ["Ann", None],
            "foot": pl.Series(["left", "right"], dtype=pl.Enum(["left", "right"])),
            "on_target": [True, None],
            "distance_m": [16.5, None],
            "date": [date(2026, 3, 14), None],
            "struck_at": [datetime(2026, 3, 14, 18, 5, 30, 250000, tzinfo=UTC), None],
            "local": [datetime(2026, 3, 14, 18, 5), None],  # noqa: DTZ001 (no zone is the point)
            "attempts": [10, None],
        }
    )
    table = table_from_bytes(parquet_bytes(frame), source="strikes.parquet")
    assert table.frame.row(0) == (
        "Ann",
        "left",
        "true",
        "16.5",
        "2026-03-14",
        "2026-03-14T18:05:30.250+00:00",
        "2026-03-14T18:05:00",
        "10",
    )
    assert table.frame.row(1) == (None, "right", *[None] * 6)
    assert table.lines.to_list() == [1, 2]


def test_parquet_text_is_never_taken_for_a_defused_formula() -> None:
    frame = pl.DataFrame({"player": ["'=1"], "foot": ["left"]})
    assert table_from_bytes(parquet_bytes(frame), source="x.parquet").frame["player"].to_list() == ["'=1"]


def test_a_parquet_column_of_lists_is_refused() -> None:
    assert 'column "feet" holds List(String)' in refusal(
        parquet_bytes(pl.DataFrame({"feet": [["left"]]})), source="x.parquet"
    )


def test_a_damaged_parquet_file_is_refused() -> None:
    good = parquet_bytes(pl.DataFrame({"player": ["Ann"] * 50}))
    assert refusal(b"PAR1" + b"\x07" * 40 + b"PAR1") == "strikes.csv: is a damaged Parquet file; export it again"
    assert "is not a Parquet file, or is cut short" in refusal(good[: len(good) // 2], source="x.parquet")
    assert "is not a Parquet file" in refusal(PLAIN.encode(), source="X.PARQUET")


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "strikes.csv: is empty; the first line must name the columns"),
        (b" \r\n\n\t\n", "strikes.csv: is empty; the first line must name the columns"),
        (b"\xef\xbb\xbf", "strikes.csv: is empty; the first line must name the columns"),
        (b"player,foot\n", "strikes.csv: has a header but no rows"),
        (b"player,foot\n\n,\n  ,\n", "strikes.csv: has a header but no rows"),
        (
            "player,foot\nAnn,left\nJosé,left\n".encode("latin-1"),
            "strikes.csv: line 3 is not UTF-8 text but looks like Latin-1 or Windows-1252; save it again as CSV UTF-8",
        ),
        (PLAIN.encode("utf-16"), "strikes.csv: is saved as UTF-16; save it again as CSV UTF-8"),
        (b"\xfe\xff" + PLAIN.encode("utf-16-be"), "strikes.csv: is saved as UTF-16; save it again as CSV UTF-8"),
        (
            b"player,foot\nAnn,le\0ft\n",
            "strikes.csv: line 2 holds a zero byte, so this is not UTF-8 text; save it again as CSV UTF-8",
        ),
        (
            b"PK\x03\x04rest",
            "strikes.csv: is a workbook (.xlsx, .ods) or a zip archive, not a table of text; "
            "open it in a spreadsheet program and save the sheet as CSV (UTF-8)",
        ),
        (
            b"\xd0\xcf\x11\xe0rest",
            "strikes.csv: is an old workbook (.xls), not a table of text; "
            "open it in a spreadsheet program and save the sheet as CSV (UTF-8)",
        ),
        (b"%PDF-1.7", "strikes.csv: is a PDF, not a table of text; export the data it was printed from as CSV"),
        (b"\x1f\x8b\x08", "strikes.csv: is compressed (gzip); unpack it first"),
        (
            b"Foot,player, foot \nleft,Ann,left\n",
            'strikes.csv: columns 1 ("Foot") and 3 ("foot") have the same name; rename or remove one of them',
        ),
        (
            b'player,foot\nAnn,left\nBo,"right\nCy,left\n',
            "strikes.csv: line 3: a quotation mark opens a field and is never closed; "
            "close it, or double it if it belongs to the text",
        ),
        (
            b'player,"foot\nAnn,left\n',
            "strikes.csv: line 1: the header cannot be read (unexpected end of data); check its quotation marks",
        ),
        (
            (",".join(f"c{i}" for i in range(501)) + "\n1\n").encode(),
            "strikes.csv: has 501 columns, more than 500; leave out those not needed",
        ),
    ],
)
def test_a_file_that_cannot_be_read_is_refused_in_one_sentence(content: bytes, sentence: str) -> None:
    assert refusal(content) == sentence


def test_a_missing_file_a_folder_and_a_device_are_refused(tmp_path: Path) -> None:
    for path, why in (
        (tmp_path / "none.csv", "there is no such file; check the name and the folder"),
        (tmp_path, "is a folder; name one CSV or Parquet file"),
        (Path(os.devnull), "is not an ordinary file; name one CSV or Parquet file"),
    ):
        with pytest.raises(FileError) as caught:
            read_table(path)
        assert str(caught.value) == f"{path}: {why}"


def test_a_path_no_file_can_have_is_refused(tmp_path: Path) -> None:
    with pytest.raises(FileError, match=r"there is no such file|cannot be opened"):
        read_table(tmp_path / ("x" * 5000))


def test_a_file_over_two_gigabytes_is_refused_unread(tmp_path: Path) -> None:
    path = tmp_path / "huge.csv"
    path.touch()
    os.truncate(path, 2_000_000_001)
    with pytest.raises(FileError, match="is larger than 2 GB; split it into smaller files"):
        read_table(path)


def test_a_file_is_read_from_its_path(tmp_path: Path) -> None:
    path = tmp_path / "strikes.csv"
    path.write_text(PLAIN)
    table = read_table(path)
    assert table.source == str(path)
    assert table.frame.height == 2


def test_columns_can_be_mapped_to_fields() -> None:
    table = with_fields(table_of("Kicker,foot\nAnn,left\n"), column_map={"kicker": "player"}, fields=["player", "foot"])
    assert table.frame.columns == ["player", "foot"]
    assert table.headings["player"] == "Kicker"


@pytest.mark.parametrize(
    ("column_map", "sentence"),
    [
        ({"kik": "player"}, 'strikes.csv: the header has no column "kik" to use as player; found: kicker, foot'),
        ({"kicker": "plyer"}, 'there is no field "plyer" to use column "kicker" as; fields: player, foot'),
        (
            {"kicker": "foot"},
            'strikes.csv: columns "kicker" and "foot" would both be foot; rename one of them in the file',
        ),
    ],
)
def test_a_map_that_does_not_fit_is_refused(column_map: dict[str, str], sentence: str) -> None:
    with pytest.raises(RequestError) as caught:
        with_fields(table_of("kicker,foot\nAnn,left\n"), column_map=column_map, fields=["player", "foot"])
    assert str(caught.value) == sentence


any_content = st.one_of(
    st.binary(max_size=200),
    st.binary(max_size=200).map(lambda tail: b"player,foot\n" + tail),
    st.binary(max_size=200).map(lambda middle: b"PAR1" + middle + b"PAR1"),
    st.text(alphabet="a,;\t\"\n\r '=é", max_size=40).map(str.encode),
)


@settings(max_examples=300, deadline=None)
@given(any_content)
def test_any_content_gives_a_table_or_a_file_error(content: bytes) -> None:
    read = table_or_refusal(content)
    if isinstance(read, str):
        assert read.startswith("any.csv: ")
    else:
        assert read.frame.height == read.lines.len()
        assert read.lines.is_sorted()


def table_or_refusal(content: bytes) -> RawTable | str:
    try:
        return table_from_bytes(content, source="any.csv")
    except FileError as error:
        return str(error)


def rows_by_the_standard_library(text: str) -> list[tuple[int, str, str]]:
    """What Python's csv module reads: line, first and second field, blank and overlong rows left out."""
    reader = csv.reader(io.StringIO(text, newline="\n"), strict=True, skipinitialspace=True)
    rows: list[tuple[int, str, str]] = []
    while True:
        line = reader.line_num + 1
        try:
            row = next(reader)
        except StopIteration:
            return rows[1:]
        except csv.Error:
            continue
        first, second, *surplus = [*(field.strip() for field in row), "", ""]
        if (first or second) and not any(surplus):
            rows.append((line, first, second))


@settings(max_examples=400, deadline=None)
@given(st.text(alphabet='a,"\n b', max_size=40))
def test_rows_and_lines_are_those_of_another_csv_reader(text: str) -> None:
    try:
        table = table_of("p,q\n" + text)
    except FileError:
        return
    read = [
        (line, (first or "").strip(), (second or "").strip())
        for line, (first, second) in zip(table.lines, table.frame.rows(), strict=True)
    ]
    assert read == rows_by_the_standard_library("p,q\n" + text)
