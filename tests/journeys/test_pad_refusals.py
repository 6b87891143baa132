"""When the server says no, or somebody else answers in its place: nothing is lost, and the page says what is wrong."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, expect
from test_pad_bench import NO_CHROMIUM, Club, Phone, browser, phone_of, running_club

pytestmark = [pytest.mark.browser, pytest.mark.skipif(NO_CHROMIUM, reason="there is no Chromium here")]

STRUCK_TOO_FAR = """async () => {
  const { keep } = await import('/pad/queue.js');
  const { strikes } = await import('/pad/session.js');
  const { uuid7 } = await import('/pad/identity.js');
  await keep(() => [{ ...strikes()[0], id: uuid7(Date.now()), distance_m: 500, state: 'waiting' }]);
}"""


@pytest.fixture
def club(tmp_path: Path) -> Iterator[tuple[Club, str]]:
    with running_club(tmp_path, "Ana", "Ben") as running:
        yield running


@pytest.fixture
def context() -> Iterator[BrowserContext]:
    with browser() as opened:
        yield phone_of(opened)


def test_a_revoked_pass_keeps_the_taps_until_a_new_one_brings_them(
    context: BrowserContext, club: tuple[Club, str]
) -> None:
    server, address = club
    phone = Phone.opening(context, address)
    phone.tap("1 Ana, left foot: through")
    phone.wait_until_stored()
    context.set_offline(True)
    phone.tap("1 Ana, right foot: through")
    server.stop()
    given, renewed = server.give_pass("Uma"), server.give_pass("Vic")
    server.revoke(given)
    server.start()
    context.set_offline(False)
    phone.page.goto(f"{server.address}{given.path}")
    phone.wait_until_ready()
    phone.tap("1 Ana, left foot: over")
    phone.page.get_by_text("1 kept on this phone, pass refused").wait_for()
    phone.page.goto(f"{server.address}{renewed.path}")
    phone.wait_until_ready()
    phone.wait_until_stored()
    assert "#" not in phone.page.url
    stored = server.strikes()
    assert stored.select("logger", "outcome").rows() == [
        ("Tess", "on target"),
        ("Tess", "on target"),
        ("Vic", "off target"),
    ]


def test_the_sign_in_page_of_a_wifi_is_not_taken_for_an_answer(context: BrowserContext, club: tuple[Club, str]) -> None:
    server, address = club
    phone = Phone.opening(context, address)
    context.route("**/api/strikes", lambda route: route.fulfill(status=200, content_type="text/html", body="Sign in"))
    phone.tap("1 Ana, left foot: through")
    phone.page.get_by_text("1 kept on this phone, no connection").wait_for()
    context.unroute("**/api/strikes")
    phone.wait_until_stored()
    assert server.strikes().height == 1


def test_a_refused_strike_does_not_count_and_stays_with_the_reason(
    context: BrowserContext, club: tuple[Club, str]
) -> None:
    server, address = club
    phone = Phone.opening(context, address)
    phone.tap("1 Ana, left foot: through")
    phone.wait_until_stored()
    phone.page.evaluate(STRUCK_TOO_FAR)
    phone.page.get_by_text("1 refused").wait_for()
    expect(phone.page.get_by_label("1 Ana, left foot: through")).to_contain_text("1 of 1")
    phone.page.reload()
    phone.wait_until_ready()
    phone.go_to("More")
    expect(phone.page.get_by_text("1 Ana, left: through: distance_m must be 0.1 to 120 metres")).to_be_visible()
    phone.tap("Offer them again")
    phone.page.wait_for_timeout(500)
    expect(phone.page.get_by_text("1 refused. They do not count")).to_be_visible()
    assert server.strikes().height == 1


def test_without_a_pass_the_page_says_how_to_open_it(context: BrowserContext, club: tuple[Club, str]) -> None:
    _, address = club
    page = context.new_page()
    page.goto(address.split("?")[0])
    page.get_by_text("Open this page with the code the coach shows.").wait_for()
    page.goto(address.split("#")[0] + "#no-such-pass")
    page.get_by_text("Cannot start: This pass is not known here").wait_for()
