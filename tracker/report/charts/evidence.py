"""The evidence line: a readiness score climbing to its ready line."""

from __future__ import annotations

from datetime import date

import altair as alt
import polars as pl

from tracker.report import chart_style as style
from tracker.report import glossary, readiness_words, wording
from tracker.report.charts.marks import SIDES
from tracker.report.language import _
from tracker.review.readiness import Evidence


def evidence_line(evidence: Evidence) -> alt.LayerChart:
    """The readiness score of one foot at one stage, strike by strike, climbing to the ready line.

    Thin upright lines mark where a practice begins, dotted ones where the coach placed this foot here.
    """
    foot, points = evidence.foot, evidence.points
    last_step = points["step"].to_list()[-1] if points.height else 1
    x = alt.X(
        "step:Q",
        title=_("strikes so far at this stage"),
        scale=alt.Scale(domain=[0, last_step], nice=False),
        axis=alt.Axis(grid=False, tickMinStep=1, tickCount=6, format="d"),
    )
    top = max([evidence.ready_line, *points["score"]]) * 1.3
    y = alt.Y("score:Q", title=_("readiness score"), scale=alt.Scale(domain=[0, top]), axis=alt.Axis(tickCount=4))
    practices = alt.Chart(_practice_marks(points))
    placements = alt.Chart(_placement_marks(evidence, last_step))
    line = alt.Chart(pl.DataFrame({"score": [evidence.ready_line], "step": [last_step], "words": [_("ready line")]}))
    title = _evidence_title(evidence)
    return style.picture(
        practices.mark_rule(color=style.GRID).encode(x=x),
        practices.mark_text(align="left", dx=2, baseline="top", fontSize=11, color=style.SOFT_INK).encode(
            x=x, y=alt.value(2), text="day:N"
        ),
        alt.Chart(points.select("step", "score", "practice"))
        .mark_line(
            interpolate="step-after",
            color=style.FOOT_COLOUR[foot],
            strokeWidth=2.5,
            strokeDash=style.FOOT_DASH[foot],
        )
        .encode(x=x, y=y),
        line.mark_rule(color=style.INK, strokeWidth=2, strokeDash=[8, 4]).encode(y=y),
        line.mark_text(align="right", dx=-2, dy=-9, fontSize=12, fontWeight="bold", color=style.INK).encode(
            x=x, y=y, text="words:N"
        ),
        placements.mark_rule(color=style.INK, strokeWidth=2, strokeDash=[2, 2]).encode(x=x),
        *(
            placements.transform_filter(alt.datum.side == side)
            .mark_text(align=side, dx=dx, baseline="top", fontSize=12, fontWeight="bold", color=style.INK)
            .encode(x=x, y=alt.value(16), text="placed:N")
            for side, dx in SIDES
        ),
        title=title,
        note=_("Every hit lifts the score, every miss lowers it, never below 0. Dates: practices."),
        description=f"{title}. {_('The ready line is at {line}.').format(line=f'{evidence.ready_line:.1f}')}",
        height=220,
    )


def _practice_marks(points: pl.DataFrame, *, most_days: int = 5) -> pl.DataFrame:
    """The step at which each practice begins; every n-th with its day, so that at most ``most_days`` are written."""
    starts = points.group_by("practice", maintain_order=True).agg(
        (pl.col("step") - pl.col("hits") - pl.col("misses")).first().alias("step")
    )
    days = [wording.short_date_words(date.fromisoformat(day[:10])) for day in starts["practice"]]
    written = range(0, starts.height, max(1, -(-starts.height // most_days)))
    shown = [day if number in written else "" for number, day in enumerate(days)]
    return starts.with_columns(pl.Series("day", shown, dtype=pl.String))


def _placement_marks(evidence: Evidence, last_step: int) -> pl.DataFrame:
    """How many strikes there were at each placement at this stage, and on which side of its line a word has room."""
    steps = [
        _strikes(evidence.points.filter(pl.col("struck_at") <= one.placed_at))
        for one in evidence.placements
        if one.stage == evidence.stage.name
    ]
    marks = [(step, _("placed here"), "left" if 2 * step < last_step else "right") for step in steps]
    return pl.DataFrame(marks, schema={"step": pl.Int64, "placed": pl.String, "side": pl.String}, orient="row")


def _strikes(points: pl.DataFrame) -> int:
    return int(points["hits"].sum()) + int(points["misses"].sum())


def _evidence_title(evidence: Evidence) -> str:
    where = f"{style.FOOT_SIGN[evidence.foot]} {glossary.foot_words(evidence.foot)}, {evidence.stage.name}"
    if evidence.became_ready_at is not None:
        return _("{where}: ready since {day}").format(where=where, day=wording.date_words(evidence.became_ready_at))
    score = evidence.points["score"].to_list()[-1] if evidence.points.height else 0.0
    strikes = wording.counted(_strikes(evidence.points), "strike")
    return _("{where}: {score} after {strikes}").format(
        where=where, score=readiness_words.score_words(score, evidence.ready_line), strikes=strikes
    )
