"""The look of the dashboard: black on white, quiet, large enough to read in the sun.

Text is 17:1 or more against its background, secondary text 9:1 or more (WCAG 2.2, 1.4.6 asks 7:1).
No font and no icon is fetched from anywhere.
"""

from __future__ import annotations

THEME: dict[str, object] = {
    "theme.base": "light",
    "theme.primaryColor": "#1a1a1a",
    "theme.backgroundColor": "#ffffff",
    "theme.secondaryBackgroundColor": "#f4f4f4",
    "theme.textColor": "#111111",
    "theme.linkColor": "#003f66",
    "theme.linkUnderline": True,
    "theme.borderColor": "#767676",
    "theme.showWidgetBorder": True,
    "theme.grayTextColor": "#404040",
    "theme.redTextColor": "#5c1a00",
    "theme.redBackgroundColor": "#fdf1ea",
    "theme.yellowTextColor": "#3d3000",
    "theme.yellowBackgroundColor": "#fbf6dc",
    "theme.greenTextColor": "#003d2c",
    "theme.greenBackgroundColor": "#eef6f3",
    "theme.blueTextColor": "#003f66",
    "theme.blueBackgroundColor": "#eef4f8",
    "theme.dataframeBorderColor": "#c4c4c4",
    "theme.dataframeHeaderBackgroundColor": "#f4f4f4",
    "theme.dataframeHeaderTextColor": "#111111",
    "theme.font": "sans-serif",
    "theme.baseFontSize": 17,
    "theme.headingFontSizes": ["1.75rem", "1.35rem", "1.15rem", "1rem", "1rem", "1rem"],
    "theme.headingFontWeights": [700, 700, 700, 700, 700, 700],
    "theme.baseRadius": "small",
    "theme.paddingTop": "0.5rem",
    "theme.paddingBottom": "3rem",
}
"""What ``streamlit.App.run(config=…)`` is given; every key is one of Streamlit's theme options."""
