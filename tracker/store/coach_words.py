"""What a coach wrote for the season reports."""

from __future__ import annotations

from datetime import UTC, datetime
from uuid import UUID

from tracker.store.database import Reader, Transaction


def coach_words(database: Reader, season_id: UUID) -> dict[UUID, str]:
    """The words of a season by player; who has none is left out."""
    rows = database.query("list_coach_words", season_id=season_id)
    return {UUID(row["player_id"]): row["words"] for row in rows.iter_rows(named=True)}


def save_coach_words(
    transaction: Transaction, *, player_id: UUID, season_id: UUID, words: str, written_at: datetime | None = None
) -> None:
    """Keeps the words for one player and season, in place of what was there."""
    transaction.run(
        "save_coach_words",
        player_id=player_id,
        season_id=season_id,
        words=words,
        written_at=written_at or datetime.now(UTC),
    )
