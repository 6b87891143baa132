"""Rates: of every player and foot, and of one foot practice by practice."""

from __future__ import annotations

import altair as alt
import polars as pl

from tracker.domain.vocabulary import Foot, PreferredFoot
from tracker.report import chart_style as style
from tracker.report import glossary, wording
from tracker.report.charts.marks import count, enough, total
from tracker.report.glossary import side_foot
from tracker.report.language import N_, _
from tracker.report.season_words import ended, listed

RIGHT_PANEL = 14.0
"""Where the right foot's scale of 0 to 10 begins on the axis both panels share."""
LIKELY_NOTE = N_("Dot: what was counted. Line: where the real rate likely lies.")


def accuracy_by_foot(accuracy: pl.DataFrame) -> alt.LayerChart:
    """Each player's rate per foot with its range: left foot in the left panel, right foot in the right one.

    ``accuracy`` is ``review.accuracy`` by player and foot. Players keep the order of the frame. Under ten strikes no
    dot is drawn.
    """
    rows = _panel_rows(accuracy)
    y = alt.Y(
        "player:N",
        sort=rows["player"].unique(maintain_order=True).to_list(),
        title=None,
        axis=alt.Axis(labelLimit=120, ticks=False, domain=False, grid=True),
    )
    scale = alt.Scale(domain=[0, RIGHT_PANEL + 10], nice=False)
    x = alt.X("likely_from:Q", scale=scale, axis=_panel_axis())
    tooltip = [alt.Tooltip("player:N", title=_("player")), alt.Tooltip("count:N", title=_("on target"))]
    frame = alt.Chart(rows.filter("enough")).encode(y=y, color=style.foot_colour(), tooltip=tooltip)
    few = alt.Chart(rows.filter(~pl.col("enough"))).mark_text(fontSize=12, color=style.INK)
    heads = alt.Chart(_panel_heads()).mark_text(fontWeight="bold", fontSize=14, color=style.INK, baseline="bottom")
    between = alt.Chart(pl.DataFrame({"from": [10.05], "to": [RIGHT_PANEL - 0.05]})).mark_rect(
        color=style.PAPER, opacity=1
    )
    return style.picture(
        between.encode(x=alt.X("from:Q", scale=scale, axis=_panel_axis()), x2="to:Q"),
        frame.mark_rule(strokeWidth=2).encode(x=x, x2="likely_to:Q", strokeDash=style.foot_dash()),
        frame.mark_point(filled=True, size=90, opacity=1).encode(x=alt.X("at:Q"), shape=style.foot_shape()),
        frame.mark_text(dy=-12, fontSize=12).encode(x=alt.X("at:Q"), text="count:N", color=alt.value(style.INK)),
        few.encode(y=y, x=alt.X("centre:Q"), text="few:N"),
        heads.encode(x=alt.X("centre:Q"), y=alt.value(-4), text="head:N"),
        title=" ".join(_clearly_above(accuracy, foot) for foot in Foot),
        note=_(LIKELY_NOTE),
        description=" ".join(
            (
                _("On target by player and foot."),
                *(
                    f"{row['player']}, {side_foot(Foot(row['foot']))}: {row['count']}."
                    for row in rows.iter_rows(named=True)
                ),
            )
        ),
        height=alt.Step(38),
        offset=30,
    )


def accuracy_over_practices(
    accuracy: pl.DataFrame,
    *,
    foot: Foot,
    preferred: PreferredFoot = PreferredFoot.UNKNOWN,
    season: pl.DataFrame | None = None,
) -> alt.LayerChart:
    """One foot's rate practice by practice, with its likely range as a band; a mark is hollow under ten strikes.

    ``accuracy`` is ``review.accuracy`` of one player by player, foot and practice; ``season`` is
    ``review.season_line`` of the foot, drawn as a thick grey line.
    """
    rows = accuracy.filter(pl.col("foot") == foot.value).select(
        pl.col("practice").str.slice(0, 10).str.to_date().alias("day"),
        pl.col("rate", "low", "high") * 10,
        count(),
        enough(),
    )
    colour = style.FOOT_COLOUR[foot]
    base = alt.Chart(rows.filter(pl.col("rate").is_not_null())).encode(
        x=alt.X("day:T", title=None, axis=alt.Axis(format="%-d %b", labelOverlap=True, grid=False, tickCount=6)),
        y=alt.Y("rate:Q", scale=alt.Scale(domain=[0, 10]), title=_("on target of 10"), axis=alt.Axis(tickCount=5)),
    )
    tooltip = [
        alt.Tooltip("day:T", format="%-d %b %Y", title=_("practice")),
        alt.Tooltip("count:N", title=_("on target")),
    ]
    title = _("{foot}: {count} on target over {practices}").format(
        foot=f"{style.FOOT_SIGN[foot]} {glossary.foot_words(foot, preferred)}",
        count=total(accuracy, foot),
        practices=wording.counted(rows.height, "practice"),
    )
    note = _("Band: where the real rate of that day likely lies. Hollow: fewer than 10 strikes.")
    lines = []
    if season is not None and season.height:
        note += " " + _("Grey: the season at the same stage and distance.")
        lines = [
            alt.Chart(season.with_columns(pl.col("rate") * 10))
            .mark_line(color=style.SOFT_INK, strokeWidth=4, opacity=0.6)
            .encode(x=base.encoding.x, y=base.encoding.y)
        ]
    return style.picture(
        base.mark_area(color=colour, opacity=0.18).encode(y=alt.Y("low:Q"), y2="high:Q"),
        *lines,
        base.mark_line(color=colour, strokeDash=style.FOOT_DASH[foot], strokeWidth=2),
        base.mark_point(size=55, shape=style.FOOT_SHAPE[foot], color=colour, strokeWidth=2, opacity=1).encode(
            fill=alt.condition("datum.enough", alt.value(colour), alt.value(style.PAPER)), tooltip=tooltip
        ),
        title=title,
        note=note,
        description=f"{title}. "
        + " ".join(f"{wording.date_words(row['day'])}: {row['count']}." for row in rows.iter_rows(named=True)),
        height=220,
    )


def _clearly_above(accuracy: pl.DataFrame, foot: Foot) -> str:
    """The whole squad's count with a foot, and whose likely range lies wholly above its rate."""
    rows = accuracy.filter(pl.col("foot") == foot.value).filter(enough())
    squad = int(rows["on_target"].sum()) / max(int(rows["attempts"].sum()), 1)
    above = rows.filter(pl.col("low") > squad)["player"].unique(maintain_order=True).to_list()
    return ended(
        _("{foot}: {count} on target; clearly above that: {names}").format(
            foot=glossary.foot_words(foot), count=total(accuracy, foot), names=listed(above)
        )
    )


def _panel_rows(accuracy: pl.DataFrame) -> pl.DataFrame:
    """Where everything of ``accuracy_by_foot`` is drawn, on an axis that holds both panels."""
    panel = pl.when(pl.col("foot") == Foot.LEFT.value).then(0.0).otherwise(RIGHT_PANEL)
    return accuracy.select(
        "player",
        "foot",
        (panel + pl.col("rate") * 10).alias("at"),
        (panel + pl.col("low") * 10).alias("likely_from"),
        (panel + pl.col("high") * 10).alias("likely_to"),
        (panel + 5).alias("centre"),
        count(),
        pl.format(_("too few ({})"), "attempts").alias("few"),
        enough(),
    )


def _panel_axis() -> alt.Axis:
    ticks = [0, 2, 4, 6, 8, 10]
    shown = f"format(datum.value > 10 ? datum.value - {RIGHT_PANEL} : datum.value, 'd')"
    values = [*ticks, *(RIGHT_PANEL + tick for tick in ticks)]
    return alt.Axis(values=values, labelExpr=shown, labelOverlap=False, domain=False, title=None)


def _panel_heads() -> pl.DataFrame:
    heads = [f"{style.FOOT_SIGN[foot]} {glossary.foot_words(foot)}: {_('on target of 10')}" for foot in Foot]
    return pl.DataFrame({"centre": [5.0, RIGHT_PANEL + 5], "head": heads})
