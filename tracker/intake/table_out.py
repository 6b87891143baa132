"""A frame becomes a CSV or Parquet file that reads back as the same frame."""

from __future__ import annotations

import io
from pathlib import Path

import polars as pl
import polars.selectors as cs

from tracker.domain.file_content import whole_file
from tracker.domain.vocabulary import Outcome
from tracker.errors import FileError
from tracker.intake.spreadsheet_text import neutralised

# The word a file says for each outcome; what parse_strikes reads.
OUTCOME_WORDS = {Outcome.ON_TARGET: "on", Outcome.OFF_TARGET: "off", Outcome.BLOCKED: "blocked"}

_ISO_8601 = "%Y-%m-%dT%H:%M:%S%.f%:z"


def write_table(frame: pl.DataFrame, path: Path) -> None:
    """Writes the frame as Parquet when ``path`` ends in ``.parquet``, otherwise as CSV (UTF-8, comma, LF).

    Times are UTC; in CSV they are ISO 8601 with the offset, floats are the shortest text that reads back equal, and
    text is neutralised (``spreadsheet_text``). Outcomes become on, off, blocked. The file appears whole or not at all.
    Raises FileError when it cannot be written.
    """
    try:
        with whole_file(path) as part:
            if path.suffix.lower() == ".parquet":
                _in_file_words(frame).write_parquet(part)
            else:
                _as_text(frame).write_csv(part)
    except (OSError, pl.exceptions.PolarsError) as error:
        raise FileError(f"{path}: {_why_not_written(path, error)}") from error


def parquet_bytes(frame: pl.DataFrame) -> bytes:
    """The Parquet that ``write_table`` would write."""
    content = io.BytesIO()
    _in_file_words(frame).write_parquet(content)
    return content.getvalue()


def csv_text(frame: pl.DataFrame) -> str:
    """The CSV that ``write_table`` would write."""
    return _as_text(frame).write_csv()


def _in_file_words(frame: pl.DataFrame) -> pl.DataFrame:
    plain = frame.with_columns(
        cs.by_dtype(pl.Enum, pl.Categorical).cast(pl.String), cs.datetime(time_zone="*").dt.convert_time_zone("UTC")
    )
    if plain.schema.get("outcome") != pl.String:
        return plain
    words = {outcome.value: word for outcome, word in OUTCOME_WORDS.items()}
    return plain.with_columns(pl.col("outcome").replace(words))


def _as_text(frame: pl.DataFrame) -> pl.DataFrame:
    return _in_file_words(frame).with_columns(
        neutralised(cs.string()), cs.datetime(time_zone="*").dt.strftime(_ISO_8601)
    )


def _why_not_written(path: Path, error: Exception) -> str:
    if not path.parent.is_dir():
        return f"cannot be written, because there is no folder {path.parent}; make it first"
    if path.is_dir():
        return "cannot be written, because it is a folder; name a file"
    return f"cannot be written ({error}); choose a folder you may write to"
