"""The ladder board: players by stages, a left and a right half in each cell."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Sequence

import altair as alt
import polars as pl

from tracker.domain.ladder import Ladder, Stage
from tracker.domain.vocabulary import BallArrival, Foot, ReadinessStatus
from tracker.report import chart_style as style
from tracker.report import glossary, wording
from tracker.report.charts.marks import count
from tracker.report.language import _

COLUMN_LETTERS = 13
"""A stage name over its column breaks after so many letters."""
BEFORE_GAMES = "0"
"""The empty column that sets games apart."""


def ladder_board(board: pl.DataFrame, *, ladder: Ladder, players: Sequence[str]) -> alt.LayerChart:
    """Players by stages, a left and a right box in each cell: status by sign and shade; games stand apart.

    ``board`` is ``review.readiness`` of one squad; ``players`` gives the rows and their order. What the signs mean
    stands in ``report.board_words``.
    """
    cells = _board_cells(board, ladder, players)
    stages = _columns(ladder)
    halves = alt.Chart(cells).encode(
        x=alt.X(
            "stage_label:N",
            title=None,
            scale=alt.Scale(domain=stages, paddingInner=0.16, paddingOuter=0.04),
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
        tooltip=[
            alt.Tooltip("player:N", title=_("player")),
            alt.Tooltip("foot_word:N", title=_("foot")),
            alt.Tooltip("stage:N", title=_("stage")),
            alt.Tooltip("status_word:N", title=_("status")),
            alt.Tooltip("on_target:N", title=_("on target")),
            alt.Tooltip("score:N", title=_("score")),
        ],
    )
    signs = alt.Chart(cells).encode(
        x=halves.encoding.x, xOffset=halves.encoding.xOffset, y=halves.encoding.y, text="sign:N"
    )
    is_back = f"datum.sign == '{glossary.status_sign(ReadinessStatus.REVISIT)}'"
    now = cells.filter("is_current")
    return style.picture(
        halves.transform_filter(alt.datum.foot == Foot.LEFT.value).mark_rect(
            cornerRadiusTopLeft=10, cornerRadiusBottomLeft=10
        ),
        halves.transform_filter(alt.datum.foot == Foot.RIGHT.value).mark_rect(),
        *(
            signs.transform_filter(is_back if large else f"!({is_back})")
            .mark_text(
                fontSize=alt.ExprRef(f"width < {style.NARROW_PX} ? {11 + large} : {14 + large}"), fontWeight="bold"
            )
            .encode(color=alt.Color("sign_colour:N", scale=None))
            for large in (0, 6)  # the mark of what fell back is larger, so that it stands out in grey too
        ),
        title=_board_title(board, len(players)),
        note=_("At each stage: left box left foot, right box right foot."),
        description=" ".join(
            (
                _("Ladder board."),
                *(
                    _("{player}, {foot}: {status} at {stage}.").format(
                        player=row["player"],
                        foot=glossary.side_foot(Foot(row["foot"])),
                        status=row["status_word"],
                        stage=row["stage"],
                    )
                    for row in now.to_dicts()
                ),
            )
        ),
        height=alt.Step(34),
    )


def _stage_axis(labels: Sequence[str]) -> alt.Axis:
    """Numbered stage names over the columns; on a phone the numbers alone. Vega lets lines grow downwards only."""
    room = 6 + 16 * max((label.count("\n") for label in labels), default=0)
    return alt.Axis(
        orient="top",
        labelExpr=(
            f"datum.label == '{BEFORE_GAMES}' ? '' : width < {style.NARROW_PX} ? split(datum.label, '\\n')[0]"
            " : split(datum.label, '\\n')"
        ),
        labelPadding=alt.ExprRef(f"width < {style.NARROW_PX} ? 6 : {room}"),
        labelAngle=0,
        labelLimit=0,
        ticks=False,
        domain=False,
    )


def _board_cells(board: pl.DataFrame, ladder: Ladder, players: Sequence[str]) -> pl.DataFrame:
    """One row per player, stage and foot, with how its half is drawn; where nothing was struck it stays empty."""
    stages = [(stage.name, _stage_label(stage), stage.position) for stage in ladder.stages]
    everything = (
        pl.DataFrame({"player": list(players)}, schema={"player": pl.String})
        .join(pl.DataFrame(stages, schema=["stage", "stage_label", "position"], orient="row"), how="cross")
        .join(pl.DataFrame({"foot": style.feet()}), how="cross")
    )
    known = board.with_columns(pl.col("foot", "status").cast(pl.String))
    status = pl.col("status")
    foot_colour = pl.col("foot").replace_strict({foot.value: colour for foot, colour in style.FOOT_COLOUR.items()})
    return (
        everything.join(known, on=["player", "stage", "foot"], how="left", maintain_order="left")
        .with_columns(
            pl.col("is_current").fill_null(value=False),
            (pl.col("position") < pl.col("position").filter("is_current").max().over("player", "foot"))
            .fill_null(value=False)
            .alias("is_below"),
        )
        .select(
            *("player", "stage", "stage_label", "foot", "is_current"),
            status.fill_null("no strikes"),
            pl.col("foot").replace_strict({foot.value: glossary.foot_word(foot) for foot in Foot}).alias("foot_word"),
            _told(
                _each(glossary.status_word),
                passed=_(glossary.PASSED.word),
                skipped=_(glossary.SKIPPED.word),
                calm=glossary.status_word(ReadinessStatus.READY),
                empty=_(glossary.NO_STRIKES.word),
            ).alias("status_word"),
            _told(
                _each(glossary.status_sign),
                passed=glossary.PASSED_SIGN,
                skipped=glossary.SKIPPED_SIGN,
                calm=glossary.status_sign(ReadinessStatus.READY),
                empty="",
            ).alias("sign"),
            _told(
                _by_value(style.STATUS_FILL),
                passed=style.PASSED_FILL,
                skipped=style.PASSED_FILL,
                calm=style.CALM_READY_FILL,
                empty=style.PAPER,
            ).alias("fill"),
            _told(
                {ReadinessStatus.READY.value: style.PAPER},
                passed=style.INK,
                skipped=style.INK,
                calm=style.INK,
                empty=style.INK,
            ).alias("sign_colour"),
            pl.when(status.is_null()).then(pl.lit(style.GRID)).otherwise(foot_colour).alias("edge"),
            pl.when("is_current").then(4.0).otherwise(1.2).alias("edge_width"),
            count("on_target"),
            pl.format(_("{} of {}"), pl.col("score").round(1), pl.col("ready_line").round(1)).alias("score"),
        )
    )


def _told(by_status: dict[str, str], *, passed: str, skipped: str, calm: str, empty: str) -> pl.Expr:
    """What a box shows: below the stage practised now *passed* or *skipped*, else the status its strikes have; *calm*
    where a foot is ready and there is nothing to decide.
    """
    is_ready = pl.col("status") == ReadinessStatus.READY.value
    has_way_on = pl.col("is_current") & (pl.col("suggested_stage") != pl.col("stage"))
    return (
        pl.when(pl.col("is_below") & pl.col("status").is_null())
        .then(pl.lit(skipped))
        .when((pl.col("is_below") | pl.col("is_passed")) & is_ready)
        .then(pl.lit(passed))
        .when(pl.col("attempts") == 0)
        .then(pl.lit(empty))
        .when(is_ready & ~has_way_on)
        .then(pl.lit(calm))
        .otherwise(pl.col("status").replace_strict(by_status, default=empty))
    )


def _columns(ladder: Ladder) -> list[str]:
    """The columns in their order: the stages, and an empty one before a game, which is not practised as the others."""
    columns: list[str] = []
    for stage in ladder.stages:
        if stage.ball_arrival is BallArrival.GAME and BEFORE_GAMES not in columns:
            columns.append(BEFORE_GAMES)
        columns.append(_stage_label(stage))
    return columns


def _board_title(board: pl.DataFrame, players: int) -> str:
    """How many players are ready to move on, from the halves they practise now; at the top there is no way on."""
    has_way_on = pl.col("suggested_stage") != pl.col("stage")
    is_ready = pl.col("is_current") & (pl.col("status") == ReadinessStatus.READY.value)
    feet_ready = board.filter(is_ready & has_way_on).group_by("player").len()
    both = feet_ready.filter(pl.col("len") == len(Foot)).height
    return _("{ready} of {players} are ready to move on, {both} of them with both feet").format(
        ready=feet_ready.height, players=wording.counted(players, "player"), both=both
    )


def _each(words: Callable[[ReadinessStatus], str]) -> dict[str, str]:
    return {status.value: words(status) for status in ReadinessStatus}


def _by_value(mapping: dict[ReadinessStatus, str]) -> dict[str, str]:
    return {status.value: text for status, text in mapping.items()}


def _stage_label(stage: Stage) -> str:
    return "\n".join([str(stage.position), *textwrap.wrap(stage.name, COLUMN_LETTERS)])
