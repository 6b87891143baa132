"""The demo: an invented squad's season in a database of its own."""

from __future__ import annotations

from pathlib import Path

from tracker.errors import FileError
from tracker.review.archive import import_archive
from tracker.store.database import Database

_PACKAGE = Path(__file__).resolve().parent.parent
_IN_WHEEL, _IN_CHECKOUT = _PACKAGE / "_demo_data", _PACKAGE.parent / "demo_data"


def demo_folder() -> Path:
    """The folder with the demo season: in the wheel, or beside the checkout. Raises FileError."""
    folder = _IN_WHEEL if _IN_WHEEL.is_dir() else _IN_CHECKOUT
    if not (folder / "strikes.csv").exists():
        raise FileError("The demo season is not installed. Install Strike Ladder again.")
    return folder


def demo_database(folder: Path) -> Database:
    """The demo database in a folder, open: made there, or opened again when it was kept. Raises DatabaseError."""
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / "demo.duckdb"
    is_new = not path.exists()
    database = Database.open(path, create=True)
    if is_new:
        import_archive(database, demo_folder())
    return database
