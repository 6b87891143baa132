"""CSV text split into rows: by polars when the text is regular, record by record where it is not (RFC 4180)."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import polars as pl

from tracker.errors import FileError
from tracker.intake.rejects import REJECT_SCHEMA, no_rejects

_SEPARATORS = ",;\t"
_QUOTE, _LINE_FEED, _CARRIAGE_RETURN = ord('"'), ord("\n"), ord("\r")


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class CsvText:
    """The rows of a CSV text, blank ones left out. ``frame`` has one String column a heading, in the same order."""

    headings: tuple[str, ...]
    frame: pl.DataFrame
    lines: pl.Series
    rejects: pl.DataFrame
    separator: str


@dataclass(frozen=True, kw_only=True, slots=True)
class _Header:
    headings: tuple[str, ...]
    separator: str
    next_line: int
    next_byte: int


def read_csv_text(content: bytes, *, source: str) -> CsvText:
    """Splits UTF-8 CSV content into rows, each with the line it starts on, counted from 1.

    The separator is the one of comma, semicolon and tab that the header holds most of. A row that has more fields than
    the header, or a misplaced quotation mark, becomes a reject; a row with fewer fields is filled with nulls.
    Raises FileError when there is no header, no row, or a quotation mark that is never closed.
    """
    header = _read_header(content, source=source)
    data = content[header.next_byte :]
    rejects = no_rejects()
    frame = _read_regular(data, header=header) if _quotes_are_regular(data, separator=header.separator) else None
    if frame is not None:
        lines = _line_of_each_row(frame, data=data, header=header)
    if frame is None or lines is None:
        data, lines, rejects = _regularised(data.decode(), header=header, source=source)
        frame = _read_regular(data, header=header)
        if frame is None or frame.height != lines.len():
            raise FileError(f"{source}: cannot be split into rows and columns; save it again as CSV UTF-8")
    blank = _blank_rows(frame)
    if blank.any():
        frame, lines = frame.filter(~blank), lines.filter(~blank)
    if frame.is_empty() and rejects.is_empty():
        raise FileError(f"{source}: has a header but no rows")
    # One chunk a column: pl.format fails (polars 2.1.0) on columns that have empty chunks, as filtering leaves them.
    frame = frame.rechunk()
    return CsvText(headings=header.headings, frame=frame, lines=lines, rejects=rejects, separator=header.separator)


def _read_header(content: bytes, *, source: str) -> _Header:
    first_mark = re.compile(rb"\s*").match(content)
    assert first_mark is not None
    if first_mark.end() == len(content):
        raise FileError(f"{source}: is empty; the first line must name the columns")
    start = content.rfind(b"\n", 0, first_mark.end()) + 1
    line = content.count(b"\n", 0, start) + 1
    end = start

    def lines_of_header() -> Iterator[str]:
        nonlocal end
        while end < len(content):
            begin, end = end, (content.find(b"\n", end) + 1) or len(content)
            yield content[begin:end].decode()

    first_line = next(lines_of_header())
    unquoted = re.sub(r'"[^"]*"', "", first_line)
    separator = max(_SEPARATORS, key=unquoted.count)
    end = start
    reader = csv.reader(lines_of_header(), delimiter=separator, strict=True, skipinitialspace=True)
    try:
        headings = next(reader)
    except csv.Error as error:
        raise FileError(
            f"{source}: line {line}: the header cannot be read ({error}); check its quotation marks"
        ) from error
    return _Header(
        headings=tuple(heading.strip() for heading in headings),
        separator=separator,
        next_line=line + reader.line_num,
        next_byte=end,
    )


def _quotes_are_regular(data: bytes, *, separator: str) -> bool:
    """Whether every quoted field starts right after a separator or line end, and ends right before one."""
    if b'"' not in data:
        return True
    text = np.frombuffer(b"\n" + data + b"\n", dtype=np.uint8)
    quotes = np.flatnonzero(text == _QUOTE)
    if quotes.size % 2:
        return False
    opening, closing = quotes[0::2], quotes[1::2]
    before, after = text[opening - 1], text[closing + 1]
    doubled = opening[1:] == closing[:-1] + 1
    starts = (before == ord(separator)) | (before == _LINE_FEED)
    ends = (after == ord(separator)) | (after == _LINE_FEED) | (after == _CARRIAGE_RETURN)
    starts[1:] |= doubled
    ends[:-1] |= doubled
    return bool(starts.all() and ends.all())


def _read_regular(data: bytes, *, header: _Header) -> pl.DataFrame | None:
    """The rows as polars reads them, blank ones as nulls; None when it finds a row with too many fields."""
    columns = header.separator.join(str(place) for place in range(len(header.headings)))
    try:
        return pl.read_csv(
            columns.encode() + b"\n" + data, separator=header.separator, infer_schema=False, raise_if_empty=False
        )
    except pl.exceptions.PolarsError:
        return None


def _line_of_each_row(frame: pl.DataFrame, *, data: bytes, header: _Header) -> pl.Series | None:
    """The line each row starts on; None when lines and rows do not add up."""
    line_count = data.count(b"\n") + (not data.endswith(b"\n") and bool(data))
    lines = pl.int_range(header.next_line, header.next_line + frame.height, dtype=pl.Int64, eager=True).alias("line")
    if frame.height == line_count:
        return lines
    inner = frame.select(
        pl.sum_horizontal(pl.all().str.count_matches("\n", literal=True).fill_null(0)).cast(pl.Int64)
    ).to_series()
    if frame.height + inner.sum() != line_count:
        return None
    return lines + inner.cum_sum().shift(1, fill_value=0)


def _regularised(text: str, *, header: _Header, source: str) -> tuple[bytes, pl.Series, pl.DataFrame]:
    """The same rows as regular CSV, the line each starts on, and the rows that cannot be split, as rejects."""
    width = len(header.headings)
    regular = io.StringIO()
    writer = csv.writer(regular, delimiter=header.separator, lineterminator="\n")
    reader = csv.reader(io.StringIO(text, newline="\n"), delimiter=header.separator, strict=True, skipinitialspace=True)
    lines: list[int] = []
    rejects: list[tuple[int, str, str, str]] = []
    while True:
        line = header.next_line + reader.line_num
        try:
            row = next(reader)
        except StopIteration:
            break
        except csv.Error as error:
            if "unexpected end of data" in str(error):
                raise FileError(
                    f"{source}: line {line}: a quotation mark opens a field and is never closed; "
                    "close it, or double it if it belongs to the text"
                ) from error
            rejects.append((line, "", "", f"the row cannot be split into fields ({error}); put the field in quotes"))
            continue
        surplus = row[width:]
        if any(field.strip() for field in surplus):
            why = f"the row has {len(row)} fields, the header names {width}; put text that holds a separator in quotes"
            rejects.append((line, "", header.separator.join(surplus), why))
        elif row:
            writer.writerow(row[:width] + [""] * (width - len(row)))
            lines.append(line)
    return (
        regular.getvalue().encode(),
        pl.Series("line", lines, dtype=pl.Int64),
        pl.DataFrame(rejects, schema=REJECT_SCHEMA, orient="row"),
    )


def _blank_rows(frame: pl.DataFrame) -> pl.Series:
    """Which rows hold nothing but spaces. Looks at all columns only where the first is empty."""
    is_empty = pl.all().fill_null("").str.strip_chars() == ""
    blank = frame.select(pl.nth(0).fill_null("").str.strip_chars() == "").to_series()
    if not blank.any():
        return blank
    return blank & frame.select(pl.all_horizontal(is_empty)).to_series()
