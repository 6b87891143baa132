"""Takes pictures of every page, with the demo season and with an empty database, on a phone and on a laptop.

Run ``python tests/journeys/screenshots.py FOLDER`` and look at the PNGs. Each page is taken as the screen shows it
first, and once more with its whole length (``…-long.png``).
"""

from __future__ import annotations

import shutil
import sys
import tempfile
import time
from pathlib import Path

from playwright.sync_api import Locator, Page, sync_playwright
from playwright.sync_api import TimeoutError as StillClosed
from serving import running

PAGES = ("today", "squad", "player", "feet", "ladder", "plan", "reports", "setup", "sure")
SCREENS = {"phone": (390, 844), "laptop": (1280, 800)}
LONGEST_PAGE_PX = 9000
CHROMIUM_FLAGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def chromium_path() -> str | None:
    """The system's Chromium, or None."""
    return next((path for name in ("chromium", "chromium-browser") if (path := shutil.which(name))), None)


PICKS_TRIED = 5
AT_REST = """document.querySelector('[data-testid=stApp]')?.dataset.testScriptState === 'notRunning'
    && !document.querySelector('[data-testid=stStatusWidget], [data-testid=stMain] [data-stale=true]')"""


def wait_until(page: Page, expression: str, *, longest_seconds: float = 30) -> None:
    """Waits until an expression holds. The page's policy allows no eval, which ``wait_for_function`` would need."""
    deadline = time.monotonic() + longest_seconds
    while not page.evaluate(expression):
        assert time.monotonic() < deadline, expression
        page.wait_for_timeout(50)


def settle(page: Page) -> None:
    """Waits until the page has been drawn and nothing runs any more."""
    page.get_by_role("heading", level=1).first.wait_for()
    for _ in range(
        2
    ):  # the script's state, since the sign that it runs comes late; twice, since one run may ask for more
        wait_until(page, AT_REST)
        page.wait_for_timeout(450)


def pick(page: Page, box: Locator, option: Locator) -> None:
    """Opens a choice and picks from it. A page redrawn at that very moment closes the choice, so it is opened again."""
    for _ in range(PICKS_TRIED):
        settle(page)
        box.click()
        try:
            option.click(timeout=3000)
        except StillClosed:
            page.keyboard.press("Escape")
        else:
            return
    raise AssertionError("the choice was never open long enough to pick from it")


def show_whole(page: Page, *, width: int) -> None:
    """Makes the screen as long as the page; pictures further down are drawn only then, so it is done twice."""
    for _ in range(2):
        length = int(page.evaluate("document.querySelector('[data-testid=stMain]').scrollHeight"))
        page.set_viewport_size({"width": width, "height": min(length, LONGEST_PAGE_PX)})
        page.wait_for_timeout(1200)


def take_pictures(address: str, folder: Path, *, prefix: str) -> None:
    """Every page on every screen, as files ``<prefix>-<page>-<screen>.png``."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium_path(), args=CHROMIUM_FLAGS)
        for screen, (width, height) in SCREENS.items():
            page = browser.new_page(viewport={"width": width, "height": height})
            for name in PAGES:
                page.set_viewport_size({"width": width, "height": height})
                page.goto(f"{address}/{'' if name == 'today' else name}")
                settle(page)
                page.screenshot(path=folder / f"{prefix}-{name}-{screen}.png")
                show_whole(page, width=width)
                page.screenshot(path=folder / f"{prefix}-{name}-{screen}-long.png")
            page.close()
        browser.close()


VIEWS = ("Practices", "Aim", "Distance", "First sets", "20 strikes")
"""What can be looked at on the Player page beside the readiness it opens with."""


def take_pictures_at_work(address: str, folder: Path, *, prefix: str) -> None:
    """A practice being logged, a pass given out, and every view of a player, as ``<prefix>-<what>-<screen>.png``."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium_path(), args=CHROMIUM_FLAGS)
        for screen, (width, height) in SCREENS.items():
            page = browser.new_page(viewport={"width": width, "height": height})

            def keep(what: str, *, page: Page = page, width: int = width, screen: str = screen) -> None:
                settle(page)
                show_whole(page, width=width)
                page.screenshot(path=folder / f"{prefix}-{what}-{screen}-long.png")

            page.goto(address)
            settle(page)
            if page.get_by_role("button", name="Start this practice").count():
                page.get_by_role("button", name="Start this practice").click()
            page.get_by_role("button", name="On target", exact=True).click()
            keep("logging")
            page.get_by_role("tab", name="On phones").click()
            page.get_by_role("textbox", name="Who logs").fill("Tess")
            page.get_by_role("button", name="Give out a pass").click()
            keep("pass")
            page.goto(f"{address}/player")
            for view in VIEWS:
                page.get_by_role("radio", name=view).click()
                keep(f"player-{view.lower().replace(' ', '-')}")
            page.close()
        browser.close()


def main() -> None:
    """Writes the pictures into the folder named on the command line."""
    folder = Path(sys.argv[1])
    folder.mkdir(parents=True, exist_ok=True)
    with running("demo") as address:
        take_pictures(address, folder, prefix="demo")
        take_pictures_at_work(address, folder, prefix="demo")
    with (
        tempfile.TemporaryDirectory() as scratch,
        running("serve", "--db", str(Path(scratch) / "empty.duckdb")) as address,
    ):
        take_pictures(address, folder, prefix="empty")


if __name__ == "__main__":
    main()
