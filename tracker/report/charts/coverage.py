"""Squad coverage: strikes per player and foot in a month."""

from __future__ import annotations

import altair as alt
import polars as pl

from tracker.domain.vocabulary import Foot
from tracker.report import chart_style as style
from tracker.report.glossary import foot_words
from tracker.report.language import _
from tracker.report.season_words import few_strikes_words, month_words
from tracker.review.month_coverage import FEWEST_A_MONTH, MonthCoverage


def squad_coverage(coverage: MonthCoverage) -> alt.LayerChart:
    """Bars to the left for left-foot strikes and to the right for right-foot ones; a line at the fewest a month."""
    sign = pl.when(pl.col("foot") == Foot.LEFT.value).then(-1).otherwise(1)
    rows = coverage.feet.with_columns((sign * pl.col("attempts")).alias("bar"), sign.alias("side"))
    order = rows["player"].unique(maintain_order=True).to_list()
    most = max([FEWEST_A_MONTH, *rows["attempts"]]) * 1.35
    x = alt.X(
        "bar:Q",
        title=_("strikes in the month"),
        scale=alt.Scale(domain=[-most, most], nice=False),
        axis=alt.Axis(labelExpr="format(abs(datum.value), ',d')", tickCount=6, grid=False),
    )
    y = alt.Y("player:N", sort=order, title=None, axis=alt.Axis(labelLimit=120, ticks=False, domain=False))
    bars = alt.Chart(rows).encode(y=y, color=style.foot_colour())
    numbers = alt.Chart(rows).encode(y=y, x=x, text="attempts:Q")
    lines = alt.Chart(pl.DataFrame({"bar": [-FEWEST_A_MONTH, FEWEST_A_MONTH]}))
    heads = pl.DataFrame(
        {"bar": [-most / 2, most / 2], "head": [f"{style.FOOT_SIGN[foot]} {foot_words(foot)}" for foot in Foot]}
    )
    few = sum(len(coverage.few(foot)) for foot in Foot)
    month = month_words(coverage.month) if coverage.month else _("no month yet")
    title = _("{month}: {few} of {feet} feet have under {fewest} strikes").format(
        month=month, few=few, feet=rows.height, fewest=FEWEST_A_MONTH
    )
    return style.picture(
        bars.mark_bar(height=14).encode(x=x),
        lines.mark_rule(color=style.INK, strokeDash=[4, 3]).encode(x=x),
        numbers.transform_filter(alt.datum.side == -1).mark_text(align="right", dx=-4, fontSize=12, color=style.INK),
        numbers.transform_filter(alt.datum.side == 1).mark_text(align="left", dx=4, fontSize=12, color=style.INK),
        alt.Chart(heads)
        .mark_text(fontWeight="bold", fontSize=14, color=style.INK, baseline="bottom")
        .encode(x=x, y=alt.value(-4), text="head:N"),
        title=title,
        note=_("Dashed: {fewest} strikes, fewer say hardly anything.").format(fewest=FEWEST_A_MONTH),
        description=f"{title}. {' '.join(few_strikes_words(coverage))}",
        height=alt.Step(24),
        offset=30,
    )
