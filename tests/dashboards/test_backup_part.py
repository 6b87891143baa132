"""Setup › Backups: the list, one more now, and a download."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from builders import SquadBuilder
from streamlit.testing.v1 import AppTest

import dashboards
from tracker.report import backup_words
from tracker.review.backups import back_up_if_due, backups
from tracker.serve.process import hold, let_go
from tracker.store.database import Database

APP = Path(dashboards.__file__).parent / "app.py"
Words = Callable[[AppTest], str]


@pytest.fixture
def setup_page(tmp_path: Path) -> Iterator[tuple[AppTest, Database]]:
    """The Setup page on a squad in a file."""
    with Database.open(tmp_path / "strikes.duckdb", create=True) as database:
        SquadBuilder.start(database, "Quillhaven U12", Ana="right")
        hold(database)
        app = AppTest.from_file(APP, default_timeout=60).run()
        yield app.switch_page("screens/setup.py").run(), database
        let_go()


def press(app: AppTest, label: str) -> AppTest:
    next(button for button in app.button if button.label == label).click().run()
    assert not app.exception
    return app


def test_a_backup_is_made_and_listed(setup_page: tuple[AppTest, Database], words: Words) -> None:
    app, database = setup_page
    assert "There is no backup yet." in words(app)
    press(app, "Make a backup now")
    (made,) = backups(database)
    assert made.path.name in app.success[0].value
    assert "asked for" in words(app)
    assert [one.label for one in app.get("download_button")].count("Download this backup") == 1


def test_a_backup_that_cannot_be_made_is_told(setup_page: tuple[AppTest, Database]) -> None:
    app, database = setup_page
    assert database.path is not None
    (database.path.parent / "backups").write_text("a file where the folder should be", encoding="utf-8")
    press(app, "Make a backup now")
    assert "for backups cannot be made" in app.error[0].value


def test_the_table_says_why_and_until_when(setup_page: tuple[AppTest, Database]) -> None:
    _, database = setup_page
    back_up_if_due(database, now=datetime(2026, 3, 11, 12, tzinfo=UTC))
    table = backup_words.backup_table(backups(database))
    assert table.columns == ["Made", "Why", "Megabytes", "Opens", "Stays until"]
    assert table.row(0)[1:2] + table.row(0)[3:] == ("of the day", "yes", "8 April 2026")
