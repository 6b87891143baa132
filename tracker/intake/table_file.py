"""Any table file, CSV or Parquet, read as text: every row with the line it came from, nothing dropped unsaid."""

from __future__ import annotations

import hashlib
import io
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import polars as pl
import polars.selectors as cs

from tracker.domain.file_content import read_content
from tracker.errors import FileError, RequestError
from tracker.intake.csv_text import read_csv_text
from tracker.intake.rejects import no_rejects
from tracker.intake.spreadsheet_text import restored

LARGEST_FILE_BYTES = 2 * 1000**3
MOST_COLUMNS = 500
MOST_CELLS, LARGEST_UNPACKED_BYTES = 200_000_000, 500 * 1000**2  # of a Parquet file, which can be far smaller

_UTF_8_MARK = b"\xef\xbb\xbf"
_PARQUET_MARK = b"PAR1"
_SAVE_AS_CSV = "open it in a spreadsheet program and save the sheet as CSV (UTF-8)"
_FOREIGN_STARTS = {
    b"PK\x03\x04": f"is a workbook (.xlsx, .ods) or a zip archive, not a table of text; {_SAVE_AS_CSV}",
    b"\xd0\xcf\x11\xe0": f"is an old workbook (.xls), not a table of text; {_SAVE_AS_CSV}",
    b"%PDF": "is a PDF, not a table of text; export the data it was printed from as CSV",
    b"\x1f\x8b": "is compressed (gzip); unpack it first",
    b"\xff\xfe\0\0": "is saved as UTF-32; save it again as CSV UTF-8",
    b"\xff\xfe": "is saved as UTF-16; save it again as CSV UTF-8",
    b"\xfe\xff": "is saved as UTF-16; save it again as CSV UTF-8",
}
_POLARS_ERRORS = (pl.exceptions.PolarsError, pl.exceptions.PanicException)
_READABLE_TYPES = (pl.String, pl.Boolean, pl.Date, pl.Datetime, pl.Categorical, pl.Enum, pl.Null)


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class RawTable:
    """The text of a table file.

    ``frame``: one row a data row of the file, blank rows left out; every column String, named by ``field_name``; an
    empty field is null or "". ``lines`` (Int64): the line of the file each row starts on, from 1 (in Parquet: its row
    number). ``headings``: how the file itself writes each column's name. ``rejects``: rows that could not be split
    into the header's columns. ``source``: the file, for messages. ``digest``: SHA-256 of the content in hex, the same
    with or without byte-order mark and with either line end. ``decimal_comma``: whether numbers may say 16,5.
    """

    frame: pl.DataFrame
    lines: pl.Series
    headings: Mapping[str, str]
    rejects: pl.DataFrame
    source: str
    digest: str
    decimal_comma: bool


def field_name(heading: str) -> str:
    """The name of a column, letter case, spaces and dashes aside.

    >>> field_name(" Distance-M ")
    'distance_m'
    """
    return "_".join(heading.lower().replace("-", " ").replace("_", " ").split())


def read_table(path: Path) -> RawTable:
    """Reads a CSV file (UTF-8; comma, semicolon or tab) or a Parquet file, told apart by content and ending.

    Raises FileError, naming the file, the line where known, and what to do, when it cannot be read at all.
    """
    content = read_content(path, most_bytes=LARGEST_FILE_BYTES, wanted="one CSV or Parquet file")
    return table_from_bytes(content, source=str(path))


def table_from_bytes(content: bytes, *, source: str) -> RawTable:
    """The same as ``read_table`` for content already in memory; ``source`` is the file's name.

    Raises FileError as ``read_table`` does.
    """
    if content.startswith(_PARQUET_MARK) and content.endswith(_PARQUET_MARK):
        return _parquet_table(content, source=source)
    if source.lower().endswith(".parquet"):
        raise FileError(
            f"{source}: is not a Parquet file, or is cut short; export it again, or name it .csv if it is CSV"
        )
    for start, why in _FOREIGN_STARTS.items():
        if content.startswith(start):
            raise FileError(f"{source}: {why}")
    return _csv_table(content.removeprefix(_UTF_8_MARK), source=source)


def with_fields(table: RawTable, *, column_map: Mapping[str, str], fields: Collection[str]) -> RawTable:
    """The table with columns renamed: ``column_map`` says which column of the file is which of ``fields``.

    Raises RequestError when the file has no such column, when there is no such field, or when two columns would be
    the same field.
    """
    names = {column: column for column in table.frame.columns}
    for column, field in column_map.items():
        if field_name(column) not in names:
            raise RequestError(
                f'{table.source}: the header has no column "{column}" to use as {field}; found: {_list(table.headings)}'
            )
        if field_name(field) not in fields:
            raise RequestError(f'there is no field "{field}" to use column "{column}" as; fields: {", ".join(fields)}')
        names[field_name(column)] = field_name(field)
    headings: dict[str, str] = {}
    for column, field in names.items():
        if field in headings:
            both = f'"{headings[field]}" and "{table.headings[column]}"'
            raise RequestError(f"{table.source}: columns {both} would both be {field}; rename one of them in the file")
        headings[field] = table.headings[column]
    return replace(table, frame=table.frame.rename(names), headings=headings)


def require_columns(table: RawTable, required: Sequence[Sequence[str]]) -> None:
    """Raises FileError unless the table has, of each group of ``required``, at least one column."""
    missing = [
        " or ".join(f'"{name}"' for name in group) for group in required if not set(group) & set(table.frame.columns)
    ]
    if missing:
        raise FileError(
            f"{table.source}: the header has no column {', no column '.join(missing)}; found: {_list(table.headings)}. "
            "If a column has another name, say so with --map COLUMN=FIELD"
        )


def _csv_table(content: bytes, *, source: str) -> RawTable:
    if (position := content.find(b"\0")) >= 0:
        line = content.count(b"\n", 0, position) + 1
        raise FileError(
            f"{source}: line {line} holds a zero byte, so this is not UTF-8 text{_guess(content)}; "
            "save it again as CSV UTF-8"
        )
    try:
        content.decode()
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise FileError(
            f"{source}: line {line} is not UTF-8 text{_guess(content)}; save it again as CSV UTF-8"
        ) from error
    if b"\n" not in content:
        content = content.replace(b"\r", b"\n")
    digest = hashlib.sha256(content.replace(b"\r\n", b"\n") if b"\r" in content else content).hexdigest()
    table = read_csv_text(content, source=source)
    frame = _with_field_names(table.frame, headings=table.headings, source=source)
    if b"'" in content:
        frame = frame.with_columns(restored(cs.string()))
    return RawTable(
        frame=frame,
        lines=table.lines,
        headings=_headings(frame, table.headings),
        rejects=table.rejects,
        source=source,
        digest=digest,
        decimal_comma=table.separator != ",",
    )


def _guess(content: bytes) -> str:
    """What a text that is no UTF-8 was probably saved as, in words to put behind "is not UTF-8 text"."""
    start = content[:1000]
    if b"\0" in start:
        zeros = start[::2].count(0), start[1::2].count(0)  # of letters without accents every other byte is zero
        return " but looks like UTF-16" if max(zeros) > len(start) // 4 and min(zeros) * 4 < max(zeros) else ""
    strange = {byte for byte in content if byte >= 0x80}
    if b"\n" not in content or any(byte < 0x20 and byte not in b"\t\n\r" for byte in start):
        return ""
    in_windows_only = any(byte < 0xA0 for byte in strange)
    return " but looks like Windows-1252" if in_windows_only else " but looks like Latin-1 or Windows-1252"


def _parquet_table(content: bytes, *, source: str) -> RawTable:
    typed = _read_parquet(content, source=source)
    if typed.is_empty():
        raise FileError(f"{source}: has a header but no rows")
    headings = typed.columns
    text = _with_field_names(
        typed.select(_text(name, dtype) for name, dtype in typed.schema.items()), headings=headings, source=source
    )
    return RawTable(
        frame=text,
        lines=pl.int_range(1, text.height + 1, dtype=pl.Int64, eager=True).alias("line"),
        headings=_headings(text, headings),
        rejects=no_rejects(),
        source=source,
        digest=hashlib.sha256(content).hexdigest(),
        decimal_comma=False,
    )


def _read_parquet(content: bytes, *, source: str) -> pl.DataFrame:
    # pyarrow, because a damaged file made polars allocate without limit and end the whole process.
    import pyarrow  # type: ignore[import-untyped]
    import pyarrow.parquet  # type: ignore[import-untyped]

    try:
        schema = pyarrow.parquet.read_schema(io.BytesIO(content))
        _refuse_unreadable(pl.DataFrame(pl.from_arrow(schema.empty_table())).schema, source=source)
        texts = [one.name for one in schema if one.type in (pyarrow.string(), pyarrow.large_string())]
        # Texts stay dictionaries until their length is known: a few hundred bytes can stand for many gigabytes.
        file = pyarrow.parquet.ParquetFile(io.BytesIO(content), read_dictionary=texts)
        if file.metadata.num_rows * file.metadata.num_columns > MOST_CELLS:
            raise FileError(f"{source}: has more than {MOST_CELLS:,} fields; split it into smaller files")
        table = file.read()
        table.validate(full=True)
        if _unpacked_bytes(table) > LARGEST_UNPACKED_BYTES:
            raise FileError(f"{source}: unpacks to more than {LARGEST_UNPACKED_BYTES / 1000**2:g} MB of text; split it")
        return pl.DataFrame(pl.from_arrow(table)).cast(dict.fromkeys(texts, pl.String))
    except (pyarrow.ArrowException, OSError, ValueError, MemoryError, *_POLARS_ERRORS) as error:
        raise FileError(f"{source}: is a damaged Parquet file; export it again") from error


def _refuse_unreadable(schema: pl.Schema, *, source: str) -> None:
    for name, dtype in schema.items():
        if not (dtype.is_numeric() or dtype in _READABLE_TYPES):
            raise FileError(f'{source}: column "{name}" holds {dtype}, not text, numbers or times; leave it out')


def _unpacked_bytes(table: Any) -> int:
    """How many bytes the texts of an Arrow table are, once each stands where it belongs."""
    import pyarrow.compute  # type: ignore[import-untyped]
    from pyarrow.types import is_dictionary, is_string  # type: ignore[import-untyped]

    compute = pyarrow.compute
    return sum(
        compute.sum(compute.take(compute.binary_length(chunk.dictionary), chunk.indices)).as_py() or 0
        for column in table.columns
        if is_dictionary(column.type) and is_string(column.type.value_type)
        for chunk in column.chunks
    )


def _text(name: str, dtype: pl.DataType) -> pl.Expr:
    """The column as the text a CSV of it would hold."""
    column = pl.col(name)
    if isinstance(dtype, pl.Datetime):
        return column.dt.cast_time_unit("us").dt.strftime(
            "%Y-%m-%dT%H:%M:%S%.f%:z" if dtype.time_zone else "%Y-%m-%dT%H:%M:%S%.f"
        )
    return column.cast(pl.String)


def _with_field_names(frame: pl.DataFrame, *, headings: Collection[str], source: str) -> pl.DataFrame:
    """The frame with its columns named by ``field_name``; a column without a heading is named by its place."""
    if len(headings) > MOST_COLUMNS:
        raise FileError(f"{source}: has {len(headings)} columns, more than {MOST_COLUMNS}; leave out those not needed")
    seen: dict[str, tuple[int, str]] = {}
    for place, heading in enumerate(headings, start=1):
        name = field_name(heading) or f"column_{place}"
        if name in seen:
            first_place, first_heading = seen[name]
            raise FileError(
                f'{source}: columns {first_place} ("{first_heading}") and {place} ("{heading}") have the same name; '
                "rename or remove one of them"
            )
        seen[name] = (place, heading)
    return frame.rename(dict(zip(frame.columns, seen, strict=True)))


def _headings(frame: pl.DataFrame, written: Collection[str]) -> dict[str, str]:
    """How the file writes each column's name; a column without one is called by its place."""
    return {name: heading or name for name, heading in zip(frame.columns, written, strict=True)}


def _list(headings: Mapping[str, str]) -> str:
    return ", ".join(headings.values())
