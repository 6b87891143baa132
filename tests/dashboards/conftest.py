"""What the page tests start from: the dashboard on an empty database, run without a browser."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

import dashboards
from tracker.serve.process import hold, let_go
from tracker.store.database import Database

OpenPage = Callable[[str], AppTest]
APP = Path(dashboards.__file__).parent / "app.py"


@pytest.fixture
def open_page(database: Database) -> Iterator[OpenPage]:
    """Opens a page of the dashboard on ``database``; it must come up without an error."""

    def opened(name: str) -> AppTest:
        app = AppTest.from_file(APP, default_timeout=60).run()
        if name != "today":
            app.switch_page(f"screens/{name}.py").run()
        assert not app.exception
        return app

    hold(database)
    yield opened
    let_go()


def words_of(app: AppTest) -> str:
    """Every word a page shows, tables and picture descriptions included."""
    shown = [app.title, app.header, app.subheader, app.markdown, app.caption, app.text, app.html]
    messages = [app.info, app.success, app.warning, app.error]
    pictures = [picture.proto.spec for picture in app.get("vega_lite_chart")]
    return "\n".join([*(str(one.value) for group in (*shown, *messages) for one in group), *pictures])


@pytest.fixture
def words() -> Callable[[AppTest], str]:
    """``words_of``, for tests to ask."""
    return words_of
