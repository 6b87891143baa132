"""What a coach reads about the touchline page and its passes."""

from __future__ import annotations

from datetime import UTC, datetime
from uuid import UUID

import polars as pl

from tracker.report.language import _
from tracker.report.wording import clock_words, date_words, short_date_words


def what_it_is() -> str:
    """What a pass allows."""
    return _("A pass lets one phone log one practice under one name, and read nothing of what was logged before.")


def only_here() -> str:
    """Why no phone gets in, and what to do."""
    return _(
        "Only this computer is served, so no phone can reach it. To let phones on the same Wi-Fi in, stop the program, "
        "set a passcode once, and start it again with:"
    )


def not_served() -> str:
    """Where a pass has no address."""
    return _("The pass is made, but this program is not served at any address.")


def certificate_first() -> str:
    """What a phone does once, before its first pass."""
    return _("Only once for each phone: scan this first and install the certificate.")


def scan(expires_at: datetime) -> str:
    """What to do with the code, and until when."""
    return _("Scan with the phone that logs, or send it the link. It is shown only now, and ends on {end}.").format(
        end=_moment(expires_at)
    )


def given(logger: str, expires_at: datetime) -> str:
    """What was given out."""
    return _("A pass for {logger}, until {end}.").format(logger=" ".join(logger.split()), end=_moment(expires_at))


def split_passes(passes: pl.DataFrame, *, now: datetime | None = None) -> tuple[list[tuple[UUID, str]], pl.DataFrame]:
    """Passes that may still be used with their ids and words, and a table of those that ended, of ``review.pad``."""
    moment = now or datetime.now(UTC)
    usable, ended = [], []
    for row in passes.iter_rows(named=True):
        practice = f"{short_date_words(row['held_on'])} {row['label']}".strip()
        if row["revoked_at"] is None and row["expires_at"] > moment:
            words = _("{logger}, practice of {practice}, until {end}").format(
                logger=row["logger"], practice=practice, end=_moment(row["expires_at"])
            )
            usable.append((UUID(str(row["token_id"])), words))
        else:
            how = _("revoked") if row["revoked_at"] else _("ran out")
            ended.append((row["logger"], practice, _moment(row["revoked_at"] or row["expires_at"]), how))
    heads = (_("Who logged"), _("Practice"), _("Ended"), _("How"))
    return usable, pl.DataFrame(ended, schema=dict.fromkeys(heads, pl.String), orient="row")


def _moment(instant: datetime) -> str:
    return f"{date_words(instant)}, {clock_words(instant)}"
