"""Erases what is kept about a player, or gives the numbers to somebody without a name."""

from __future__ import annotations

from datetime import date
from uuid import UUID

import polars as pl

from tracker.store.audit import forget_in_audit
from tracker.store.database import Reader, Transaction
from tracker.store.plans import erase_in_plans


def counts_about(database: Reader, player_id: UUID) -> dict[str, int]:
    """How many strikes, practices, placements and words there are about a player."""
    return database.query("count_about_player", player_id=player_id).row(0, named=True)


def erase_player(transaction: Transaction, player_id: UUID) -> None:
    """Erases every row about a player; what the audit log says stays, about nobody."""
    transaction.run("erase_corrections", player_id=player_id)
    transaction.run("erase_second_looks", player_id=player_id)
    transaction.run("erase_strikes", player_id=player_id)
    transaction.run("erase_placements", player_id=player_id)
    transaction.run("erase_coach_words", player_id=player_id, last_day=None)
    erase_in_plans(transaction, player_id)
    forget_in_audit(transaction, player_id)
    transaction.run("erase_anonymous_mark", player_id=player_id)
    transaction.run("erase_player", player_id=player_id)


def move_numbers(transaction: Transaction, player_id: UUID, *, to: UUID, last_day: date | None = None) -> None:
    """Gives strikes and placements (without notes) up to a day, or all, to another player; the coach's words go."""
    transaction.run("move_strikes", player_id=player_id, new_id=to, last_day=last_day)
    transaction.run("move_placements", player_id=player_id, new_id=to, last_day=last_day)
    transaction.run("erase_coach_words", player_id=player_id, last_day=last_day)
    drop_plans(transaction, player_id, last_day=last_day)


def drop_plans(transaction: Transaction, player_id: UUID, *, last_day: date | None = None) -> None:
    """Drops the kept plans that speak of a player, of practices held by a day, or all."""
    plans = transaction.query("plans_with_player", player_id=player_id, last_day=last_day)
    for practice_id in plans["practice_id"].to_list():
        transaction.run("drop_planned_strikes", practice_id=practice_id)
        transaction.run("drop_planned_turns", practice_id=practice_id)
        transaction.run("drop_practice_plan", practice_id=practice_id)


def mark_anonymous(transaction: Transaction, player_id: UUID) -> None:
    """Marks a player as one who stands for somebody no longer named."""
    transaction.run("add_anonymous_player", player_id=player_id)


def players_up_to(database: Reader, last_day: date) -> pl.DataFrame:
    """Named players with strikes or placements by a day: player_id, strikes, placements, later (both)."""
    return database.query("players_up_to", last_day=last_day)


def empty_texts(transaction: Transaction, *, last_day: date) -> None:
    """Empties what was typed by hand about practices held by a day."""
    transaction.run("empty_practice_texts", last_day=last_day)
    transaction.run("empty_correction_texts", last_day=last_day)
