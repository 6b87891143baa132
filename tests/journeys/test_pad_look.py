"""Whether a thumb hits, an eye reads in the sun, and a screen reader knows what is what."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import TypedDict

import pytest
from playwright.sync_api import Browser, Page
from test_pad_bench import NO_CHROMIUM, Phone, browser, phone_of, running_club

pytestmark = [pytest.mark.browser, pytest.mark.skipif(NO_CHROMIUM, reason="there is no Chromium here")]

SCREENS = [(390, 844), (390, 664), (844, 390), (320, 640), (1280, 800), (640, 400)]
VIEWS = ("Tap", "Call-out", "Watch", "More")
LEAST_PX, LEAST_MAIN_PX, LEAST_GAP_PX, LEAST_UNDO_GAP_PX = 64, 96, 8, 24
LEAST_TEXT_CONTRAST, LEAST_MARK_CONTRAST = 7.0, 3.0

BUTTONS = """() => [...document.querySelectorAll('button')].map((one) => {
  const { left, top, width, height } = one.getBoundingClientRect();
  return { name: one.ariaLabel ?? one.textContent, left, top, width, height,
    isMain: one.classList.contains('hit'), isTarget: one.closest('.panel') !== null,
    isUndo: one.classList.contains('undo') };
})"""

CONTRASTS = """() => {
  const rgb = (text) => text.match(/[\\d.]+/g).map(Number);
  const luminance = (color) => rgb(color).slice(0, 3).map((part) => part / 255)
    .map((part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4))
    .reduce((sum, part, place) => sum + part * [0.2126, 0.7152, 0.0722][place], 0);
  const ratio = (one, other) => {
    const [low, high] = [luminance(one), luminance(other)].sort((a, b) => a - b);
    return (high + 0.05) / (low + 0.05);
  };
  const ground = (node) => {
    for (let at = node; at; at = at.parentElement) {
      const color = getComputedStyle(at).backgroundColor;
      if ((rgb(color)[3] ?? 1) > 0) return color;
    }
    return 'rgb(255, 255, 255)';
  };
  const texts = [...document.querySelectorAll('body *')]
    .filter((one) => [...one.childNodes].some((child) => child.nodeType === 3 && child.data.trim()))
    .map((one) => [one.textContent, ratio(getComputedStyle(one).color, ground(one))]);
  const marks = [...document.querySelectorAll('button')]
    .map((one) => [one.textContent, ratio(getComputedStyle(one).borderTopColor, ground(one.parentElement))]);
  return { texts, marks };
}"""
"""Relative luminance and contrast ratio: WCAG 2.2, definitions; sRGB threshold 0.04045."""


class Box(TypedDict):
    """A button on the screen, in CSS pixels."""

    name: str
    left: float
    top: float
    width: float
    height: float
    isMain: bool
    isTarget: bool
    isUndo: bool


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with browser() as opened:
        yield opened


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    with running_club(tmp_path_factory.mktemp("club"), "Ana", "Ben", "Maximiliane-Josephine", "Dee") as (_, found):
        yield found


@pytest.fixture(params=SCREENS, ids=lambda size: f"{size[0]}x{size[1]}")
def phone(request: pytest.FixtureRequest, chromium: Browser, address: str) -> Iterator[Phone]:
    width, height = request.param
    context = chromium.new_context(
        viewport={"width": width, "height": height}, has_touch=width < 1000, is_mobile=width < 1000
    )
    opened = Phone.opening(context, address)
    yield opened
    context.close()


def buttons(page: Page) -> list[Box]:
    found: list[Box] = page.evaluate(BUTTONS)
    return found


def gap(one: Box, other: Box) -> float:
    """The distance between two boxes' edges, in CSS pixels."""
    across = max(other["left"] - one["left"] - one["width"], one["left"] - other["left"] - other["width"])
    down = max(other["top"] - one["top"] - one["height"], one["top"] - other["top"] - other["height"])
    return max(across, down)


def test_every_button_is_large_enough_for_a_gloved_thumb_and_nothing_runs_off_the_side(phone: Phone) -> None:
    for view in VIEWS:
        phone.go_to(view)
        for one in buttons(phone.page):
            assert one["width"] >= LEAST_PX, (view, one)
            assert one["height"] >= (LEAST_MAIN_PX if one["isMain"] else LEAST_PX), (view, one)
        for area in ("document.documentElement", "document.querySelector('main')"):
            assert phone.page.evaluate(f"{area}.scrollWidth <= {area}.clientWidth"), view


def test_targets_keep_apart_and_undo_keeps_away_from_them(phone: Phone) -> None:
    found = buttons(phone.page)
    targets = [one for one in found if one["isTarget"]]
    for one, other in combinations(targets, 2):
        assert gap(one, other) >= LEAST_GAP_PX - 0.5, (one, other)
    undo = next(one for one in found if one["isUndo"])
    main = phone.page.locator("main").bounding_box()
    assert main is not None
    for one in targets:
        # What is scrolled out of sight cannot be hit.
        bottom = min(one["top"] + one["height"], main["y"] + main["height"])
        visible: Box = {**one, "height": bottom - one["top"]}
        if visible["height"] > 0:
            assert gap(visible, undo) >= LEAST_UNDO_GAP_PX, (one, undo)


def test_undo_is_in_sight_in_every_view(phone: Phone) -> None:
    for view in VIEWS:
        phone.go_to(view)
        box = phone.page.locator(".undo").bounding_box()
        size = phone.page.viewport_size
        assert box is not None
        assert size is not None
        assert box["y"] >= 0
        assert box["y"] + box["height"] <= size["height"]


@pytest.mark.parametrize("is_dark", [False, True], ids=["light", "dark"])
def test_text_has_a_contrast_of_seven_and_marks_of_three(chromium: Browser, address: str, *, is_dark: bool) -> None:
    context = phone_of(chromium)
    phone = Phone.opening(context, address)
    phone.page.get_by_label("1 Ana, left foot: through").tap()
    if is_dark:
        phone.go_to("More")
        phone.page.get_by_role("switch", name="Dark screen").click()
    for view in VIEWS:
        phone.go_to(view)
        found = phone.page.evaluate(CONTRASTS)
        assert found["texts"]
        for text, ratio in found["texts"]:
            assert ratio >= LEAST_TEXT_CONTRAST, (view, text, ratio)
        for border, ratio in found["marks"]:
            assert ratio >= LEAST_MARK_CONTRAST, (view, border, ratio)
    context.close()


def test_feet_differ_by_word_side_shape_and_line_and_not_by_colour_alone(chromium: Browser, address: str) -> None:
    context = phone_of(chromium)
    page = Phone.opening(context, address).page
    style = """(one) => {
        const { borderTopStyle, borderTopLeftRadius, borderTopColor } = getComputedStyle(one);
        return [borderTopStyle, borderTopLeftRadius, borderTopColor];
    }"""
    left = page.get_by_label("1 Ana, left foot: through")
    right = page.get_by_label("1 Ana, right foot: through")
    assert "LEFT" in left.inner_text()
    assert "RIGHT" in right.inner_text()
    assert left.evaluate(style) == ["solid", "24px", "rgb(0, 114, 178)"]
    assert right.evaluate(style) == ["dashed", "0px", "rgb(213, 94, 0)"]
    context.close()


def test_what_counts_is_read_out_and_every_button_has_its_own_name(chromium: Browser, address: str) -> None:
    context = phone_of(chromium)
    page = Phone.opening(context, address).page
    page.get_by_role("button", name="2 Ben", exact=True).tap()
    page.get_by_label("2 Ben, right foot: short").tap()
    page.wait_for_function("document.querySelector('#spoken').textContent === '2 Ben right: 0 of 1'")
    assert page.locator("#spoken").get_attribute("aria-live") == "polite"
    names = [one["name"] for one in buttons(page)]
    assert all(names)
    assert len(set(names)) == len(names)
    assert page.evaluate("document.documentElement.lang") == "en"
    assert page.get_by_role("heading", level=1).count() == 1
    assert page.get_by_role("main").count() == 1
    context.close()


def test_text_twice_as_large_is_still_all_there(chromium: Browser, address: str) -> None:
    context = phone_of(chromium)
    page = Phone.opening(context, address).page
    page.evaluate("document.documentElement.style.fontSize = '200%'")
    page.wait_for_timeout(100)
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    for name in ("1 Ana, left foot: through", "1 Ana, right foot: blocked"):
        page.get_by_label(name).tap()
        page.wait_for_timeout(50)
    page.wait_for_function("document.querySelectorAll('.tap-view ol li').length === 2")
    context.close()
