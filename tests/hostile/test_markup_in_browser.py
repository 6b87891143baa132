"""A player's name that would run a script in a browser runs none: on the touchline page and on the dashboard."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page
from test_pad_bench import NO_CHROMIUM, Phone, browser, phone_of, running_club

pytestmark = [pytest.mark.browser, pytest.mark.skipif(NO_CHROMIUM, reason="there is no Chromium here")]

RUNS = "<img src=x onerror=window.ran=1>"
CLOSES = "</script><svg onload=window.ran=1>"
PAGES = ("", "squad", "player", "feet", "ladder", "reports", "setup")


@pytest.fixture(scope="module")
def opened() -> Iterator[Browser]:
    with browser() as found:
        yield found


def nothing_ran(page: Page) -> bool:
    return bool(page.evaluate("window.ran === undefined && !document.querySelector('img[src=x], svg[onload]')"))


def test_names_run_nothing_and_are_read_as_they_are(opened: Browser, tmp_path: Path) -> None:
    with running_club(tmp_path, RUNS, CLOSES) as (club, address):
        phone = Phone.opening(phone_of(opened), address)
        phone.tap(f"1 {RUNS}, left foot: through")
        phone.wait_until_stored()
        assert phone.page.get_by_text(RUNS).count()
        assert nothing_ran(phone.page)
        assert phone.errors == []
        page = opened.new_context(viewport={"width": 1280, "height": 900}).new_page()
        seen = ""
        for name in PAGES:
            page.goto(f"{club.address}/{name}")
            page.locator("h1").first.wait_for(timeout=30_000)
            page.locator("[data-test-script-state=notRunning]").wait_for(timeout=30_000)
            assert nothing_ran(page), name
            seen += page.inner_text("body")
        assert RUNS in seen
