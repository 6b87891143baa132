"""What the journeys start from: the demo served by a real process, and a browser that asks one host only."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, Page, Request, sync_playwright
from screenshots import CHROMIUM_FLAGS, chromium_path
from serving import running

PHONE = {"width": 390, "height": 844}


@pytest.fixture(scope="session")
def address() -> Iterator[str]:
    """The demo season, served. Shared by every journey: one that changes something puts it back."""
    with running("demo") as found:
        yield found


@pytest.fixture
def own_address(tmp_path: Path) -> Iterator[str]:
    """An empty database of a journey's own, served."""
    with running("serve", "--db", str(tmp_path / "own.duckdb")) as found:
        yield found


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    """One browser for the journeys of a file."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium_path(), args=CHROMIUM_FLAGS)
        yield browser
        browser.close()


@pytest.fixture
def page(chromium: Browser) -> Iterator[Page]:
    """A phone's browser, which fails the test when it asks more than one host for anything."""
    asked: list[str] = []

    def remember(request: Request) -> None:
        if urlsplit(request.url).scheme in ("http", "https", "ws", "wss"):
            asked.append(urlsplit(request.url).netloc)

    context = chromium.new_context(viewport=PHONE)
    opened = context.new_page()
    opened.on("request", remember)
    yield opened
    context.close()
    assert len(set(asked)) == 1
