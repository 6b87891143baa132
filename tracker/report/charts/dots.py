"""The dot picture: a rate as so many of twenty strikes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import altair as alt
import polars as pl

from tracker.domain.vocabulary import Foot, PreferredFoot
from tracker.report import chart_style as style
from tracker.report import glossary
from tracker.report.language import _

DOTS, A_ROW = 20, 10


def dot_picture(
    accuracy: pl.DataFrame, *, foot: Foot, preferred: PreferredFoot = PreferredFoot.UNKNOWN
) -> alt.LayerChart:
    """Twenty strikes of one foot as dots, filled as many as are on target, with a bracket for the likely range.

    ``accuracy`` is ``review.accuracy`` of one player by player and foot. Under ten strikes no dot is filled.
    """
    row: Mapping[str, Any] = next(iter(accuracy.filter(foot=foot.value).iter_rows(named=True)), {})
    attempts = int(row.get("attempts", 0))
    enough = attempts >= glossary.TOO_FEW_BELOW
    filled = round(DOTS * row["rate"]) if enough else 0
    least, most = (round(DOTS * row[end]) for end in ("low", "high")) if enough else (0, DOTS)
    dots = pl.DataFrame(
        {
            "column": [place % A_ROW for place in range(DOTS)],
            "row": [place // A_ROW for place in range(DOTS)],
            "is_hit": [place < filled for place in range(DOTS)],
            "is_likely": [least <= place < most for place in range(DOTS)],
        }
    )
    colour = style.FOOT_COLOUR[foot]
    x = alt.X("column:O", axis=None, scale=alt.Scale(padding=0.2))
    y = alt.Y("row:O", axis=None, scale=alt.Scale(padding=0.1))
    base = alt.Chart(dots).encode(x=x, y=y)
    name = glossary.foot_words(foot, preferred)
    title = (
        _("{foot}: about {filled} of 20 strikes on target").format(foot=name, filled=filled)
        if enough
        else _("{foot}: too few strikes to say").format(foot=name)
    )
    likely = _("likely between {least} and {most} of 20").format(least=least, most=most)
    return style.picture(
        base.mark_point(shape=style.FOOT_SHAPE[foot], size=330, strokeWidth=2, color=colour, opacity=1).encode(
            fill=alt.condition("datum.is_hit", alt.value(colour), alt.value(style.PAPER))
        ),
        base.transform_filter(alt.datum.is_likely).mark_tick(
            orient="horizontal", yOffset=15, size=22, thickness=3, color=style.INK
        ),
        title=f"{style.FOOT_SIGN[foot]} {title}",
        note=_("Filled: on target. Underlined: here the real rate may end, {likely}.").format(likely=likely)
        if enough
        else _("A rate is spoken of from {fewest} strikes on.").format(fewest=glossary.TOO_FEW_BELOW),
        description=f"{title}. {likely if enough else ''}".strip(),
        height=96,
    )
