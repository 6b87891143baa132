"""The practice strip: the first set of each practice beside its later sets."""

from __future__ import annotations

import altair as alt
import polars as pl

from tracker.domain.vocabulary import Foot, PreferredFoot
from tracker.report import chart_style as style
from tracker.report import glossary, wording
from tracker.report.language import _
from tracker.report.season_words import first_set_words


def practice_strip_picture(
    strip: pl.DataFrame, judged: pl.DataFrame, *, foot: Foot, preferred: PreferredFoot = PreferredFoot.UNKNOWN
) -> alt.LayerChart:
    """One foot's practices: first set filled, later sets hollow, joined.

    ``strip`` is ``review.practice_strip`` and ``judged`` ``review.first_sets``, both of one player.
    """
    rows = strip.filter(foot=foot.value).with_columns(pl.col("first_rate") * 10, pl.col("later_rate") * 10)
    colour, shape = style.FOOT_COLOUR[foot], style.FOOT_SHAPE[foot]
    x = alt.X("held_on:T", title=None, axis=alt.Axis(format="%-d %b", labelOverlap=True, grid=False, tickCount=6))
    y = alt.Y("first_rate:Q", scale=alt.Scale(domain=[0, 10]), title=_("on target of 10"), axis=alt.Axis(tickCount=5))
    base = alt.Chart(rows).encode(x=x)
    points = base.mark_point(shape=shape, size=60, strokeWidth=2, color=colour, opacity=1)
    name = glossary.foot_words(foot, preferred)
    found = judged.filter(foot=foot.value)
    sentence = (
        first_set_words(found.row(0, named=True)) if found.height else _("no practice with two sets at a stage yet.")
    )
    return style.picture(
        base.mark_rule(color=colour, strokeWidth=1).encode(y=y, y2="later_rate:Q"),
        points.encode(y=alt.Y("later_rate:Q"), fill=alt.value(style.PAPER)),
        points.encode(y=y, fill=alt.value(colour)),
        title=f"{style.FOOT_SIGN[foot]} {name}: {sentence}",
        note=_("Filled: first set of the day, skill kept since last time. Hollow: later sets, skill warmed up."),
        description=f"{name}: {sentence} "
        + " ".join(
            f"{wording.date_words(row['held_on'])}: {row['first_on_target']} / {row['first_attempts']}, "
            f"{row['later_on_target']} / {row['later_attempts']}."
            for row in rows.iter_rows(named=True)
        ),
        height=200,
    )
