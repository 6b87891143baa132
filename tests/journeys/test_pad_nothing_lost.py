"""Whatever happens to the network, the server and the page: every tap that counted is stored, once, in order."""

from __future__ import annotations

import statistics
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from playwright.sync_api import Browser
from test_pad_bench import NO_CHROMIUM, PAUSE_BETWEEN_PRESSES_MS, Club, Phone, browser, phone_of, running_club

pytestmark = [pytest.mark.browser, pytest.mark.skipif(NO_CHROMIUM, reason="there is no Chromium here")]

PLAYERS = ("Ana", "Ben")
TARGETS = {
    "left foot: through": ("left", "on target", None),
    "right foot: wide left": ("right", "off target", "left"),
    "left foot: over": ("left", "off target", "over"),
    "right foot: through": ("right", "on target", None),
    "left foot: wide right": ("left", "off target", "right"),
    "right foot: short": ("right", "off target", "short"),
    "left foot: wide left": ("left", "off target", "left"),
    "right foot: wide right": ("right", "off target", "right"),
    "left foot: short": ("left", "off target", "short"),
    "right foot: over": ("right", "off target", "over"),
    "left foot: blocked": ("left", "blocked", None),
    "right foot: blocked": ("right", "blocked", None),
}
"""What a target's name promises: foot, outcome, miss. In this order no target is tapped twice within 250 ms."""
PAUSE_MS = 25
TAPS_A_PLAYER = 30

WATCH_THE_ECHO = """
window.echoes = [];
addEventListener('pointerdown', (event) => {
  const target = event.target.closest('.panel button');
  if (!target) return;
  const heard = performance.now();
  requestAnimationFrame(() => {
    const isShown = target.classList.contains('flash');
    window.echoes.push(isShown ? performance.now() - heard : Infinity);
  });
}, true);
"""
"""Measures from the page's hearing of the finger to the frame that shows the echo; Infinity where it shows none."""


@dataclass(kw_only=True)
class Tapper:
    """Taps one target after another with a finger, and remembers what each tap meant."""

    phone: Phone
    expected: list[tuple[str, str, str, str | None]] = field(default_factory=list)

    def tap(self, times: int) -> None:
        for _ in range(times):
            number = len(self.expected)
            player = PLAYERS[number // TAPS_A_PLAYER % len(PLAYERS)]
            if number % TAPS_A_PLAYER == 0:
                self._choose(player)
            label = list(TARGETS)[number % len(TARGETS)]
            self.phone.page.touchscreen.tap(*self.places[label])
            self.phone.page.wait_for_timeout(PAUSE_MS)
            self.expected.append((player, *TARGETS[label]))

    def _choose(self, player: str) -> None:
        name = self.phone.page.locator(".name", has_text=player)
        if name.get_attribute("aria-pressed") != "true":
            name.tap()

    def find_targets(self) -> None:
        """Looks where the targets stand on the screen."""
        boxes = self.phone.page.locator(".panel button").evaluate_all(
            """(buttons) => buttons.map((one) => {
                const { left, top, width, height } = one.getBoundingClientRect();
                return [one.ariaLabel, left + width / 2, top + height / 2];
            })"""
        )
        self.places = {label.split(", ")[1]: (x, y) for label, x, y in boxes}


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with browser() as opened:
        yield opened


@pytest.fixture
def club(tmp_path: Path) -> Iterator[tuple[Club, str]]:
    with running_club(tmp_path, *PLAYERS) as running:
        yield running


def test_500_taps_through_lost_networks_dead_servers_and_reloads(
    chromium: Browser, club: tuple[Club, str], capsys: pytest.CaptureFixture[str]
) -> None:
    server, address = club
    context = phone_of(chromium)
    context.add_init_script(WATCH_THE_ECHO)
    phone = Phone.opening(context, address)
    phone.page.get_by_text("Ready to go offline").wait_for()
    tapper = Tapper(phone=phone)
    tapper.find_targets()
    echoes: dict[str, list[float]] = {"online": [], "offline": []}

    def reload() -> None:
        """Reloads at once after the count has moved: what was shown as counted must still be there."""
        phone.wait_until_kept(len(tapper.expected))
        phone.page.reload()
        phone.wait_until_ready()
        assert len(phone.kept()) == len(tapper.expected)
        tapper.find_targets()

    def measured(kind: str, act: Callable[[], None]) -> None:
        phone.page.evaluate("window.echoes = []")
        act()
        phone.page.wait_for_timeout(100)
        echoes[kind] += phone.page.evaluate("window.echoes")

    measured("online", lambda: tapper.tap(100))
    context.set_offline(True)
    measured("offline", lambda: tapper.tap(60))
    assert phone.standing() == "60 kept on this phone, no connection"
    context.set_offline(False)
    tapper.tap(50)
    server.kill()
    tapper.tap(40)
    server.start()
    tapper.tap(40)
    context.set_offline(True)
    tapper.tap(40)
    reload()
    tapper.tap(30)
    context.set_offline(False)
    tapper.tap(30)
    server.kill()
    tapper.tap(30)
    reload()
    tapper.tap(30)
    server.start()
    tapper.tap(20)
    context.set_offline(True)
    tapper.tap(20)
    context.set_offline(False)
    tapper.tap(10)
    phone.wait_until_kept(500)
    phone.wait_until_stored()
    shown = phone.page.get_by_label("Last strikes").get_by_role("listitem").count()
    context.close()

    stored = server.strikes()
    assert stored.height == 500
    assert stored["strike_id"].n_unique() == 500
    assert stored["struck_at"].n_unique() == 500
    assert stored.select("player", "foot", "outcome", "miss").rows() == tapper.expected
    assert set(stored["logger"]) == {"Tess"}
    assert shown == 5
    assert phone.errors == []
    with capsys.disabled():
        for kind, times in echoes.items():
            p50, p95 = statistics.median(times), statistics.quantiles(times, n=20)[-1]
            print(f"\ntap to echo, {kind}: {len(times)} taps, p50 {p50:.1f} ms, p95 {p95:.1f} ms")  # noqa: T201
    assert all(max(times) < float("inf") for times in echoes.values()), "a tap had no echo in its frame"


def test_sets_are_of_the_set_size_and_blocked_strikes_do_not_fill_them(
    chromium: Browser, club: tuple[Club, str]
) -> None:
    server, address = club
    context = phone_of(chromium)
    phone = Phone.opening(context, address)
    for number in range(12):
        phone.tap(f"1 Ana, left foot: {'blocked' if number == 3 else 'through' if number % 2 else 'short'}")
        phone.page.wait_for_timeout(150)
        if number == 10:
            assert "set done" in phone.page.get_by_label("1 Ana, left foot: through").inner_text()
    phone.wait_until_stored()
    context.close()
    stored = server.strikes()
    assert stored.group_by("set_id", maintain_order=True).len()["len"].to_list() == [11, 1]
    assert stored["distance_m"].n_unique() == 1
    assert set(stored["surface"]) == {"laces"}


@pytest.mark.parametrize("has_web_locks", [True, False])
def test_two_tabs_send_every_strike_once(chromium: Browser, club: tuple[Club, str], *, has_web_locks: bool) -> None:
    server, address = club
    context = phone_of(chromium)
    if not has_web_locks:
        context.add_init_script("Object.defineProperty(Navigator.prototype, 'locks', { get: () => undefined });")
    sent: list[str] = []
    context.on(
        "request",
        lambda request: (
            sent.extend(one["strike_id"] for one in (request.post_data_json or {}).get("strikes", []))
            if request.url.endswith("/api/strikes")
            else None
        ),
    )
    first, second = Phone.opening(context, address), Phone.opening(context, address)
    for _ in range(4):
        for tab, foot in ((first, "left"), (second, "right")):
            for what in ("through", "short"):
                tab.page.get_by_label(f"1 Ana, {foot} foot: {what}").evaluate("(target) => target.click()")
        first.page.wait_for_timeout(PAUSE_BETWEEN_PRESSES_MS)
    second.wait_until_stored()
    first.wait_until_stored()
    for tab in (first, second):
        assert "4 of 8" in tab.page.get_by_label("1 Ana, left foot: through").inner_text()
        assert "4 of 8" in tab.page.get_by_label("1 Ana, right foot: through").inner_text()
    context.close()
    assert server.strikes().height == 16
    assert sorted(set(sent)) == sorted(sent)
    assert len(sent) == 16


def test_where_indexeddb_fails_the_small_store_keeps_the_taps(chromium: Browser, club: tuple[Club, str]) -> None:
    server, address = club
    context = phone_of(chromium)
    context.add_init_script("IDBFactory.prototype.open = () => { throw new Error('no room'); };")
    phone = Phone.opening(context, address)
    phone.page.get_by_text("Ready to go offline").wait_for()
    context.set_offline(True)
    phone.tap("1 Ana, left foot: through")
    phone.tap("1 Ana, right foot: short")
    phone.page.get_by_text("2 kept on this phone").wait_for()
    phone.page.reload()
    phone.wait_until_ready()
    assert "1 of 1" in phone.page.get_by_label("1 Ana, left foot: through").inner_text()
    context.set_offline(False)
    phone.wait_until_stored()
    context.close()
    assert server.strikes().height == 2


def test_where_nothing_can_be_kept_no_tap_counts(chromium: Browser, club: tuple[Club, str]) -> None:
    server, address = club
    context = phone_of(chromium)
    context.add_init_script(
        "IDBFactory.prototype.open = () => { throw new Error('no room'); };"
        "Storage.prototype.setItem = () => { throw new Error('no room'); };"
    )
    phone = Phone.opening(context, address)
    phone.tap("1 Ana, left foot: through")
    phone.page.get_by_text("NOT kept").wait_for()
    assert "0 of 0" in phone.page.get_by_label("1 Ana, left foot: through").inner_text()
    context.close()
    assert server.strikes().height == 0


def test_a_phone_whose_clock_is_wrong_stores_the_right_time_and_keeps_its_own(
    chromium: Browser, club: tuple[Club, str]
) -> None:
    server, address = club
    context = phone_of(chromium)
    context.add_init_script("const now = Date.now; Date.now = () => now() + 3600_000;")
    phone = Phone.opening(context, address)
    phone.page.wait_for_function("document.querySelector('[role=status]').textContent.startsWith('Ready')")
    phone.tap("1 Ana, left foot: through")
    phone.wait_until_stored()
    context.close()
    stored = server.strikes()
    ahead = (stored["struck_at_phone"] - stored["struck_at"]).dt.total_seconds()[0]
    assert 3590 <= ahead <= 3610
