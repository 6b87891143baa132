"""Finds the ``.sql`` files: beside the checkout, or inside the wheel."""

from __future__ import annotations

from functools import cache
from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent.parent
_IN_WHEEL, _IN_CHECKOUT = _PACKAGE / "_sql", _PACKAGE.parent / "sql"


def sql_folder() -> Path:
    """The folder that holds ``migrations/``, ``views/``, ``queries/``, ``checks/`` and ``lake/``."""
    return _IN_WHEEL if _IN_WHEEL.is_dir() else _IN_CHECKOUT


@cache
def query_text(name: str) -> str:
    """The text of ``sql/queries/<name>.sql``. Raises KeyError when there is no such file."""
    path = sql_folder() / "queries" / f"{name}.sql"
    if not path.is_file():
        raise KeyError(f"no query named {name}")
    return path.read_text(encoding="utf-8")


def files_in(part: str) -> list[Path]:
    """The ``.sql`` files of one part (``migrations``, ``views``, ``checks``, ``lake``), in name order."""
    return sorted((sql_folder() / part).glob("*.sql"))
