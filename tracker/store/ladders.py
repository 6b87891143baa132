"""The ladders in use, kept as the TOML their files held, and the settings of this installation."""

from __future__ import annotations

from datetime import UTC, datetime

from tracker.store.database import Reader, Transaction


def ladder_texts(database: Reader) -> dict[str, str]:
    """The content of every ladder in use, by name."""
    return {row["name"]: row["content"] for row in database.query("list_ladders").iter_rows(named=True)}


def save_ladder(transaction: Transaction, *, name: str, content: str) -> None:
    """Puts a ladder in use, or replaces the one of the same name."""
    transaction.run("save_ladder", name=name, content=content, loaded_at=datetime.now(UTC))


def settings(database: Reader) -> dict[str, str]:
    """Every setting, by name."""
    return {row["name"]: row["value"] for row in database.query("list_settings").iter_rows(named=True)}


def save_setting(transaction: Transaction, *, name: str, value: str) -> None:
    """Sets one setting."""
    transaction.run("save_setting", name=name, value=value)


def delete_setting(transaction: Transaction, name: str) -> None:
    """Takes one setting back."""
    transaction.run("delete_setting", name=name)
