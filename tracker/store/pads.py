"""Passes to the touchline page."""

from __future__ import annotations

from datetime import datetime
from uuid import UUID

import polars as pl

from tracker.store.database import Reader, Transaction


def add_pad_token(
    transaction: Transaction,
    *,
    token_id: UUID,
    token_hash: str,
    practice_id: UUID,
    logger: str,
    created_at: datetime,
    expires_at: datetime,
) -> None:
    """Gives out one pass to log a practice."""
    transaction.run(
        "add_pad_token",
        token_id=token_id,
        token_hash=token_hash,
        practice_id=practice_id,
        logger=logger,
        created_at=created_at,
        expires_at=expires_at,
    )


def revoke_pad_token(transaction: Transaction, token_id: UUID, *, at: datetime) -> int:
    """Revokes a pass; returns 0 when it was revoked before or is not there."""
    return transaction.run("revoke_pad_token", token_id=token_id, revoked_at=at)


def pad_tokens(database: Reader, squad_id: UUID) -> pl.DataFrame:
    """One row per pass of a squad, the latest first (``list_pad_tokens.sql``)."""
    return database.query("list_pad_tokens", squad_id=squad_id)


def pad_token_by_hash(database: Reader, token_hash: str) -> pl.DataFrame:
    """What the holder of a token may do: one row, or none (``pad_token_by_hash.sql``)."""
    return database.query("pad_token_by_hash", token_hash=token_hash)
