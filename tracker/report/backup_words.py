"""What is said about backups."""

from __future__ import annotations

import polars as pl

from tracker.report import wording
from tracker.report.language import _
from tracker.review.backups import DAYS_DAILY, DAYS_OTHER, DAYS_WEEKLY, KEPT_ANYWAY, BackupReason, BackupRecord

_REASONS = {
    BackupReason.DAILY: lambda: _("of the day"),
    BackupReason.BEFORE_MIGRATION: lambda: _("before a new version changed the records"),
    BackupReason.ASKED: lambda: _("asked for"),
}


def rule() -> str:
    """When backups are made, and how long they stay."""
    return _(
        "One is made by itself each day the program is in use. It stays {days} days, the first of a week {weekly}, "
        "one asked for or made before a change of the records {other}. The newest {newest} stay longer, unless "
        "they are from before a player was erased."
    ).format(days=DAYS_DAILY, weekly=DAYS_WEEKLY, other=DAYS_OTHER, newest=KEPT_ANYWAY)


def backup_table(kept: list[BackupRecord]) -> pl.DataFrame:
    """One row a backup: Made, Why, Megabytes, Opens, Stays until."""
    rows = [
        (
            f"{wording.date_words(one.made_at)} {wording.clock_words(one.made_at)}",
            _REASONS[one.reason](),
            f"{one.size / 1e6:.1f}",
            _("yes") if one.readable else _("no"),
            wording.date_words(one.expires_on),
        )
        for one in kept
    ]
    heads = [_("Made"), _("Why"), _("Megabytes"), _("Opens"), _("Stays until")]
    return pl.DataFrame(rows, schema=dict.fromkeys(heads, pl.String), orient="row")


def named(one: BackupRecord) -> str:
    """A backup in a list of choices."""
    return f"{wording.date_words(one.made_at)} {wording.clock_words(one.made_at)} · {_REASONS[one.reason]()}"


def made(one: BackupRecord) -> str:
    """That a backup was made."""
    return _("The backup {name} is made; it stays until {day}.").format(
        name=one.path.name, day=wording.date_words(one.expires_on)
    )
