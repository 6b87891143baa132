"""What the ready line promises to players of each real rate."""

from __future__ import annotations

from collections.abc import Mapping

import altair as alt
import polars as pl

from tracker.domain.ladder import Ladder, Stage
from tracker.report import chart_style as style
from tracker.report import wording
from tracker.report.charts.marks import SIDES
from tracker.report.language import _, whole


def operating_characteristics_picture(promised: pl.DataFrame, *, ladder: Ladder, stage: Stage) -> alt.LayerChart:
    """How many of ten players of each real rate are called ready within the horizon, beside "8 of the last 10".

    ``promised`` is ``review.ready_rule.promise`` of the stage. Upright lines mark the stage's two rates.
    """
    x = alt.X(
        "rate:Q",
        title=_("real rate, on target of 10"),
        scale=alt.Scale(domain=[3, 9.5], nice=False, zero=False),
        axis=alt.Axis(grid=False, values=list(range(3, 10)), format="d"),
    )
    y = alt.Y("ready:Q", title=_("called ready, of 10 such players"), scale=alt.Scale(domain=[0, 10]))
    curves = {
        _("ready line"): ("called_ready", [1, 0], style.INK),
        _("8 of the last 10"): ("eight_of_last_ten", [5, 3], style.SOFT_INK),
    }
    rows = promised.select("rate", *(column for column, *_rest in curves.values())) * 10
    lines = [
        alt.Chart(rows.select("rate", pl.col(column).alias("ready")))
        .mark_line(color=colour, strokeDash=dash, strokeWidth=2.5)
        .encode(x=x, y=y)
        for column, dash, colour in curves.values()
    ]
    names = [
        alt.Chart(_where_half(rows, column, name))
        .mark_text(align=side, dx=dx, fontSize=12, fontWeight="bold", color=colour)
        .encode(x=x, y=y, text="name:N")
        for (name, (column, _dash, colour)), (side, dx) in zip(curves.items(), SIDES, strict=True)
    ]
    marks = pl.DataFrame({"rate": [10 * stage.p_not_yet, 10 * stage.p_ready], "name": [_("not yet"), _("ready")]})
    upright = alt.Chart(marks).encode(x=x)
    title = _promise_title(promised, ladder, stage)
    return style.picture(
        upright.mark_rule(color=style.FAINT, strokeWidth=1.5, strokeDash=[2, 2]),
        upright.mark_text(baseline="bottom", fontSize=12, color=style.INK).encode(y=alt.value(-2), text="name:N"),
        *lines,
        *names,
        title=title,
        note=_("Within {strikes} strikes. Dashed: the rule “8 of the last 10”, asked after every set.").format(
            strikes=whole(ladder.horizon_strikes)
        ),
        description=f"{title}. {' '.join(_promise_words(row) for row in promised.iter_rows(named=True))}",
        height=260,
        offset=26,
    )


def _where_half(rows: pl.DataFrame, column: str, name: str) -> pl.DataFrame:
    """Where a curve is named: at the rate at which it is nearest to half of the players."""
    nearest = rows.sort((pl.col(column) - 5).abs(), maintain_order=True).head(1)
    return nearest.select("rate", pl.col(column).alias("ready"), pl.lit(name).alias("name"))


def _promise_words(row: Mapping[str, float]) -> str:
    ready, last_ten = (wording.of_a_hundred_words(row[name]) for name in ("called_ready", "eight_of_last_ten"))
    return _("Real rate {rate}: ready line {ready}, 8 of the last 10 {last_ten}.").format(
        rate=wording.share_words(row["rate"]), ready=ready, last_ten=last_ten
    )


def _promise_title(promised: pl.DataFrame, ladder: Ladder, stage: Stage) -> str:
    """What happens to ten players at each of the stage's two rates."""
    called = {row["rate"]: round(10 * row["called_ready"]) or _("hardly 1") for row in promised.iter_rows(named=True)}
    not_yet, ready = (wording.share_words(rate) for rate in (stage.p_not_yet, stage.p_ready))
    return _(
        "{stage}: of 10 players who really hit {not_yet}, about {wrong} is called ready within {strikes} strikes; "
        "of 10 who hit {ready}, about {right} are"
    ).format(
        stage=stage.name,
        not_yet=not_yet,
        wrong=called[stage.p_not_yet],
        strikes=whole(ladder.horizon_strikes),
        ready=ready,
        right=called[stage.p_ready],
    )
