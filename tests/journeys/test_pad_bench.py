"""What the browser tests of the touchline page stand on: a club whose server can be killed, and a phone that logs.

The tests in this file ask what needs no browser: is the page small, whole, and without anything from elsewhere?
"""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from itertools import pairwise
from pathlib import Path
from uuid import UUID

import polars as pl
import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright
from screenshots import CHROMIUM_FLAGS, chromium_path
from serving import answering, free_port

from tracker.domain.vocabulary import PreferredFoot
from tracker.review import club, logbook, pad
from tracker.store.database import Database
from tracker.store.strikes import StrikeFilter, exported_strikes

PAD = Path(__file__).parents[2] / "dashboards" / "pad"
LARGEST_PAGE_BYTES = 60_000
MOMENT_MS = 1_764_064_800_000
PAUSE_TO_KEEP_MS = 150
PAUSE_BETWEEN_PRESSES_MS = 260
"""The same button pressed twice within 250 ms counts once."""
NO_CHROMIUM = chromium_path() is None and not os.environ.get("CI")


@dataclass(kw_only=True)
class Club:
    """A squad's database and the server on it. The database can be asked only while the server is down."""

    database: Path
    practice_id: UUID | None = None
    port: int = field(default_factory=free_port)
    process: subprocess.Popen[bytes] | None = None

    @classmethod
    def with_players(cls, folder: Path, *names: str) -> Club:
        """A squad on the U11–U12 ladder with these players, shirts 1 and on, and a practice today."""
        path = folder / "club.duckdb"
        with Database.open(path, create=True) as database:
            squad = club.make_squad(database, name="Quillhaven U12")
            for shirt, name in enumerate(names, start=1):
                club.add_player(
                    database, squad, display_name=name, shirt_number=shirt, preferred_foot=PreferredFoot.RIGHT
                )
            practice = logbook.practice_on(database, squad, datetime.now().astimezone().date())
        return cls(database=path, practice_id=practice.practice_id)

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def give_pass(self, logger: str) -> pad.PadPass:
        with Database.open(self.database) as database:
            practice = next(
                one
                for one in logbook.practices(database, club.squads(database)[0])
                if one.practice_id == self.practice_id
            )
            return pad.give_pass(database, practice, logger=logger)

    def revoke(self, given: pad.PadPass) -> None:
        with Database.open(self.database) as database:
            pad.revoke_pass(database, given.token_id)

    def start(self) -> None:
        """Starts the server and waits until it answers."""
        command = [sys.executable, "-m", "tracker.cli.main", "serve", "--no-browser"]
        self.process = subprocess.Popen(
            [*command, "--db", str(self.database), "--port", str(self.port)],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        answering(self.port, self.process)

    def kill(self) -> None:
        """Ends the server as a power cut would."""
        assert self.process is not None
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()

    def stop(self) -> None:
        """Ends the server in order; nothing happens where it is down."""
        if self.process is not None and self.process.poll() is None:
            self.process.terminate()
            self.process.wait(timeout=20)

    def strikes(self, *, with_voided: bool = False) -> pl.DataFrame:
        """Stops the server; gives every strike, in time."""
        self.stop()
        with Database.open(self.database) as database:
            return exported_strikes(database, StrikeFilter(), with_voided=with_voided)


@dataclass(kw_only=True)
class Phone:
    """A phone's browser with the touchline page open."""

    context: BrowserContext
    page: Page
    errors: list[str]

    @classmethod
    def opening(cls, context: BrowserContext, address: str) -> Phone:
        """Opens the page in a new tab and waits until a strike can be tapped."""
        page = context.new_page()
        errors: list[str] = []
        page.on("pageerror", lambda error: errors.append(str(error)))
        page.goto(address)
        phone = cls(context=context, page=page, errors=errors)
        phone.wait_until_ready()
        return phone

    def wait_until_ready(self) -> None:
        self.page.locator(".panel").first.wait_for()

    def tap(self, label: str) -> None:
        """Taps the button whose accessible name this is."""
        self.page.get_by_role("button", name=label, exact=True).tap()

    def go_to(self, view: str) -> None:
        """Goes to Tap, Call-out, Watch, or to what stands behind ≡ (More)."""
        if self.page.get_by_role("navigation").count() == 0:
            self.page.get_by_role("button", name="Views and settings").click()
        if view != "More":
            self.page.get_by_role("navigation").get_by_role("button", name=view, exact=True).click()
        self.page.wait_for_timeout(PAUSE_BETWEEN_PRESSES_MS)

    def standing(self) -> str:
        """The line that says what is only here, and what the server has."""
        return self.page.locator("[role=status]").inner_text()

    def wait_until_stored(self) -> None:
        """Waits until the phone says that the server has everything."""
        self.page.wait_for_timeout(PAUSE_TO_KEEP_MS)
        expect(self.page.locator("[role=status]")).not_to_contain_text("kept on this phone", timeout=20_000)

    def kept(self) -> list[dict[str, str]]:
        """The strikes this phone holds in its database, sent or not."""
        found: list[dict[str, str]] = self.page.evaluate(
            "import('/pad/storage.js').then(({ readAll }) => readAll('strikes/'))"
        )
        return found

    def wait_until_kept(self, strikes: int) -> None:
        deadline = time.monotonic() + 10
        while (kept := len(self.kept())) != strikes:
            assert time.monotonic() < deadline, f"{kept} strikes are kept, not {strikes}"
            self.page.wait_for_timeout(20)


@contextmanager
def browser() -> Iterator[Browser]:
    """A Chromium of the system."""
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=chromium_path(), args=CHROMIUM_FLAGS)
        yield opened
        opened.close()


@contextmanager
def running_club(folder: Path, *players: str) -> Iterator[tuple[Club, str]]:
    """A club whose server runs, and the address of its touchline page with a pass for Tess."""
    made = Club.with_players(folder, *players)
    path = made.give_pass("Tess").path
    made.start()
    try:
        yield made, f"{made.address}{path}"
    finally:
        made.stop()


def phone_of(opened: Browser) -> BrowserContext:
    """A phone of its own: 390 × 844 CSS pixels, touched by fingers."""
    return opened.new_context(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)


def page_text() -> dict[str, str]:
    return {path.name: path.read_text(encoding="utf-8") for path in PAD.iterdir() if path.suffix != ".png"}


def test_the_whole_page_weighs_less_than_sixty_kilobytes() -> None:
    sizes = {path.name: path.stat().st_size for path in PAD.iterdir()}
    assert sum(sizes.values()) < LARGEST_PAGE_BYTES, sorted(sizes.items(), key=lambda item: -item[1])


def test_the_page_names_no_other_host() -> None:
    for name, text in page_text().items():
        assert not re.search(r"https?://", text), name


def test_text_never_becomes_markup() -> None:
    for name, text in page_text().items():
        assert not re.search(r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\(|new Function", text), (
            name
        )


def test_nothing_stands_inline_that_a_strict_policy_would_refuse() -> None:
    html = page_text()["index.html"]
    assert not re.search(r"<style|\sstyle=|\son\w+=", html)
    assert all("src=" in tag for tag in re.findall(r"<script[^>]*>", html))


def test_every_module_that_is_imported_is_there_and_none_is_left_over() -> None:
    imported = {name for text in page_text().values() for name in re.findall(r"from '\./([a-z_]+\.js)'", text)}
    assert imported == {path.name for path in PAD.glob("*.js")} - {"pad.js", "sw.js"}


@pytest.mark.browser
@pytest.mark.skipif(NO_CHROMIUM, reason="there is no Chromium here")
def test_ids_made_within_one_millisecond_keep_their_order() -> None:
    module = (PAD / "identity.js").read_text(encoding="utf-8").replace("export ", "")
    with browser() as opened:
        ids = opened.new_page().evaluate(
            f"(() => {{ {module}; return Array.from({{ length: 50 }}, () => uuid7({MOMENT_MS})); }})()"
        )
    assert all(one < other for one, other in pairwise(ids))
    assert {UUID(one).version for one in ids} == {7}
    assert {UUID(one).int >> 80 for one in ids} == {MOMENT_MS}
