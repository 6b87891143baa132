"""The demo in a real browser: a strike logged on Today is counted in Squad, and nothing is fetched from elsewhere."""

from __future__ import annotations

import os
import re

import pytest
from playwright.sync_api import Page, expect
from screenshots import chromium_path, settle

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(chromium_path() is None and not os.environ.get("CI"), reason="there is no Chromium here"),
]
PHONE = {"width": 390, "height": 844}
PRESSES, PAUSE_MS = 20, 250
"""Streamlit joins presses of one button that reach it at the same moment; a real pair of strikes is farther apart."""
LEFT_FOOT = re.compile(r"(\d+) of (\d+) on target")


@pytest.mark.parametrize("name", ["squad", "player", "setup"])
def test_an_address_opens_its_page_at_once_and_fits_a_phone(page: Page, address: str, name: str) -> None:
    page.goto(f"{address}/{name}")
    settle(page)
    expect(page.get_by_role("heading", level=1)).to_have_text(name.capitalize())
    expect(page.get_by_role("link", name="Today", exact=True)).to_be_visible()
    main = "document.querySelector('[data-testid=stMain]')"
    assert page.evaluate(f"{main}.scrollWidth <= {main}.clientWidth")


def start_practice(page: Page) -> None:
    """Starts today's practice, unless another test has."""
    start = page.get_by_role("button", name="Start this practice")
    if start.count():
        start.click()


def left_foot_of(page: Page, player: str) -> tuple[int, int]:
    """On target and attempts of a player's left foot, as the Squad page tells them."""
    page.get_by_role("link", name="Squad", exact=True).click()
    expect(page.get_by_role("heading", name="Squad", exact=True)).to_be_visible()
    settle(page)  # an expander pressed while the page is still being drawn closes again
    page.get_by_text("In words").click()
    cell = page.get_by_role("region", name=re.compile("left foot and right foot")).get_by_role("row", name=player)
    found = LEFT_FOOT.match(cell.get_by_role("cell").nth(1).inner_text())
    assert found
    return int(found[1]), int(found[2])


def test_a_strike_logged_on_today_is_counted_in_squad(page: Page, address: str) -> None:
    page.goto(address)
    on_target, attempts = left_foot_of(page, "Amara N.")
    page.get_by_role("link", name="Today", exact=True).click()
    expect(page.get_by_role("heading", name="Today", exact=True)).to_be_visible()
    settle(page)
    start_practice(page)
    page.get_by_role("button", name="On target", exact=True).click()
    expect(page.get_by_text("Stored: Amara N., left foot, on target.")).to_be_visible()
    page.get_by_role("button", name="Over", exact=True).click()
    expect(page.get_by_text("Stored: Amara N., left foot, off target, over.")).to_be_visible()
    assert left_foot_of(page, "Amara N.") == (on_target + 1, attempts + 2)

    page.get_by_role("link", name="Today", exact=True).click()
    page.get_by_role("button", name="Undo").first.click()
    expect(page.get_by_text(re.compile("^Undone, 1 strike"))).to_be_visible()
    assert left_foot_of(page, "Amara N.") == (on_target + 1, attempts + 1)


def test_outcomes_are_large_enough_for_a_wet_thumb(page: Page, address: str) -> None:
    page.goto(address)
    settle(page)
    start_practice(page)
    for label in ("On target", "Off target", "Left", "Over", "Short", "Right"):
        box = page.get_by_role("button", name=label, exact=True).bounding_box()
        assert box
        assert box["height"] >= 96
        assert box["x"] + box["width"] <= PHONE["width"]
    left, right = (page.get_by_role("radio", name=re.compile(side)).bounding_box() for side in ("Left", "Right"))
    assert left
    assert right
    assert min(left["height"], right["height"]) >= 64
    assert left["x"] < right["x"]


def test_no_press_is_lost_at_four_a_second(page: Page, address: str) -> None:
    page.goto(address)
    settle(page)
    start_practice(page)
    settle(page)  # an expander pressed while the page is still being drawn closes again
    page.get_by_text("Strikes of each player").click()
    cells = page.get_by_role("region", name="Strikes logged per player and foot").get_by_role("row", name="Amara N.")
    before = int(cells.get_by_role("cell").nth(2).inner_text())
    for _ in range(PRESSES):
        page.get_by_role("button", name="On target", exact=True).click()
        page.wait_for_timeout(PAUSE_MS)
    expect(cells.get_by_role("cell").nth(2)).to_have_text(str(before + PRESSES), timeout=20_000)
