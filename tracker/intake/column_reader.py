"""Text columns become typed ones; every wrong field becomes a reject that says what was expected."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import polars as pl

from tracker.domain.squad import LONGEST_NAME, UNSEEN
from tracker.intake.table_file import RawTable

EARLIEST_MOMENT = datetime(1950, 1, 1, tzinfo=UTC)
MOMENT = pl.Datetime("us", "UTC")

_LONGEST_QUOTED_VALUE = 60
_CONTROL = r"[\x00-\x1f\x7f-\x84\x86-\x9f]"  # U+0085 is a space
_UNSEEN = f"[{UNSEEN}]"
_UNEVEN_SPACE = r"\s\s|[\s--[ ]]"
UUID_TEXT = r"^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$"
_DAY_AT_MIDNIGHT = r"[T ]00:00(:00(\.0+)?)?$"


class ColumnReader:
    """Reads the columns of one table, each at most once, and remembers which rows are wrong.

    Every method returns a Series with one value a row of the table: null where the field is empty, wrong, or the
    column is not there at all (which costs nothing).
    """

    def __init__(self, table: RawTable) -> None:
        self._table = table
        self._faults: list[pl.DataFrame] = []
        self._wrong: list[pl.Series] = []

    @property
    def height(self) -> int:
        """Rows in the table."""
        return self._table.frame.height

    def has(self, field: str) -> bool:
        """Whether the table has this column."""
        return field in self._table.frame.columns

    def empty(self, field: str, dtype: pl.DataType | type[pl.DataType]) -> pl.Series:
        """A column of nulls."""
        return pl.Series(field, [None], dtype=dtype).new_from_index(0, self.height)

    def text(self, field: str) -> pl.Series:
        """The text without outer spaces, null when empty."""
        if not self.has(field):
            return self.empty(field, pl.String)
        text = self._table.frame[field].str.strip_chars()
        is_empty = text == ""
        return text.set(is_empty, None) if is_empty.any() else text

    def name(self, field: str, *, required: bool = False) -> pl.Series:
        """A name: 1 to 80 characters, none of them a control character, runs of spaces taken as one space, and
        without what cannot be seen (``domain.squad.UNSEEN``)."""
        text = self.text(field)
        if text.str.contains(_UNSEEN).any():
            text = text.str.replace_all(_UNSEEN, "").str.strip_chars().replace("", None)
        if required:
            self.reject(field, text.is_null(), "every row needs one")
        if text.null_count() == text.len():
            return text
        control = text.str.contains(_CONTROL)
        self.reject(field, control, "must not hold a control character such as a tab or a line end")
        text = _without(text, control)
        if text.str.contains(_UNEVEN_SPACE).any():
            text = text.str.replace_all(r"\s+", " ")
        long = text.str.len_chars() > LONGEST_NAME
        self.reject(field, long, f"must have 1 to {LONGEST_NAME} characters")
        return _without(text, long)

    def word(
        self, field: str, words: Mapping[str, str], *, dtype: pl.Enum, rule: str, required: bool = False
    ) -> pl.Series:
        """A word of a closed set, in any case; ``words`` says which value each accepted spelling means."""
        if not self.has(field):
            return self.empty(field, dtype)
        text = self.text(field)
        if required:
            self.reject(field, text.is_null(), rule)
        values = text.str.to_lowercase().replace_strict(words, default=None, return_dtype=dtype)
        unknown = values.is_null() & text.is_not_null()
        if unknown.any():
            spaced = {_spaced(word): value for word, value in words.items()}
            again = text.str.to_lowercase().str.replace_all(r"[\s_-]+", " ")
            values = values.fill_null(again.replace_strict(spaced, default=None, return_dtype=dtype))
            self.reject(field, values.is_null() & text.is_not_null(), rule)
        return values

    def number(self, field: str, *, lowest: float, highest: float, rule: str) -> pl.Series:
        """A number (Float64) within the limits, both included."""
        if not self.has(field):
            return self.empty(field, pl.Float64)
        text = self.text(field)
        if self._table.decimal_comma:
            text = text.str.replace(",", ".", literal=True)
        values = text.cast(pl.Float64, strict=False)
        wrong = text.is_not_null() & ~values.is_between(lowest, highest).fill_null(value=False)
        self.reject(field, wrong, rule)
        return _without(values, wrong)

    def count(self, field: str, *, highest: int, required: bool = False) -> pl.Series:
        """A whole number (Int64) from 0 to ``highest``; 12.0 is taken as 12."""
        if required:
            self.reject(field, self.text(field).is_null(), "every row needs one")
        rule = f"must be a whole number from 0 to {highest}"
        values = self.number(field, lowest=0, highest=highest, rule=rule)
        broken = (values != values.floor()).fill_null(value=False)
        self.reject(field, broken, rule)
        return _without(values, broken).cast(pl.Int64)

    def identifier(self, field: str) -> pl.Series:
        """A UUID in its usual 36 characters, in lower case."""
        text = self.text(field)
        if text.null_count() == text.len():
            return text
        text = text.str.to_lowercase()
        wrong = ~text.str.contains(UUID_TEXT)
        self.reject(field, wrong, "must be a UUID such as 0198b0c4-7c1e-7d3a-9f00-5a1b2c3d4e5f")
        return _without(text, wrong)

    def days(self, field: str, *, local_zone: ZoneInfo, now: datetime) -> tuple[pl.Series, pl.Series]:
        """ISO 8601 dates (Date), and the local noon of each (UTC)."""
        if not self.has(field):
            return self.empty(field, pl.Date), self.empty(field, MOMENT)
        text = self.text(field)
        days = text.str.to_date("%Y-%m-%d", strict=False)
        if days.null_count() > text.null_count():
            days = days.fill_null(text.str.replace(_DAY_AT_MIDNIGHT, "").str.to_date("%Y-%m-%d", strict=False))
        self.reject(field, text.is_not_null() & days.is_null(), "must be a date such as 2026-03-14")
        noon = _in_utc(days.cast(pl.Datetime("us")) + timedelta(hours=12), local_zone)
        self.reject(field, days.is_not_null() & noon.is_null(), f"no such day in the time zone {local_zone.key}")
        noon = self._within_limits(field, noon, now=now)
        return _without(days, noon.is_null()), noon

    def moments(self, field: str, *, local_zone: ZoneInfo, now: datetime) -> pl.Series:
        """ISO 8601 times (UTC); one without an offset is local time, and the earlier one where clocks went back."""
        if not self.has(field):
            return self.empty(field, MOMENT)
        text = self.text(field)
        moments = text.str.to_datetime("%+", strict=False, time_unit="us", time_zone="UTC")
        if moments.null_count() > text.null_count():
            joined = text.str.replace(" ", "T", literal=True)
            to_minute = joined.str.replace("Z$", "+00:00").str.to_datetime(
                "%Y-%m-%dT%H:%M%z", strict=False, time_unit="us", time_zone="UTC"
            )
            local = joined.str.to_datetime("%Y-%m-%dT%H:%M:%S%.f", strict=False, time_unit="us").fill_null(
                joined.str.to_datetime("%Y-%m-%dT%H:%M", strict=False, time_unit="us")
            )
            moments = moments.fill_null(to_minute).fill_null(_in_utc(local, local_zone))
            missing = text.is_not_null() & moments.is_null()
            self.reject(
                field,
                missing & local.is_not_null(),
                f"clocks in {local_zone.key} skipped this time; write it with its offset, such as +01:00",
            )
            only_day = text.str.contains(r"^\d{4}-\d\d-\d\d$")
            self.reject(
                field,
                missing & local.is_null() & only_day,
                'has no time of day; name the column "date" if only the day is known',
            )
            self.reject(
                field,
                missing & local.is_null() & ~only_day,
                "must be an ISO 8601 time such as 2026-03-14T18:05:30 or 2026-03-14T18:05:30+01:00",
            )
        return self._within_limits(field, moments, now=now)

    def reject(self, field: str, wrong: pl.Series, rule: str) -> None:
        """Records ``<field> is "<value>": <rule>`` for the rows that are wrong."""
        if not wrong.any():
            return
        value = pl.col("value").str.replace_all(_CONTROL, "\N{REPLACEMENT CHARACTER}")
        is_long = value.str.len_chars() > _LONGEST_QUOTED_VALUE
        shown = pl.when(is_long).then(value.str.head(_LONGEST_QUOTED_VALUE) + "…").otherwise(value)
        found = (
            pl.when(pl.col("value").str.strip_chars() == "").then(pl.lit("empty")).otherwise(pl.format('"{}"', shown))
        )
        self._record(field, wrong, pl.format("{} is {}: {}", pl.lit(self._heading(field)), found, pl.lit(rule)))

    def reject_saying(self, field: str, wrong: pl.Series, sentence: pl.Expr, **columns: pl.Series) -> None:
        """Records a sentence, made from the given columns, for the rows that are wrong."""
        if wrong.any():
            self._record(field, wrong, sentence, **columns)

    def wrong_rows(self) -> pl.Series:
        """Which rows have a wrong field."""
        wrong = pl.repeat(value=False, n=self.height, dtype=pl.Boolean, eager=True)
        for more in self._wrong:
            wrong = wrong | more
        return wrong

    def rejects(self) -> pl.DataFrame:
        """Every wrong field, and the rows that could not be split, in the order of the file."""
        places = {heading: place for place, heading in enumerate(self._table.headings.values())}
        place = pl.col("column").replace_strict(places, default=None, return_dtype=pl.Int64)
        return pl.concat([self._table.rejects, *self._faults]).sort("line", place, maintain_order=True)

    def _heading(self, field: str) -> str:
        return self._table.headings.get(field, field)

    def _record(self, field: str, wrong: pl.Series, why: pl.Expr, **columns: pl.Series) -> None:
        wrong = wrong.fill_null(value=False)
        value = self._table.frame[field] if self.has(field) else self.empty(field, pl.String)
        faults = pl.DataFrame({"line": self._table.lines, "value": value.fill_null(""), **columns}).filter(wrong)
        faults = faults.rechunk()  # see csv_text.read_csv_text
        self._wrong.append(wrong)
        self._faults.append(
            faults.select("line", pl.lit(self._heading(field)).alias("column"), "value", why.alias("why"))
        )

    def _within_limits(self, field: str, moments: pl.Series, *, now: datetime) -> pl.Series:
        """The moments from 1950 to now; a day is allowed for clocks that differ."""
        future = moments > now.astimezone(UTC) + timedelta(days=1)
        early = moments < EARLIEST_MOMENT
        self.reject(field, future, "that is in the future")
        self.reject(field, early, f"that is before {EARLIEST_MOMENT.year}")
        return _without(moments, future | early)


def _in_utc(local: pl.Series, zone: ZoneInfo) -> pl.Series:
    """Local times as UTC: the earlier one where clocks went back, null where they skipped the time."""
    if zone.key is None:
        raise ValueError("local_zone must be a named time zone, such as Europe/London")
    return local.dt.replace_time_zone(zone.key, ambiguous="earliest", non_existent="null").dt.convert_time_zone("UTC")


def _without(values: pl.Series, wrong: pl.Series) -> pl.Series:
    """The values, null where wrong."""
    return values.set(wrong, None) if wrong.any() else values


def _spaced(word: str) -> str:
    return word.replace("_", " ").replace("-", " ")
