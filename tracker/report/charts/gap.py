"""The foot gap: preferred and other foot of one player at the start, in the middle and at the end of a season."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import altair as alt
import polars as pl

from tracker.domain.vocabulary import Foot
from tracker.report import chart_style as style
from tracker.report.language import _
from tracker.report.season_words import ahead_words, of_ten, part_words, side_count
from tracker.review.gap_over_season import SeasonPart


def foot_gap_picture(parts: pl.DataFrame) -> alt.LayerChart:
    """Both feet's rates with their ranges in each part of a season, joined by a line as long as the gap.

    ``parts`` are the rows of one player of ``review.gap_over_season``, at least one.
    """
    rows = _foot_rows(parts)
    order = [part_words(SeasonPart(part)) for part in parts["part"]]
    y = alt.Y("part:N", sort=order, title=None, axis=alt.Axis(ticks=False, domain=False, grid=False))
    x = alt.X("rate:Q", scale=alt.Scale(domain=[0, 10]), title=_("on target of 10"), axis=alt.Axis(tickCount=5))
    feet = alt.Chart(rows).encode(
        y=y,
        yOffset=alt.YOffset("foot:N", sort=style.feet(), scale=alt.Scale(paddingInner=0.2, paddingOuter=0.6)),
        color=style.foot_colour(),
        tooltip=["part:N", "foot:N", alt.Tooltip("count:N", title=_("on target"))],
    )
    title = _title(parts)
    return style.picture(
        feet.mark_line(color=style.FAINT, strokeWidth=5, opacity=0.6).encode(
            x=x, color=alt.value(style.FAINT), detail="part:N"
        ),
        feet.mark_rule(strokeWidth=2).encode(x=alt.X("low:Q"), x2="high:Q", strokeDash=style.foot_dash()),
        feet.mark_point(filled=True, size=110, opacity=1).encode(x=x, shape=style.foot_shape()),
        *(
            feet.transform_filter(alt.datum.foot == foot.value)
            .mark_text(dy=dy, fontSize=12)
            .encode(x=x, text="count:N", color=alt.value(style.INK))
            for foot, dy in ((Foot.LEFT, -13), (Foot.RIGHT, 15))  # away from the other foot's line
        ),
        title=title,
        note=_(
            "{left} left foot, {right} right foot. Line: where the real rate likely lies. Grey: the way between."
        ).format(left=style.FOOT_SIGN[Foot.LEFT], right=style.FOOT_SIGN[Foot.RIGHT]),
        description=f"{title}. " + " ".join(_described(row) for row in parts.iter_rows(named=True)),
        height=74 * parts.height,
    )


def _foot_rows(parts: pl.DataFrame) -> pl.DataFrame:
    rows = []
    for row in parts.iter_rows(named=True):
        preferred = Foot(row["preferred_foot"])
        for side, foot in (("preferred", preferred), ("other", preferred.opposite)):
            if row[f"{side}_rate"] is not None:
                figures = (10 * row[f"{side}_{name}"] for name in ("rate", "low", "high"))
                rows.append((part_words(SeasonPart(row["part"])), foot.value, *figures, side_count(row, side)))
    schema = {"part": pl.String, "foot": pl.String, "rate": pl.Float64, "low": pl.Float64, "high": pl.Float64}
    return pl.DataFrame(rows, schema={**schema, "count": pl.String}, orient="row")


def _title(parts: pl.DataFrame) -> str:
    """The gap at like difficulty at both ends; where one cannot be compared, only what can."""
    ends = [parts.row(0, named=True), parts.row(-1, named=True)]
    start, end = (ahead_words(row) for row in ends)
    if start == end:
        return _("At like difficulty: {gap} at the start and at the end").format(gap=start)
    return _("At like difficulty: {start} at the start, {end} at the end").format(start=start, end=end)


def _described(row: Mapping[str, Any]) -> str:
    part = part_words(SeasonPart(row["part"]))
    names = (("preferred", _("preferred foot")), ("other", _("other foot")))
    sides = [f"{name} {of_ten(row[f'{side}_rate'])}" for side, name in names if row[f"{side}_rate"] is not None]
    return f"{part}: {', '.join(sides)}."
