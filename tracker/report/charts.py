"""The pictures: one Altair function each, the same on screen and on paper.

Rates run from 0 to 10 of 10 everywhere, and the left foot is on the left. A picture is as wide as its frame; its title
says what is found, and its ``description`` says it again for those who do not see it. For paper give it a width:
``picture.properties(width=480)``.
"""

from __future__ import annotations

import textwrap
from collections.abc import Mapping, Sequence
from datetime import date
from typing import Literal

import altair as alt
import polars as pl

from tracker.domain.ladder import Ladder, Stage
from tracker.domain.vocabulary import Foot, PreferredFoot, ReadinessStatus
from tracker.report import chart_style as style
from tracker.report import wording
from tracker.review.readiness import Evidence

RIGHT_PANEL = 12.5
"""Where the right foot's scale of 0 to 10 begins on the axis both panels share."""
COLUMN_LETTERS = 13
"""A stage name over its column breaks after so many letters."""
LIKELY_NOTE = "Dot: what was counted. Line: where the real rate likely lies, its thick part as likely as not."
BOARD_NOTE = (
    "Left half: left foot; right half: right foot. Thick frame: where the foot works now. "
    "R ready, W working, G gathering (few strikes), V revisit; empty: no strikes."
)


def accuracy_by_foot(accuracy: pl.DataFrame, *, core: pl.DataFrame) -> alt.LayerChart:
    """Each player's rate per foot with its range: left foot in the left panel, right foot in the right one.

    ``accuracy`` is ``review.accuracy`` by player and foot at the level that reads *likely*; ``core`` is the same at a
    lower level and draws the thick middle part. Players keep the order of the frame. Under ten strikes no dot is drawn.
    """
    rows = _panel_rows(accuracy, core)
    y = alt.Y(
        "player:N",
        sort=rows["player"].unique(maintain_order=True).to_list(),
        title=None,
        axis=alt.Axis(labelLimit=120, ticks=False, domain=False, grid=True),
    )
    scale = alt.Scale(domain=[0, RIGHT_PANEL + 10], nice=False)
    x = alt.X("likely_from:Q", scale=scale, axis=_panel_axis())
    tooltip = [alt.Tooltip("player:N"), alt.Tooltip("foot:N"), alt.Tooltip("count:N", title="on target")]
    frame = alt.Chart(rows.filter("enough")).encode(y=y, color=style.foot_colour(), tooltip=tooltip)
    few = alt.Chart(rows.filter(~pl.col("enough"))).mark_text(fontSize=12, color=style.INK)
    heads = alt.Chart(_panel_heads()).mark_text(fontWeight="bold", fontSize=14, color=style.INK, baseline="bottom")
    return style.picture(
        frame.mark_rule(strokeWidth=2).encode(x=x, x2="likely_to:Q", strokeDash=style.foot_dash()),
        frame.mark_rule(strokeWidth=8, opacity=0.35).encode(x=alt.X("core_from:Q"), x2="core_to:Q"),
        frame.mark_point(filled=True, size=90, opacity=1).encode(x=alt.X("at:Q"), shape=style.foot_shape()),
        frame.mark_text(dy=-12, fontSize=12).encode(x=alt.X("at:Q"), text="count:N", color=alt.value(style.INK)),
        few.encode(y=y, x=alt.X("centre:Q"), text="few:N"),
        heads.encode(x=alt.X("centre:Q"), y=alt.value(-4), text="head:N"),
        title=f"Left foot {_total(accuracy, Foot.LEFT)} on target, right foot {_total(accuracy, Foot.RIGHT)}",
        note=LIKELY_NOTE,
        description="On target by player and foot. "
        + " ".join(f"{row['player']}, {row['foot']} foot: {row['count']}." for row in rows.iter_rows(named=True)),
        height=alt.Step(38),
        offset=30,
    )


def ladder_board(board: pl.DataFrame, *, ladder: Ladder, players: Sequence[str]) -> alt.LayerChart:
    """Players by stages, a left and a right half in each cell: status by letter and shade.

    ``board`` is ``review.readiness`` of one squad; ``players`` gives the rows and their order.
    """
    cells = _board_cells(board, ladder, players)
    stages = [_stage_label(stage) for stage in ladder.stages]
    halves = alt.Chart(cells).encode(
        x=alt.X(
            "stage_label:N",
            sort=stages,
            title=None,
            scale=alt.Scale(paddingInner=0.16, paddingOuter=0.04),
            axis=_stage_axis(stages),
        ),
        xOffset=alt.XOffset("foot:N", sort=style.feet(), scale=alt.Scale(paddingInner=0.1)),
        y=alt.Y(
            "player:N",
            sort=list(players),
            title=None,
            scale=alt.Scale(padding=0.14),
            axis=alt.Axis(labelLimit=120, ticks=False, domain=False),
        ),
        fill=alt.Fill("fill:N", scale=None),
        stroke=alt.Stroke("edge:N", scale=None),
        strokeWidth=alt.StrokeWidth("edge_width:Q", scale=None),
        tooltip=["player:N", "foot:N", "stage:N", "status:N", "on target:N", "score:N"],
    )
    letters = alt.Chart(cells).encode(
        x=halves.encoding.x, xOffset=halves.encoding.xOffset, y=halves.encoding.y, text="letter:N"
    )
    now = cells.filter("is_current")
    return style.picture(
        halves.transform_filter(alt.datum.foot == Foot.LEFT.value).mark_rect(
            cornerRadiusTopLeft=10, cornerRadiusBottomLeft=10
        ),
        halves.transform_filter(alt.datum.foot == Foot.RIGHT.value).mark_rect(),
        letters.mark_text(fontSize=alt.ExprRef(f"width < {style.NARROW_PX} ? 11 : 14"), fontWeight="bold").encode(
            color=alt.Color("letter_colour:N", scale=None)
        ),
        title=_board_title(now, len(players)),
        note=BOARD_NOTE,
        description="Ladder board. "
        + " ".join(
            f"{row['player']}, {row['foot']} foot: {row['status']} at {row['stage']}." for row in now.to_dicts()
        ),
        height=alt.Step(34),
    )


def accuracy_over_practices(
    accuracy: pl.DataFrame, *, foot: Foot, preferred: PreferredFoot = PreferredFoot.UNKNOWN
) -> alt.LayerChart:
    """One foot's rate practice by practice, with its likely range as a band; a mark is hollow under ten strikes.

    ``accuracy`` is ``review.accuracy`` of one player by player, foot and practice.
    """
    rows = accuracy.filter(pl.col("foot") == foot.value).select(
        pl.col("practice").str.slice(0, 10).str.to_date().alias("day"),
        pl.col("rate", "low", "high") * 10,
        _count(),
        _enough(),
    )
    colour = style.FOOT_COLOUR[foot]
    base = alt.Chart(rows.filter(pl.col("rate").is_not_null())).encode(
        x=alt.X("day:T", title=None, axis=alt.Axis(format="%-d %b", labelOverlap=True, grid=False, tickCount=6)),
        y=alt.Y("rate:Q", scale=alt.Scale(domain=[0, 10]), title="on target of 10", axis=alt.Axis(tickCount=5)),
    )
    tooltip = [alt.Tooltip("day:T", format="%-d %b %Y", title="practice"), alt.Tooltip("count:N", title="on target")]
    title = f"{style.FOOT_SIGN[foot]} {wording.foot_words(foot, preferred)}: "
    title += f"{_total(accuracy, foot)} on target over {wording.counted(rows.height, 'practice')}"
    return style.picture(
        base.mark_area(color=colour, opacity=0.18).encode(y=alt.Y("low:Q"), y2="high:Q"),
        base.mark_line(color=colour, strokeDash=style.FOOT_DASH[foot], strokeWidth=2),
        base.mark_point(size=55, shape=style.FOOT_SHAPE[foot], color=colour, strokeWidth=2, opacity=1).encode(
            fill=alt.condition("datum.enough", alt.value(colour), alt.value(style.PAPER)), tooltip=tooltip
        ),
        title=title,
        note="Band: where the real rate of that day likely lies. Hollow: fewer than 10 strikes.",
        description=f"{title}. "
        + " ".join(f"{wording.date_words(row['day'])}: {row['count']}." for row in rows.iter_rows(named=True)),
        height=220,
    )


def evidence_line(evidence: Evidence) -> alt.LayerChart:
    """The readiness score of one foot at one stage, strike by strike, climbing to the ready line.

    Thin upright lines mark where a practice begins, dotted ones where the coach placed this foot here.
    """
    foot, points = evidence.foot, evidence.points
    last_step = points["step"].to_list()[-1] if points.height else 1
    x = alt.X(
        "step:Q",
        title="strikes so far at this stage",
        scale=alt.Scale(domain=[0, last_step], nice=False),
        axis=alt.Axis(grid=False, tickMinStep=1, tickCount=6, format="d"),
    )
    top = max([evidence.ready_line, *points["score"]]) * 1.3
    y = alt.Y("score:Q", title="readiness score", scale=alt.Scale(domain=[0, top]), axis=alt.Axis(tickCount=4))
    practices = alt.Chart(_practice_marks(points))
    placements = alt.Chart(_placement_marks(evidence, last_step))
    line = alt.Chart(pl.DataFrame({"score": [evidence.ready_line], "step": [last_step], "words": ["ready line"]}))
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
            for side, dx in _SIDES
        ),
        title=title,
        note="Every hit lifts the score, every miss lowers it, never below 0. Dates: practices.",
        description=f"{title}. The ready line is at {evidence.ready_line:.1f}.",
        height=220,
    )


def operating_characteristics_picture(promised: pl.DataFrame, *, ladder: Ladder, stage: Stage) -> alt.LayerChart:
    """How many of ten players of each real rate are called ready within the horizon, beside "8 of the last 10".

    ``promised`` is ``review.ready_rule.promise`` of the stage. Upright lines mark the stage's two rates.
    """
    x = alt.X(
        "rate:Q",
        title="real rate, on target of 10",
        scale=alt.Scale(domain=[3, 9.5], nice=False, zero=False),
        axis=alt.Axis(grid=False, values=list(range(3, 10)), format="d"),
    )
    y = alt.Y("ready:Q", title="called ready, of 10 such players", scale=alt.Scale(domain=[0, 10]))
    curves = {
        "ready line": ("called_ready", [1, 0], style.INK),
        "8 of the last 10": ("eight_of_last_ten", [5, 3], style.SOFT_INK),
    }
    rows = promised.select("rate", *(column for column, _, _ in curves.values())) * 10
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
        for (name, (column, _, colour)), (side, dx) in zip(curves.items(), _SIDES, strict=True)
    ]
    marks = pl.DataFrame({"rate": [10 * stage.p_not_yet, 10 * stage.p_ready], "name": ["not yet", "ready"]})
    upright = alt.Chart(marks).encode(x=x)
    title = _promise_title(promised, ladder, stage)
    return style.picture(
        upright.mark_rule(color=style.FAINT, strokeWidth=1.5, strokeDash=[2, 2]),
        upright.mark_text(baseline="bottom", fontSize=12, color=style.INK).encode(y=alt.value(-2), text="name:N"),
        *lines,
        *names,
        title=title,
        note=f"Within {ladder.horizon_strikes:,} strikes. Dashed: the rule “8 of the last 10”, asked after every set.",
        description=f"{title}. {' '.join(_promise_words(row) for row in promised.iter_rows(named=True))}",
        height=260,
        offset=26,
    )


_SIDES: tuple[tuple[Literal["left", "right"], int], ...] = (("left", 5), ("right", -5))
"""How a word stands beside an upright line, and how many pixels from it."""


def _panel_rows(accuracy: pl.DataFrame, core: pl.DataFrame) -> pl.DataFrame:
    """Where everything of ``accuracy_by_foot`` is drawn, on an axis that holds both panels."""
    panel = pl.when(pl.col("foot") == Foot.LEFT.value).then(0.0).otherwise(RIGHT_PANEL)
    middle = core.select("player", "foot", pl.col("low", "high").name.prefix("core_"))
    return accuracy.join(middle, on=["player", "foot"], maintain_order="left").select(
        "player",
        "foot",
        (panel + 10 * pl.col("rate")).alias("at"),
        (panel + 10 * pl.col("low")).alias("likely_from"),
        (panel + 10 * pl.col("high")).alias("likely_to"),
        (panel + 10 * pl.col("core_low")).alias("core_from"),
        (panel + 10 * pl.col("core_high")).alias("core_to"),
        (panel + 5).alias("centre"),
        _count(),
        pl.format("too few ({})", "attempts").alias("few"),
        _enough(),
    )


def _panel_axis() -> alt.Axis:
    ticks = [0, 5, 10]
    shown = f"format(datum.value > 10 ? datum.value - {RIGHT_PANEL} : datum.value, 'd')"
    values = [*ticks, *(RIGHT_PANEL + tick for tick in ticks)]
    return alt.Axis(values=values, labelExpr=shown, title="on target of 10")


def _panel_heads() -> pl.DataFrame:
    heads = [f"{style.FOOT_SIGN[foot]} {wording.foot_words(foot)}" for foot in Foot]
    return pl.DataFrame({"centre": [5.0, RIGHT_PANEL + 5], "head": heads})


def _stage_axis(labels: Sequence[str]) -> alt.Axis:
    """Numbered stage names over the columns; on a phone the numbers alone. Vega lets lines grow downwards only."""
    room = 6 + 16 * max((label.count("\n") for label in labels), default=0)
    return alt.Axis(
        orient="top",
        labelExpr=f"width < {style.NARROW_PX} ? split(datum.label, '\\n')[0] : split(datum.label, '\\n')",
        labelPadding=alt.ExprRef(f"width < {style.NARROW_PX} ? 6 : {room}"),
        labelAngle=0,
        labelLimit=0,
        ticks=False,
        domain=False,
    )


def _board_cells(board: pl.DataFrame, ladder: Ladder, players: Sequence[str]) -> pl.DataFrame:
    """One row per player, stage and foot, with how its half is drawn; where nothing was struck it stays empty."""
    stages = [(stage.name, _stage_label(stage)) for stage in ladder.stages]
    everything = (
        pl.DataFrame({"player": list(players)}, schema={"player": pl.String})
        .join(pl.DataFrame(stages, schema=["stage", "stage_label"], orient="row"), how="cross")
        .join(pl.DataFrame({"foot": style.feet()}), how="cross")
    )
    known = board.with_columns(pl.col("foot", "status").cast(pl.String))
    status = pl.col("status")
    foot_colour = pl.col("foot").replace_strict({foot.value: colour for foot, colour in style.FOOT_COLOUR.items()})
    return (
        everything.join(known, on=["player", "stage", "foot"], how="left", maintain_order="left")
        .with_columns(pl.col("is_current").fill_null(value=False))
        .select(
            *("player", "stage", "stage_label", "foot", "is_current"),
            status.fill_null("no strikes"),
            status.replace_strict(_by_value(style.STATUS_LETTER), default="").alias("letter"),
            status.replace_strict(_by_value(style.STATUS_FILL), default=style.PAPER).alias("fill"),
            status.replace_strict({ReadinessStatus.READY.value: style.PAPER}, default=style.INK).alias("letter_colour"),
            pl.when(status.is_null()).then(pl.lit(style.GRID)).otherwise(foot_colour).alias("edge"),
            pl.when("is_current").then(4.0).otherwise(1.2).alias("edge_width"),
            _count("on target"),
            pl.format("{} of {}", pl.col("score").round(1), pl.col("ready_line").round(1)).alias("score"),
        )
    )


def _board_title(now: pl.DataFrame, players: int) -> str:
    """How many players are ready to move on, from the halves they work at now."""
    feet_ready = now.filter(pl.col("status") == ReadinessStatus.READY.value).group_by("player").len()
    both = feet_ready.filter(pl.col("len") == len(Foot)).height
    return (
        f"{feet_ready.height} of {wording.counted(players, 'player')} ready to move on, {both} of them with both feet"
    )


def _by_value(mapping: dict[ReadinessStatus, str]) -> dict[str, str]:
    return {status.value: text for status, text in mapping.items()}


def _stage_label(stage: Stage) -> str:
    return "\n".join([str(stage.position), *textwrap.wrap(stage.name, COLUMN_LETTERS)])


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
    marks = [(step, "placed here", "left" if 2 * step < last_step else "right") for step in steps]
    return pl.DataFrame(marks, schema={"step": pl.Int64, "placed": pl.String, "side": pl.String}, orient="row")


def _strikes(points: pl.DataFrame) -> int:
    return int(points["hits"].sum()) + int(points["misses"].sum())


def _evidence_title(evidence: Evidence) -> str:
    where = f"{style.FOOT_SIGN[evidence.foot]} {wording.foot_words(evidence.foot)}, {evidence.stage.name}"
    if evidence.became_ready_at is not None:
        return f"{where}: ready since {wording.date_words(evidence.became_ready_at)}"
    score = evidence.points["score"].to_list()[-1] if evidence.points.height else 0.0
    strikes = wording.counted(_strikes(evidence.points), "strike")
    return f"{where}: {wording.score_words(score, evidence.ready_line)} after {strikes}"


def _where_half(rows: pl.DataFrame, column: str, name: str) -> pl.DataFrame:
    """Where a curve is named: at the rate at which it is nearest to half of the players."""
    nearest = rows.sort((pl.col(column) - 5).abs(), maintain_order=True).head(1)
    return nearest.select("rate", pl.col(column).alias("ready"), pl.lit(name).alias("name"))


def _promise_words(row: Mapping[str, float]) -> str:
    ready, last_ten = (wording.of_a_hundred_words(row[name]) for name in ("called_ready", "eight_of_last_ten"))
    return f"Real rate {wording.share_words(row['rate'])}: ready line {ready}, 8 of the last 10 {last_ten}."


def _promise_title(promised: pl.DataFrame, ladder: Ladder, stage: Stage) -> str:
    """What happens to ten players at each of the stage's two rates."""
    called = {row["rate"]: round(10 * row["called_ready"]) or "hardly 1" for row in promised.iter_rows(named=True)}
    not_yet, ready = (wording.share_words(rate) for rate in (stage.p_not_yet, stage.p_ready))
    return (
        f"{stage.name}: of 10 players who really hit {not_yet}, about {called[stage.p_not_yet]} is called ready "
        f"within {ladder.horizon_strikes:,} strikes; of 10 who hit {ready}, about {called[stage.p_ready]} are"
    )


def _total(accuracy: pl.DataFrame, foot: Foot) -> str:
    rows = accuracy.filter(pl.col("foot") == foot.value)
    return wording.rate_words(int(rows["on_target"].sum()), int(rows["attempts"].sum()))


def _count(name: str = "count") -> pl.Expr:
    return pl.format("{} of {}", "on_target", "attempts").alias(name)


def _enough() -> pl.Expr:
    return (pl.col("attempts") >= wording.TOO_FEW_BELOW).alias("enough")
