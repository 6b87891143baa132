"""Forgets a player: every row about them goes, or only what names them, and the file is written afresh without it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from uuid import uuid4

from tracker.domain.squad import Player
from tracker.domain.vocabulary import AuditEvent
from tracker.errors import DatabaseError
from tracker.review.mentions import Mention, mentions, naming, take_names_out
from tracker.review.name_search import files_naming, is_own_leftover
from tracker.store import erasure as stored
from tracker.store.audit import add_audit
from tracker.store.database import Database, Transaction
from tracker.store.ladders import delete_setting, save_setting, settings
from tracker.store.squads import players, save_players

_REWRITE_DUE = "rewrite_due"
FORMER = "Former player"


@dataclass(frozen=True, kw_only=True, slots=True)
class ErasurePreview:
    """What is kept about a player, and the hand-typed texts that name them: to be looked at before anything goes."""

    player: Player
    strikes: int
    practices: int
    placements: int
    words: int
    mentions: tuple[Mention, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Erasure:
    """What was done: ``stays_as`` is who has the numbers now, ``removed`` our own leftover files, and ``files`` those
    of the data folder that still hold the name and are not ours to remove."""

    strikes: int
    texts: int
    stays_as: str | None
    removed: tuple[Path, ...]
    files: tuple[Path, ...]


def erasure_preview(database: Database, player: Player) -> ErasurePreview:
    """What forgetting this player would erase. Changes nothing."""
    return _preview(database, player, naming(player, others=players(database)))


def _preview(database: Database, player: Player, pattern: re.Pattern[str]) -> ErasurePreview:
    counts = stored.counts_about(database, player.player_id)
    return ErasurePreview(player=player, **counts, mentions=tuple(mentions(database, pattern, beside=player)))


def forget(
    database: Database, player: Player, *, who: str, keep_numbers: bool = False, clean_texts: bool = True
) -> Erasure:
    """Erases a player for good: rows first, then the file is written afresh, so that no free block or write-ahead file
    keeps the name. ``keep_numbers`` leaves strikes and placements to a "Former player N" without name, shirt or year.

    When the file cannot be written afresh now, DatabaseError says so, and ``finish_erasure`` does it at the next start.
    """
    pattern = naming(player, others=players(database))
    preview = _preview(database, player, pattern)
    with database.transaction() as transaction:
        former = add_former_player(transaction, player) if keep_numbers else None
        if former:
            stored.move_numbers(transaction, player.player_id, to=former.player_id)
        stored.erase_player(transaction, player.player_id)
        if clean_texts:
            take_names_out(transaction, pattern, player=player)
        add_audit(
            transaction,
            AuditEvent.FORGET,
            who=who,
            player_ids=[None],
            detail=f"{preview.strikes} strikes {'kept without a name' if former else 'erased'}",
            at=datetime.now(UTC),
        )
        mark_rewrite_due(transaction)
    finish_erasure(database)
    found = files_naming(database.path, player.display_name)
    removed = [path for path in found if is_own_leftover(path)]
    for path in removed:
        path.unlink()
    return Erasure(
        strikes=preview.strikes,
        texts=len(preview.mentions) if clean_texts else 0,
        stays_as=former.display_name if former else None,
        removed=tuple(removed),
        files=tuple(path for path in found if path not in removed),
    )


def is_rewrite_due(database: Database) -> bool:
    """Whether something was erased whose traces the file may still hold."""
    return _REWRITE_DUE in settings(database)


def finish_erasure(database: Database) -> bool:
    """Writes the file afresh when something was erased since; returns whether it did. Raises DatabaseError."""
    if not is_rewrite_due(database):
        return False
    try:
        database.rewrite()
    except DatabaseError as error:
        raise DatabaseError(
            "The rows are erased, but the file may still hold traces of them, because it could not be written afresh. "
            f"It will be tried again when `strikeladder serve` starts. {error}"
        ) from error
    with database.transaction() as transaction:
        delete_setting(transaction, _REWRITE_DUE)
    return True


def mark_rewrite_due(transaction: Transaction) -> None:
    """Notes, with what is erased, that the file must be written afresh."""
    save_setting(transaction, name=_REWRITE_DUE, value="1")


def add_former_player(transaction: Transaction, player: Player) -> Player:
    """A new player of the same squad who stands for the numbers: a random id, no name, shirt or year of birth."""
    former = Player(
        player_id=uuid4(),  # unlike uuid7 it does not say when it was made
        squad_id=player.squad_id,
        display_name=_next_name(players(transaction)),
        shirt_number=None,
        birth_year=None,
        preferred_foot=player.preferred_foot,
        active=False,
    )
    save_players(transaction, [former])
    stored.mark_anonymous(transaction, former.player_id)
    return former


def _next_name(there: Sequence[Player]) -> str:
    numbers = [one.display_name.removeprefix(f"{FORMER} ") for one in there if one.display_name.startswith(FORMER)]
    return f"{FORMER} {max((int(one) for one in numbers if one.isdecimal()), default=0) + 1}"
