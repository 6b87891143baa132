"""Every page, the touchline page too, asks this host alone, under a policy that would stop it from asking another."""

from __future__ import annotations

import os
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, ConsoleMessage, Page, expect
from screenshots import PAGES, chromium_path, settle

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(chromium_path() is None and not os.environ.get("CI"), reason="there is no Chromium here"),
]
WITH_PICTURES = ("player", "feet", "ladder", "sure")


@pytest.fixture
def refused(page: Page) -> list[str]:
    """What the browser refused to load or run on this page, as it is told to in the console."""
    found: list[str] = []

    def listen(message: ConsoleMessage) -> None:
        if "Content Security Policy" in message.text:
            found.append(message.text)

    page.on("console", listen)
    return found


@pytest.fixture
def asked(page: Page) -> list[str]:
    """Every address the page asks, over http and websocket, of whatever host."""
    found: list[str] = []
    page.on("request", lambda request: found.append(request.url))
    page.on("websocket", lambda socket: found.append(socket.url))
    return found


@pytest.mark.parametrize("name", PAGES)
def test_a_page_asks_no_other_host_and_runs_under_its_policy(
    page: Page, address: str, name: str, refused: list[str], asked: list[str]
) -> None:
    page.goto(f"{address}/{'' if name == 'today' else name}")
    settle(page)
    assert refused == []
    assert {urlsplit(one).netloc for one in asked if not one.startswith(("data:", "blob:"))} == {
        urlsplit(address).netloc
    }
    if name in WITH_PICTURES:
        expect(page.locator("canvas.marks, svg.marks").first).to_be_visible()


def test_the_touchline_page_asks_no_other_host(page: Page, address: str, refused: list[str], asked: list[str]) -> None:
    page.goto(f"{address}/pad")
    page.wait_for_load_state("networkidle")
    assert refused == []
    assert {urlsplit(one).netloc for one in asked} == {urlsplit(address).netloc}


def test_the_policy_stops_what_comes_from_elsewhere(chromium: Browser, own_address: str) -> None:
    """The proof that the policy is in force: a script, a picture and a call of another host all fail."""
    page = chromium.new_page()
    stopped: list[str] = []
    page.on("console", lambda message: stopped.append(message.text))
    page.goto(own_address)
    settle(page)
    elsewhere = "https://elsewhere.example"
    page.evaluate(f"document.head.append(Object.assign(document.createElement('script'), {{src: '{elsewhere}/x.js'}}))")
    page.evaluate(f"document.body.append(Object.assign(new Image(), {{src: '{elsewhere}/x.png'}}))")
    page.evaluate(f"fetch('{elsewhere}/').catch(() => null)")
    page.wait_for_timeout(300)
    directives = ("script-src", "img-src", "connect-src")
    assert [any(one in text for text in stopped if elsewhere in text) for one in directives] == [True] * 3
    page.close()
