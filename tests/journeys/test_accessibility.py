"""No page keeps anybody out: axe finds no serious or critical violation on any of them."""

from __future__ import annotations

import os

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page
from screenshots import PAGES, SCREENS, chromium_path, settle

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(chromium_path() is None and not os.environ.get("CI"), reason="there is no Chromium here"),
]
GRAVE = ("serious", "critical")


def grave_violations(page: Page) -> list[str]:
    """What axe finds on the page as it stands, one line a violation with the first place it is at."""
    return [
        f"{one['id']}: {one['help']} ({one['nodes'][0]['html'][:200]})"
        for one in Axe().run(page).response["violations"]
        if one["impact"] in GRAVE
    ]


@pytest.mark.parametrize("name", PAGES)
def test_axe_finds_nothing_grave(page: Page, address: str, name: str) -> None:
    page.goto(f"{address}/{'' if name == 'today' else name}")
    for width, height in SCREENS.values():
        page.set_viewport_size({"width": width, "height": height})
        settle(page)
        assert grave_violations(page) == []


def test_axe_finds_nothing_grave_where_there_is_nothing_yet(page: Page, own_address: str) -> None:
    for name in PAGES:
        page.goto(f"{own_address}/{'' if name == 'today' else name}")
        settle(page)
        assert (name, grave_violations(page)) == (name, [])


def test_axe_finds_a_violation_that_is_planted(page: Page, own_address: str) -> None:
    page.goto(own_address)
    settle(page)
    page.evaluate("document.querySelector('[data-testid=stMain]').innerHTML += '<button id=\"planted\"></button>'")
    assert any(one.startswith("button-name") for one in grave_violations(page))
