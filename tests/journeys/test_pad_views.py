"""What an assistant does at the touchline: call-out sets, undo, turns, keys, a file as the last resort."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, expect
from test_pad_bench import NO_CHROMIUM, PAUSE_BETWEEN_PRESSES_MS, Club, Phone, browser, phone_of, running_club

pytestmark = [pytest.mark.browser, pytest.mark.skipif(NO_CHROMIUM, reason="there is no Chromium here")]

PLAYERS = ("Ana", "Ben", "Cem", '=Dee, "the wall"')


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with browser() as opened:
        yield opened


@pytest.fixture
def club(tmp_path: Path) -> Iterator[tuple[Club, str]]:
    with running_club(tmp_path, *PLAYERS) as running:
        yield running


@pytest.fixture
def context(chromium: Browser) -> Iterator[BrowserContext]:
    made = phone_of(chromium)
    yield made
    made.close()


def test_sixteen_sets_are_sixteen_taps(chromium: Browser, context: BrowserContext, tmp_path: Path) -> None:
    names = [f"Player {letter}" for letter in "ABCDEFGHIJKLMNOP"]
    with running_club(tmp_path, *names) as (server, address):
        phone = Phone.opening(context, address)
        phone.go_to("Call-out")
        for hits in [7, 7, 10, 0, 5, 6, 8, 9, 1, 2, 3, 4, 5, 6, 7, 8]:
            phone.page.locator(".numbers").get_by_role("button", name=str(hits), exact=True).tap()
            phone.page.wait_for_timeout(PAUSE_BETWEEN_PRESSES_MS)
        phone.wait_until_stored()
        first = phone.page.locator(".rows").get_by_role("button").first
        assert "left 7 of 10" in first.inner_text()
        assert first.get_attribute("aria-pressed") == "true", "after the last player the first is up again"
        phone.page.locator(".undo").tap()
        phone.wait_until_stored()
        stored = server.strikes(with_voided=True)
    assert stored.height == 160
    assert stored["set_id"].n_unique() == 16
    assert stored["player"].unique(maintain_order=True).to_list() == names
    assert set(stored["source"]) == {"call-out"}
    on_target = stored.filter(stored["outcome"] == "on target").group_by("player").len()
    assert dict(on_target.iter_rows())["Player C"] == 10
    assert server.strikes().height == 150


def test_undo_goes_twenty_back_and_survives_a_reload(context: BrowserContext, club: tuple[Club, str]) -> None:
    server, address = club
    phone = Phone.opening(context, address)
    for number in range(24):
        phone.tap(f"1 Ana, {('left', 'right')[number % 2]} foot: {('through', 'short', 'over')[number % 3]}")
    phone.wait_until_kept(24)
    phone.page.reload()
    phone.wait_until_ready()
    for _ in range(20):
        phone.page.locator(".undo").tap()
        phone.page.wait_for_timeout(PAUSE_BETWEEN_PRESSES_MS)
    expect(phone.page.locator(".undo")).to_contain_text("1 Ana, right: through")
    phone.wait_until_stored()
    assert server.strikes(with_voided=True).height == 24
    assert server.strikes().height == 4


def test_a_tap_undone_before_it_was_sent_never_counts(context: BrowserContext, club: tuple[Club, str]) -> None:
    server, address = club
    phone = Phone.opening(context, address)
    context.set_offline(True)
    phone.tap("1 Ana, left foot: through")
    phone.page.locator(".undo").tap()
    phone.page.get_by_text("2 kept on this phone").wait_for()
    assert "0 of 0" in phone.page.get_by_label("1 Ana, left foot: through").inner_text()
    context.set_offline(False)
    phone.wait_until_stored()
    assert server.strikes(with_voided=True).height == 1
    assert server.strikes().height == 0


def test_a_dropped_turn_does_not_count_and_undo_brings_it_back(context: BrowserContext, club: tuple[Club, str]) -> None:
    server, address = club
    phone = Phone.opening(context, address)
    phone.tap("1 Ana, left foot: over")  # before the turn: stays
    phone.page.get_by_role("button", name="Start turn").tap()
    for label in ("1 Ana, left foot: through", "1 Ana, right foot: wide left", "1 Ana, right foot: blocked"):
        phone.tap(label)
    phone.page.get_by_role("button", name="End turn").tap()
    phone.go_to("Watch")
    phone.page.get_by_role("button", name="Drop turn of 1 Ana and 2 Ben").tap()
    phone.page.get_by_text("dropped; Undo brings it back").wait_for()
    row = phone.page.get_by_role("row", name="1 Ana")
    expect(row).to_have_text("1 Ana10")
    phone.page.locator(".undo").tap()
    phone.page.get_by_text("3 strikes").wait_for()
    expect(row).to_have_text("1 Ana21")
    phone.wait_until_stored()
    counted = server.strikes()
    assert counted.select("foot", "outcome", "miss").rows() == [
        ("left", "off target", "over"),
        ("left", "on target", None),
        ("right", "off target", "left"),
        ("right", "blocked", None),
    ]
    assert server.strikes(with_voided=True).height == 7


def test_a_pair_is_changed_by_tapping_names(context: BrowserContext, club: tuple[Club, str]) -> None:
    _, address = club
    phone = Phone.opening(context, address)
    phone.tap("1 Ana")
    phone.tap("3 Cem")
    expect(phone.page.locator(".name")).to_have_text(["3 Cem1", "2 Ben2"])
    phone.tap("3 Cem, left foot: through")
    phone.tap("Next group")
    expect(phone.page.locator(".name").first).to_contain_text("1 Ana")
    phone.page.reload()
    phone.wait_until_ready()
    expect(phone.page.locator(".name").first).to_contain_text("1 Ana")


def test_somebody_who_faces_the_players_sees_them_mirrored(context: BrowserContext, club: tuple[Club, str]) -> None:
    server, address = club
    phone = Phone.opening(context, address)

    def middle(label: str) -> float:
        box = phone.page.get_by_label(label, exact=True).bounding_box()
        assert box is not None
        return box["x"] + box["width"] / 2

    assert middle("1 Ana, left foot: through") < middle("1 Ana, right foot: through")
    phone.go_to("More")
    phone.page.get_by_role("switch", name="mirror").tap()
    phone.go_to("Tap")
    assert middle("1 Ana, right foot: through") < middle("1 Ana, left foot: through")
    assert middle("1 Ana, left foot: wide right") < middle("1 Ana, left foot: wide left")
    phone.tap("1 Ana, left foot: wide right")
    phone.wait_until_stored()
    assert server.strikes().select("foot", "miss").rows() == [("left", "right")]


def test_stage_surface_and_distance_go_with_every_strike(context: BrowserContext, club: tuple[Club, str]) -> None:
    server, address = club
    phone = Phone.opening(context, address)
    for label in ("Next stage", "Surface: inside", "Farther"):
        phone.tap(label)
    phone.tap("1 Ana, left foot: through")
    phone.wait_until_stored()
    stored = server.strikes().row(0, named=True)
    assert (stored["stage"], stored["surface"]) == ("Still ball through a gate", "laces")
    assert stored["distance_m"] == pytest.approx(12 * 0.9144)


def test_everything_goes_by_keyboard_and_single_keys_can_be_switched_off(
    chromium: Browser, club: tuple[Club, str]
) -> None:
    server, address = club
    context = chromium.new_context(viewport={"width": 1280, "height": 800})
    phone = Phone.opening(context, address)
    keyboard = phone.page.keyboard
    for key in ("d", "j", "2", "k", "i", "u"):
        keyboard.press(key)
        phone.page.wait_for_timeout(60)
    assert phone.page.locator("kbd:visible").count() > 10
    switch = None
    for _ in range(80):
        keyboard.press("Tab")
        focused = phone.page.evaluate("[document.activeElement.ariaLabel, document.activeElement.role]")
        if focused[0] == "Views and settings":
            keyboard.press("Enter")
        switch = phone.page.evaluate("document.activeElement.textContent")
        if switch == "Single keys log strikes":
            break
    assert switch == "Single keys log strikes"
    keyboard.press("Space")
    phone.page.wait_for_timeout(100)
    phone.page.get_by_role("navigation").get_by_role("button", name="Tap", exact=True).press("Enter")
    keyboard.press("d")
    assert phone.page.locator("kbd:visible").count() == 0
    phone.wait_until_stored()
    context.close()
    assert server.strikes().select("player", "foot", "outcome", "miss").rows() == [
        ("Ana", "left", "on target", None),
        ("Ana", "right", "off target", "left"),
        ("Ben", "right", "on target", None),
    ]


def test_a_saved_file_is_imported_and_what_arrives_twice_is_stored_once(
    context: BrowserContext, club: tuple[Club, str], tmp_path: Path
) -> None:
    server, address = club
    phone = Phone.opening(context, address)
    phone.page.get_by_text("Ready to go offline").wait_for()
    context.set_offline(True)
    phone.tap("1 Ana, left foot: through")
    phone.tap("1 Ana, right foot: wide left")
    phone.tap("Next group")
    phone.tap('4 =Dee, "the wall"')
    phone.tap('4 =Dee, "the wall", right foot: blocked')
    phone.tap('4 =Dee, "the wall", right foot: short')
    phone.page.locator(".undo").tap()
    phone.go_to("More")
    with phone.page.expect_download() as download:
        phone.tap("Save to file")
    file = tmp_path / "saved.csv"
    download.value.save_as(file)
    server.stop()
    command = [sys.executable, "-m", "tracker.cli.main", "import", str(file), "--db", str(server.database)]
    subprocess.run(command, check=True, capture_output=True)
    imported = server.strikes()
    assert imported.select("player", "foot", "outcome", "miss").rows() == [
        ("Ana", "left", "on target", None),
        ("Ana", "right", "off target", "left"),
        ('=Dee, "the wall"', "right", "blocked", None),
    ]
    assert imported["target_width_m"].null_count() == 0
    server.start()
    context.set_offline(False)
    phone.wait_until_stored()
    assert server.strikes().drop("struck_at_phone").equals(imported.drop("struck_at_phone"))
