"""The distance curve: what was observed at each distance, and what the aim promises between."""

from __future__ import annotations

import altair as alt
import polars as pl

from tracker.domain.vocabulary import LengthUnit, PreferredFoot
from tracker.report import chart_style as style
from tracker.report import glossary, wording
from tracker.report.charts.marks import count
from tracker.report.language import _
from tracker.report.season_words import reach_words, whole_length
from tracker.review.reach import Reach


def distance_curve(
    reach: Reach, *, unit: LengthUnit, preferred: PreferredFoot = PreferredFoot.UNKNOWN
) -> alt.LayerChart:
    """One foot's rate by distance at targets of one width: dots with ranges counted, a curve from the aim.

    The curve is dashed where the foot has not struck from; an upright line marks how far it still hits ``share``.
    """
    colour = style.FOOT_COLOUR[reach.foot]
    to_unit = wording.in_unit(1000.0, unit) / 1000.0
    curve = reach.curve.select((pl.col("distance_m") * to_unit).alias("distance"), pl.col("rate") * 10, "is_struck")
    dots = reach.observed.select(
        (pl.col("distance_m") * to_unit).alias("distance"),
        *(pl.col(name) * 10 for name in ("rate", "low", "high")),
        pl.col("stage"),
        count(),
    )
    ends = [*dots["distance"], *([reach.reach_m * to_unit] if reach.reach_m else []), 4.0]
    farthest = 1.25 * max(ends)
    x = alt.X(
        "distance:Q",
        title=_("distance in {unit}").format(unit=glossary.unit_words(unit)),
        scale=alt.Scale(domain=[0, farthest], nice=False),
        axis=alt.Axis(grid=False, tickCount=6, format="d"),
    )
    y = alt.Y("rate:Q", scale=alt.Scale(domain=[0, 10]), title=_("on target of 10"), axis=alt.Axis(tickCount=5))
    seen = alt.Chart(curve.filter(pl.col("distance") <= farthest)).mark_line(color=colour)
    observed = alt.Chart(dots)
    mark = pl.DataFrame(
        {"distance": [reach.reach_m * to_unit], "words": [whole_length(reach.reach_m, unit)]}
        if reach.reach_m
        else {"distance": [], "words": []},
        schema={"distance": pl.Float64, "words": pl.String},
    )
    share = alt.Chart(pl.DataFrame({"rate": [10 * reach.share]}))
    title = (
        f"{style.FOOT_SIGN[reach.foot]} {glossary.foot_words(reach.foot, preferred)}: {reach_words(reach, unit=unit)}"
    )
    tooltip = [alt.Tooltip("stage:N"), alt.Tooltip("count:N", title=_("on target"))]
    return style.picture(
        share.mark_rule(color=style.SOFT_INK, strokeDash=[2, 3]).encode(y=y),
        seen.transform_filter(alt.datum.is_struck).encode(x=x, y=y, strokeWidth=alt.value(2.5)),
        seen.encode(x=x, y=y, strokeDash=alt.value([3, 4]), strokeWidth=alt.value(1.5)),
        observed.mark_rule(color=colour, strokeWidth=2).encode(x=x, y=alt.Y("low:Q"), y2="high:Q"),
        observed.mark_point(shape=style.FOOT_SHAPE[reach.foot], filled=True, size=80, color=colour, opacity=1).encode(
            x=x, y=y, tooltip=tooltip
        ),
        alt.Chart(mark).mark_rule(color=style.INK, strokeWidth=2).encode(x=x),
        alt.Chart(mark)
        .mark_text(align="left", dx=5, baseline="top", fontSize=12, fontWeight="bold", color=style.INK)
        .encode(x=x, y=alt.value(2), text="words:N"),
        title=title,
        note=_(
            "Dots: counted, 10 strikes or more, with their likely range. Curve: what the aim promises; dashed where no "
            "strike is known. Dotted: {share}."
        ).format(share=wording.share_words(reach.share)),
        description=f"{title} "
        + " ".join(
            f"{wording.length_words(row['distance_m'], unit)}: {wording.rate_words(row['on_target'], row['attempts'])}."
            for row in reach.observed.iter_rows(named=True)
        ),
        height=230,
    )
