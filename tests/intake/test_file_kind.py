"""A table says by its columns whether it holds strikes or tallies."""

from __future__ import annotations

import pytest

from tracker.errors import FileError, RequestError
from tracker.intake.file_kind import FileKind, recognise
from tracker.intake.table_file import RawTable, table_from_bytes


def table_with(header: str) -> RawTable:
    return table_from_bytes(f"{header}\n{'x,' * header.count(',')}x\n".encode(), source="file.csv")


@pytest.mark.parametrize(
    ("header", "kind"),
    [
        ("player,foot,outcome,struck_at", FileKind.STRIKES),
        ("Player,Foot,On Target,Date", FileKind.STRIKES),
        ("date,player,foot,attempts,on_target", FileKind.TALLIES),
        ("date,player,foot,attempts,outcome", FileKind.STRIKES),
    ],
)
def test_strikes_and_tallies_are_told_apart(header: str, kind: FileKind) -> None:
    assert recognise(table_with(header)) is kind


def test_mapped_columns_count() -> None:
    table = table_with("date,player,foot,tries,hits")
    assert recognise(table, column_map={"tries": "attempts", "hits": "on_target"}) is FileKind.TALLIES


@pytest.mark.parametrize(
    ("header", "sentence"),
    [
        ("a,b", 'no column "player", no column "foot", no column "outcome" or "on_target", '),
        ("player,outcome,date", 'no column "foot"; found: player, outcome, date. '),
        ("player,date,attempts", 'no column "foot", no column "on_target"; found: player, date, attempts. '),
    ],
)
def test_a_header_that_is_neither_says_what_is_missing_and_what_was_found(header: str, sentence: str) -> None:
    with pytest.raises(FileError) as caught:
        recognise(table_with(header))
    assert f"file.csv: the header has {sentence}" in str(caught.value)


def test_a_map_to_a_field_neither_has_is_refused() -> None:
    with pytest.raises(RequestError, match='there is no field "kicker"'):
        recognise(table_with("player,foot"), column_map={"player": "kicker"})
