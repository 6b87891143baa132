"""The audit log: what was read, taken out and erased about children."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from uuid import UUID

import polars as pl

from tracker.domain.identity import uuid7
from tracker.domain.vocabulary import AuditEvent
from tracker.store.database import Reader, Transaction

_AUDIT: dict[str, pl.DataType | type[pl.DataType]] = {
    "audit_id": pl.String,
    "noted_at": pl.Datetime("us", "UTC"),
    "who": pl.String,
    "what": pl.String,
    "player_id": pl.String,
    "detail": pl.String,
}


def add_audit(
    transaction: Transaction,
    what: AuditEvent,
    *,
    who: str,
    player_ids: Sequence[UUID | None],
    detail: str,
    at: datetime,
) -> None:
    """Adds one entry for each player; None is nobody in particular."""
    rows = [(str(uuid7()), at, who, what.value, str(one) if one else None, detail) for one in player_ids]
    transaction.run("add_audit", rows=pl.DataFrame(rows, schema=_AUDIT, orient="row"))


def audit_entries(database: Reader, *, player_id: UUID | None, most: int) -> pl.DataFrame:
    """Noted_at, who, what, player, player_id, detail, the latest first (``list_audit.sql``)."""
    return database.query("list_audit", player_id=player_id, most=most)


def forget_in_audit(transaction: Transaction, player_id: UUID) -> None:
    """Takes a player out of the entries."""
    transaction.run("forget_in_audit", player_id=player_id)


def last_erasure(database: Reader) -> datetime | None:
    """When a player was last erased or a season made anonymous, UTC; None when never."""
    moment: datetime | None = database.query("last_erasure")["noted_at"][0]
    return moment
