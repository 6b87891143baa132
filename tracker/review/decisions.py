"""A coach's placements: moving a player's foot to a stage, and taking that back."""

from __future__ import annotations

from datetime import UTC, datetime
from uuid import UUID

from tracker.domain.identity import uuid7
from tracker.domain.ladder import Stage
from tracker.domain.practice import Placement
from tracker.domain.squad import Player, Squad
from tracker.domain.vocabulary import Foot, ReadinessStatus
from tracker.errors import RequestError
from tracker.review.readiness import readiness
from tracker.review.scope import Scope, squad_of
from tracker.store import practices as stored
from tracker.store.database import Database
from tracker.store.squads import players

LONGEST_NOTE = 500


def place(database: Database, player: Player, *, foot: Foot, stage: Stage, note: str | None = None) -> Placement:
    """Places a player's foot at a stage from now on, with what the tool suggests at this moment beside it."""
    if note is not None and len(note) > LONGEST_NOTE:
        raise RequestError(f"A note has at most {LONGEST_NOTE} characters; this one has {len(note)}.")
    suggested_stage, suggested_status = suggestion(database, player, foot=foot)
    placement = Placement(
        placement_id=uuid7(),
        player_id=player.player_id,
        foot=foot,
        stage=stage.name,
        placed_at=datetime.now(UTC),
        suggested_stage=suggested_stage,
        suggested_status=suggested_status,
        note=note.strip() or None if note else None,
    )
    with database.transaction() as transaction:
        stored.add_placements(transaction, [placement])
    return placement


def suggestion(database: Database, player: Player, *, foot: Foot) -> tuple[str | None, ReadinessStatus | None]:
    """The stage the tool would have this foot work on next and the status it rests on; None without strikes.

    Ready: the next stage up. Revisit: the stage below. Otherwise the stage it works on now.
    """
    board = readiness(database, Scope(squad=squad_of(database, player), player=player))
    for row in board.iter_rows(named=True):
        if row["foot"] == foot.value and row["is_current"]:
            return row["suggested_stage"], ReadinessStatus(row["status"])
    return None, None


def withdraw(database: Database, placement_id: UUID) -> None:
    """Takes a placement back; it stays in the records, marked. Raises RequestError when it does not stand."""
    with database.transaction() as transaction:
        if not stored.withdraw_placement(transaction, placement_id):
            raise RequestError("That placement was taken back already, or is not there.")


def placements_of(database: Database, player: Player) -> list[Placement]:
    """A player's placements that stand, oldest first."""
    return [one for one in stored.placements(database, squad_id=player.squad_id) if one.player_id == player.player_id]


def latest(database: Database, squad: Squad, *, most: int) -> list[tuple[Player, Placement]]:
    """The squad's placements that stand, each with its player, the latest first, at most ``most``."""
    by_id = {one.player_id: one for one in players(database, squad_id=squad.squad_id)}
    made = [one for one in stored.placements(database, squad_id=squad.squad_id) if one.player_id in by_id]
    return [(by_id[one.player_id], one) for one in reversed(made[-most:])]
