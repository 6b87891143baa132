"""Pictures of ``tracker.report.charts`` as SVG for a page, in the fonts of the page."""

from __future__ import annotations

import re
from functools import cache

import altair as alt
import vl_convert

from tracker.report.printed.engine import FONT_FAMILIES, FONTS

_FONT = re.compile(r'font-family="[^"]*"')


def svg(picture: alt.LayerChart, *, width: int) -> str:
    """The picture as an SVG text this many pixels wide; its title is left to the page."""
    _with_fonts()
    plain = picture.properties(width=width)
    plain.title = alt.Undefined
    plain.autosize = alt.AutoSizeParams(type="fit-x", contains="padding")
    drawn: str = vl_convert.vegalite_to_svg(plain.to_dict(validate=False))
    return _FONT.sub(f'font-family="{", ".join(FONT_FAMILIES)}"', drawn)


def described(picture: alt.LayerChart) -> str:
    """What the picture shows, for those who do not see it."""
    return str(picture.description)


@cache
def _with_fonts() -> None:
    vl_convert.register_font_directory(str(FONTS))
