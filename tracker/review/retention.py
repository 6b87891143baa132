"""For how long names are kept: what a season held loses its names some months after it ended; the numbers stay."""

from __future__ import annotations

import calendar
from dataclasses import dataclass
from datetime import UTC, date, datetime
from uuid import UUID

from tracker.domain.squad import Player, Season
from tracker.domain.vocabulary import AuditEvent
from tracker.errors import RequestError
from tracker.review.erasure import add_former_player, finish_erasure, mark_rewrite_due
from tracker.store import erasure as stored
from tracker.store.audit import add_audit
from tracker.store.database import Database
from tracker.store.ladders import delete_setting, save_setting, settings
from tracker.store.squads import players, seasons

_SETTING = "retention_months"
MOST_MONTHS = 240
BY_RULE = "the retention rule"


@dataclass(frozen=True, kw_only=True, slots=True)
class Outdated:
    """A player with records older than the rule allows; ``goes`` when there is nothing later about them."""

    player: Player
    strikes: int
    placements: int
    goes: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class RetentionPreview:
    """What the rule asks for today: seasons over for long enough, their last day, and whose records those are."""

    months: int
    seasons: tuple[Season, ...]
    last_day: date | None
    players: tuple[Outdated, ...]


def retention_months(database: Database) -> int | None:
    """How many months after its end a season keeps names; None: as long as nobody forgets them."""
    kept = settings(database).get(_SETTING)
    return int(kept) if kept else None


def set_retention(database: Database, months: int | None, *, who: str) -> None:
    """Sets the rule, or takes it back with None. Raises RequestError."""
    if months is not None and not 0 <= months <= MOST_MONTHS:
        raise RequestError(f"Names can be kept for 0 to {MOST_MONTHS} months after a season, not {months}.")
    with database.transaction() as transaction:
        if months is None:
            delete_setting(transaction, _SETTING)
        else:
            save_setting(transaction, name=_SETTING, value=str(months))
        rule = "names kept until forgotten" if months is None else f"names kept {months} months after a season"
        add_audit(transaction, AuditEvent.RETENTION, who=who, player_ids=[None], detail=rule, at=datetime.now(UTC))


def retention_preview(database: Database, *, months: int, today: date) -> RetentionPreview:
    """What the rule would do today; changes nothing. A practice outside every season goes by its date."""
    over = tuple(one for one in seasons(database) if months_after(one.ends_on, months) < today)
    last_day = max((one.ends_on for one in over), default=None)
    found: tuple[Outdated, ...] = ()
    if last_day is not None:
        by_id = {one.player_id: one for one in players(database)}
        found = tuple(
            Outdated(
                player=by_id[UUID(str(row["player_id"]))],
                strikes=row["strikes"],
                placements=row["placements"],
                goes=not row["later"],
            )
            for row in stored.players_up_to(database, last_day).iter_rows(named=True)
        )
    return RetentionPreview(months=months, seasons=over, last_day=last_day, players=found)


def apply_retention(database: Database, *, today: date) -> RetentionPreview | None:
    """Does what the rule asks for, and writes the file afresh; None without a rule or when nothing is due.

    Strikes and placements by that day go to a "Former player N" for each player, what was typed by hand about those
    practices is emptied, and a player with nothing later is erased. Raises DatabaseError.
    """
    months = retention_months(database)
    preview = retention_preview(database, months=months, today=today) if months is not None else None
    if preview is None or preview.last_day is None or not preview.players:
        return None
    with database.transaction() as transaction:
        for one in preview.players:
            former = add_former_player(transaction, one.player)
            stored.move_numbers(transaction, one.player.player_id, to=former.player_id, last_day=preview.last_day)
            if one.goes:
                stored.erase_player(transaction, one.player.player_id)
        stored.empty_texts(transaction, last_day=preview.last_day)
        add_audit(
            transaction,
            AuditEvent.RETENTION,
            who=BY_RULE,
            player_ids=[None],
            detail=f"{len(preview.players)} players without names up to {preview.last_day}, "
            f"{sum(one.goes for one in preview.players)} of them erased",
            at=datetime.now(UTC),
        )
        mark_rewrite_due(transaction)
    finish_erasure(database)
    return preview


def months_after(day: date, months: int) -> date:
    """The same day some months later, or the last day of that month.

    >>> months_after(date(2026, 7, 31), 7)
    datetime.date(2027, 2, 28)
    """
    years, month = divmod(day.month - 1 + months, 12)
    last = calendar.monthrange(day.year + years, month + 1)[1]
    return date(day.year + years, month + 1, min(day.day, last))
