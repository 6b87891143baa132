"""How the pictures look: colours, shapes and marks of feet and statuses, titles, type.

The left foot is blue, round and solid; the right foot is vermilion, square and dashed, so that shape and dash still
tell them apart in grey (Okabe and Ito, Color Universal Design, 2008). A status is a sign and a shade; what asks for a
decision stands out most: ready in black, revisit in yellow.
"""

from __future__ import annotations

import json
import textwrap

import altair as alt

from tracker.domain.vocabulary import Foot, Language, ReadinessStatus
from tracker.report.language import _, month_name, spoken

FOOT_COLOUR = {Foot.LEFT: "#0072B2", Foot.RIGHT: "#D55E00"}
FOOT_SHAPE = {Foot.LEFT: "circle", Foot.RIGHT: "square"}
FOOT_DASH = {Foot.LEFT: [1, 0], Foot.RIGHT: [5, 3]}
FOOT_SIGN = {Foot.LEFT: "●", Foot.RIGHT: "■"}
STATUS_FILL = {
    ReadinessStatus.GATHERING: "#ffffff",
    ReadinessStatus.WORKING: "#d0d0d0",
    ReadinessStatus.READY: "#1a1a1a",
    ReadinessStatus.REVISIT: "#F0E442",
}
PASSED_FILL, CALM_READY_FILL = "#eeeeee", "#ffffff"
INK, SOFT_INK, FAINT, GRID, PAPER = "#111111", "#404040", "#b4b4b4", "#dddddd", "#ffffff"
NARROW_PX, NARROW_LETTERS = 400, 46
"""A plot narrower than this has its title and labels broken for a phone, after so many letters a line."""
MEDIUM_PX, MEDIUM_LETTERS, WIDE_LETTERS = 700, 60, 96
"""The same for half a laptop's page; a wider plot has the widest lines."""


def feet() -> list[str]:
    """The feet in the order of sides, left to right."""
    return [foot.value for foot in Foot]


def foot_colour() -> alt.Color:
    """Colour by foot, without a legend: side and sign say which is which."""
    return alt.Color("foot:N", scale=alt.Scale(domain=feet(), range=list(FOOT_COLOUR.values())), legend=None)


def foot_shape() -> alt.Shape:
    """Shape by foot."""
    return alt.Shape("foot:N", scale=alt.Scale(domain=feet(), range=list(FOOT_SHAPE.values())), legend=None)


def foot_dash() -> alt.StrokeDash:
    """Dash by foot."""
    return alt.StrokeDash("foot:N", scale=alt.Scale(domain=feet(), range=list(FOOT_DASH.values())), legend=None)


def picture(
    *layers: alt.Chart, title: str, note: str = "", description: str, height: int | alt.Step, offset: int = 12
) -> alt.LayerChart:
    """The layers as one finished picture, as wide as its frame.

    ``title`` states the finding, ``note`` how to read it, ``description`` is the text for those who do not see it;
    ``offset`` leaves room in pixels under the title.
    """
    chart = alt.LayerChart(layer=list(layers)).properties(
        title=_title(title, note, offset=offset),
        description=description,
        width="container",
        height=height,
        background=PAPER,
        autosize=alt.AutoSizeParams(type="fit-x", contains="padding"),
    )
    finished: alt.LayerChart = (
        chart.configure(font="Source Sans, Noto Sans, sans-serif", locale=_locale())
        .configure_view(stroke=None)
        .configure_axis(
            labelFontSize=13,
            titleFontSize=13,
            titleFontWeight="normal",
            labelColor=INK,
            titleColor=INK,
            gridColor=GRID,
            domainColor=FAINT,
            tickColor=FAINT,
        )
    )
    return finished


def _title(text: str, note: str, *, offset: int) -> alt.TitleParams:
    """A title that breaks to fit a phone or a page: the width is known only where it is drawn."""
    return alt.TitleParams(
        text=_broken(text),
        subtitle=textwrap.wrap(note, NARROW_LETTERS + 4),  # Vega-Lite takes no expression here
        anchor="start",
        frame="bounds",
        fontSize=15,
        color=INK,
        subtitleFontSize=13,
        subtitleColor=SOFT_INK,
        subtitlePadding=4,
        offset=offset,
    )


def _locale() -> alt.Locale | alt.UndefinedType:
    """How axes write months; Vega itself speaks English."""
    if spoken() is Language.ENGLISH:
        return alt.Undefined
    months = [month_name(month) for month in range(1, 13)]
    days = [_("Sunday"), _("Monday"), _("Tuesday"), _("Wednesday"), _("Thursday"), _("Friday"), _("Saturday")]
    return alt.Locale(
        time=alt.TimeLocale(
            dateTime="%A, %e de %B de %Y, %X",
            date="%d/%m/%Y",
            time="%H:%M:%S",
            periods=["AM", "PM"],
            days=days,
            shortDays=[day[:3] for day in days],
            months=months,
            shortMonths=[month[:3] for month in months],
        )
    )


def _broken(text: str) -> alt.ExprRef:
    lengths = (NARROW_LETTERS, MEDIUM_LETTERS, WIDE_LETTERS)
    narrow, medium, wide = (json.dumps(textwrap.wrap(text, letters)) for letters in lengths)
    return alt.ExprRef(f"width < {NARROW_PX} ? {narrow} : width < {MEDIUM_PX} ? {medium} : {wide}")
