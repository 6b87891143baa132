"""Text that a spreadsheet program would run as a formula is defused in CSV, and comes back unchanged."""

from __future__ import annotations

import polars as pl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tracker.intake.spreadsheet_text import neutralised, restored

any_text = st.text() | st.text(alphabet="'=+-@\t\rab")


def as_written(text: str) -> str:
    return str(pl.DataFrame({"text": [text]}).select(neutralised(pl.col("text"))).item())


def as_read(text: str) -> str:
    return str(pl.DataFrame({"text": [text]}).select(restored(pl.col("text"))).item())


@pytest.mark.parametrize(
    ("text", "in_csv"),
    [
        ('=HYPERLINK("x")', '\'=HYPERLINK("x")'),
        ("+44", "'+44"),
        ("-1", "'-1"),
        ("@name", "'@name"),
        ("\tx", "'\tx"),
        ("\rx", "'\rx"),
        ("\nx", "'\nx"),
        ("＝1+1", "'＝1+1"),
        ("＠x", "'＠x"),
        ("'=1", "''=1"),
        ("''=1", "'''=1"),
        ("'hello", "'hello"),
        ("O'Brien", "O'Brien"),
        ("<script>", "<script>"),
        ("a=b", "a=b"),
        ("", ""),
    ],
)
def test_risky_text_gets_one_apostrophe_and_loses_it_again(text: str, in_csv: str) -> None:
    assert as_written(text) == in_csv
    assert as_read(in_csv) == text


@settings(max_examples=300, deadline=None)
@given(any_text)
def test_any_text_comes_back_unchanged(text: str) -> None:
    assert as_read(as_written(text)) == text


@settings(max_examples=300, deadline=None)
@given(any_text)
def test_no_written_text_starts_a_formula(text: str) -> None:
    assert not as_written(text).startswith(("=", "+", "-", "@", "＝", "＋", "－", "＠", "\t", "\r", "\n"))


def test_a_formula_from_another_program_is_kept_as_text() -> None:
    assert as_read("=1+1") == "=1+1"


def test_a_missing_text_stays_missing() -> None:
    frame = pl.DataFrame({"text": [None]}, schema={"text": pl.String})
    assert frame.select(restored(neutralised(pl.col("text")))).item() is None
