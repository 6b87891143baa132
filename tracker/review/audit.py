"""The audit log: who read a report, took records out, handed players over or erased one, and when."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime

import polars as pl

from tracker.domain.squad import Player
from tracker.domain.vocabulary import AuditEvent
from tracker.store import audit as stored
from tracker.store.database import Database

LONGEST_WHO = 120
MOST_ENTRIES = 500


def note(database: Database, what: AuditEvent, *, who: str, players: Sequence[Player] = (), detail: str = "") -> None:
    """Notes what was done, once for each player, or once for nobody in particular.

    ``detail`` says what exactly in figures and must not name a child. Nothing a page shows becomes stale by it.
    """
    with database.transaction() as transaction:
        stored.add_audit(
            transaction,
            what,
            who=" ".join(who.split())[:LONGEST_WHO] or "unknown",
            player_ids=[one.player_id for one in players] or [None],
            detail=detail,
            at=datetime.now(UTC),
        )


def entries(database: Database, *, player: Player | None = None, most: int = MOST_ENTRIES) -> pl.DataFrame:
    """Noted_at, who, what, player, player_id, detail: about one player or all, the latest first."""
    return stored.audit_entries(database, player_id=player.player_id if player else None, most=most)
