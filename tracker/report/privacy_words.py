"""What a coach reads about children's data: what is kept, what forgetting does, the retention rule, the audit log."""

from __future__ import annotations

from collections.abc import Sequence

import polars as pl

from tracker.domain.vocabulary import AuditEvent
from tracker.report.language import _, ngettext, whole
from tracker.report.wording import clock_words, counted, date_words
from tracker.review.backups import BackupRecord
from tracker.review.erasure import Erasure, ErasurePreview
from tracker.review.mentions import Mention, TextPlace
from tracker.review.retention import RetentionPreview


def kept_words(preview: ErasurePreview) -> str:
    """How much is kept about a player."""
    return _("Kept of {player}: {strikes}; placements: {placements}; reports with your words: {words}.").format(
        player=preview.player.display_name,
        strikes=counted(preview.strikes, "strike"),
        placements=whole(preview.placements),
        words=whole(preview.words),
    )


def mention_table(mentions: Sequence[Mention]) -> pl.DataFrame:
    """Where a player is named by hand, and the text."""
    rows = [(_place(one.place), date_words(one.day) if one.day else "", one.text) for one in mentions]
    heads = (_("Where"), _("When"), _("Text"))
    return pl.DataFrame(rows, schema=dict.fromkeys(heads, pl.String), orient="row")


def forgotten_words(done: Erasure, *, player: str) -> str:
    """What was done, in one sentence or two."""
    if done.stays_as:
        said = _("{player} is forgotten; kept without the name, as {former}: {strikes}.").format(
            player=player, strikes=counted(done.strikes, "strike"), former=done.stays_as
        )
    else:
        said = _("{player} is forgotten, with {strikes}.").format(
            player=player, strikes=counted(done.strikes, "strike")
        )
    if done.files:
        names = ", ".join(path.name for path in done.files)
        said += " " + _("These files beside the records still hold the name, look at them: {files}.").format(
            files=names
        )
    return said


def backup_words(backups: Sequence[BackupRecord]) -> str | None:
    """Until when backups still hold what is erased now; None without a backup."""
    if not backups:
        return None
    last = max(one.expires_on for one in backups)
    return ngettext(
        "{number} backup from before still holds what you erase, until {day} at the earliest.",
        "{number} backups from before still hold what you erase, until {day} at the earliest.",
        len(backups),
    ).format(number=whole(len(backups)), day=date_words(last))


def rule_words(months: int | None) -> str:
    """The rule as it stands."""
    if months is None:
        return _("No rule is set: names are kept until somebody forgets them.")
    return ngettext(
        "Names are kept {months} month after a season ends; then the numbers stay, without names.",
        "Names are kept {months} months after a season ends; then the numbers stay, without names.",
        months,
    ).format(months=months)


def outdated_words(preview: RetentionPreview) -> str:
    """Whom the rule reaches today."""
    if preview.last_day is None or not preview.players:
        return _("Nothing is that old today.")
    names = ", ".join(one.player.display_name for one in preview.players)
    return _("At the next start these lose their name for all up to {day}: {players}.").format(
        day=date_words(preview.last_day), players=names
    )


def audit_table(entries: pl.DataFrame) -> pl.DataFrame:
    """The audit log in a reader's words."""
    rows = [
        (
            f"{date_words(row['noted_at'])}, {clock_words(row['noted_at'])}",
            row["who"],
            _event(AuditEvent(row["what"])),
            row["player"] or "",
            row["detail"],
        )
        for row in entries.iter_rows(named=True)
    ]
    heads = (_("When"), _("Who"), _("What"), _("Player"), _("Details"))
    return pl.DataFrame(rows, schema=dict.fromkeys(heads, pl.String), orient="row")


def _event(what: AuditEvent) -> str:
    return {
        AuditEvent.REPORT_READ: _("read a report"),
        AuditEvent.REPORT_WRITTEN: _("made a report"),
        AuditEvent.EXPORT: _("took records out"),
        AuditEvent.HAND_OVER: _("handed players over"),
        AuditEvent.TAKE_OVER: _("took players over"),
        AuditEvent.FORGET: _("forgot a player"),
        AuditEvent.RETENTION: _("retention rule"),
        AuditEvent.BACKUP: _("made a backup"),
        AuditEvent.RESTORE: _("restored a backup"),
        AuditEvent.SIGN_IN: _("signed in"),
    }[what]


def _place(place: TextPlace) -> str:
    return {
        TextPlace.PRACTICE: _("a practice"),
        TextPlace.PLACEMENT: _("a note beside a placement"),
        TextPlace.CORRECTION: _("the reason of a correction"),
        TextPlace.COACH_WORDS: _("words for a report"),
        TextPlace.LOGGER: _("somebody who logs"),
    }[place]
