"""How the records are, in words and tables."""

from __future__ import annotations

import polars as pl

from tracker.report.language import _, whole
from tracker.report.wording import clock_words, date_words
from tracker.review.health import Health

_KILOBYTE = 1000


def health_table(health: Health, *, waiting: int) -> pl.DataFrame:
    """Sizes, the last backup, and how many deliveries wait: one row each."""
    backup = _("none yet")
    if health.backup:
        backup = f"{date_words(health.backup.made_at)}, {clock_words(health.backup.made_at)}"
        if not health.backup.readable:
            backup = _("{moment}, but it cannot be read").format(moment=backup)
    rows = [
        (_("File of the records"), _size(health.file_bytes)),
        (_("Not yet folded into it"), _size(health.wal_bytes)),
        (_("Last backup"), backup),
        (_("Deliveries that wait to be stored"), whole(waiting)),
    ]
    return pl.DataFrame(rows, schema={_("What"): pl.String, _("Now"): pl.String}, orient="row")


def slow_queries_table(health: Health) -> pl.DataFrame:
    """The slowest queries of this run: name, times asked, and milliseconds of the longest and the usual."""
    rows = [
        (one.name, one.times, round(1000 * one.slowest_s), round(1000 * one.total_s / one.times))
        for one in health.slowest
    ]
    schema = {_("Query"): pl.String, _("Times"): pl.Int64, _("Longest, ms"): pl.Int64, _("Mean, ms"): pl.Int64}
    return pl.DataFrame(rows, schema=schema, orient="row")


def _size(count: int) -> str:
    """Bytes as a person reads them.

    >>> _size(0), _size(1500), _size(7352320)
    ('0 kB', '2 kB', '7.4 MB')
    """
    if count < _KILOBYTE**2:
        return f"{round(count / _KILOBYTE)} kB"
    return f"{count / _KILOBYTE**2:.1f} MB"
