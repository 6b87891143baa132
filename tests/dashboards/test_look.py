"""The look: known options, and contrast for a bright day."""

from __future__ import annotations

import pytest
from streamlit import config

from tracker.serve.theme import THEME


def luminance(colour: object) -> float:
    """Relative luminance of #rrggbb (WCAG 2.2)."""
    parts = [int(str(colour)[start : start + 2], 16) / 255 for start in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def test_every_theme_option_is_one_of_streamlits() -> None:
    assert set(THEME) <= set(config.get_config_options())


@pytest.mark.parametrize(
    ("ink", "paper"),
    [
        ("textColor", "backgroundColor"),
        ("textColor", "secondaryBackgroundColor"),
        ("grayTextColor", "backgroundColor"),
        ("linkColor", "backgroundColor"),
        ("backgroundColor", "primaryColor"),
        ("redTextColor", "redBackgroundColor"),
        ("greenTextColor", "greenBackgroundColor"),
        ("blueTextColor", "blueBackgroundColor"),
        ("yellowTextColor", "yellowBackgroundColor"),
    ],
)
def test_text_stands_out_seven_to_one(ink: str, paper: str) -> None:
    dark, light = sorted(luminance(THEME[f"theme.{name}"]) for name in (ink, paper))
    assert (light + 0.05) / (dark + 0.05) >= 7
