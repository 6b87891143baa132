"""What people typed by hand, where a name may stand: read and put back."""

from __future__ import annotations

import polars as pl

from tracker.store.database import Reader, Transaction


def practice_texts(database: Reader) -> pl.DataFrame:
    """practice_id, held_on, label, place, notes."""
    return database.query("practice_texts")


def placement_texts(database: Reader) -> pl.DataFrame:
    """placement_id, player_id, placed_at, note."""
    return database.query("placement_texts")


def correction_texts(database: Reader) -> pl.DataFrame:
    """strike_id, player_id, corrected_at, corrected_by, why."""
    return database.query("correction_texts")


def coach_word_texts(database: Reader) -> pl.DataFrame:
    """player_id, season_id, written_at, words."""
    return database.query("coach_word_texts")


def loggers(database: Reader) -> list[str]:
    """The name of everybody who logged or may log."""
    return database.query("logger_texts")["logger"].to_list()


def save_practice_texts(transaction: Transaction, rows: pl.DataFrame) -> None:
    """Puts other texts beside practices."""
    transaction.run("save_practice_texts", rows=rows)


def save_placement_texts(transaction: Transaction, rows: pl.DataFrame) -> None:
    """Puts other notes beside placements."""
    transaction.run("save_placement_texts", rows=rows)


def save_correction_texts(transaction: Transaction, rows: pl.DataFrame) -> None:
    """Puts other texts beside corrections."""
    transaction.run("save_correction_texts", rows=rows)


def save_coach_word_texts(transaction: Transaction, rows: pl.DataFrame) -> None:
    """Puts other words in place of a coach's."""
    transaction.run("save_coach_word_texts", rows=rows)


def rename_logger(transaction: Transaction, logger: str, *, new_name: str) -> None:
    """Gives a logger another name, on strikes and passes."""
    transaction.run("rename_logger", logger=logger, new_name=new_name)
    transaction.run("rename_pass_logger", logger=logger, new_name=new_name)
