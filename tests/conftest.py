"""What many tests start from: an empty database, the demo season, and a squad whose strikes a test makes."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from builders import SquadBuilder
from hypothesis import settings

from tracker.review.archive import import_archive
from tracker.review.demonstration import demo_database, demo_folder
from tracker.store.database import Database

settings.register_profile("same every time", derandomize=True, deadline=None)
settings.load_profile("same every time")


@pytest.fixture
def database() -> Iterator[Database]:
    """An empty database in memory, with the whole schema."""
    with Database.open(None) as opened:
        yield opened


@pytest.fixture(scope="session")
def demo() -> Iterator[Database]:
    """The demo season in memory. Shared by every test: only to be read."""
    with Database.open(None) as opened:
        import_archive(opened, demo_folder())
        yield opened


@pytest.fixture(scope="session")
def demo_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo season in a file, closed. Shared by every test: only to be read."""
    folder = tmp_path_factory.mktemp("demo")
    demo_database(folder).close()
    return folder / "demo.duckdb"


@pytest.fixture
def own_demo_file(demo_file: Path, tmp_path: Path) -> Path:
    """A copy of the demo season in a file, for one test to change."""
    return Path(shutil.copy(demo_file, tmp_path / "own-demo.duckdb"))


@pytest.fixture
def squad(database: Database) -> SquadBuilder:
    """A squad on the U11–U12 ladder in ``database``, with players Ana (right-footed) and Ben (left-footed)."""
    return SquadBuilder.start(database, "Quillhaven U12", Ana="right", Ben="left")
