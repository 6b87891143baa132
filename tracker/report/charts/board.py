"""The ladder board: players by stages, a left and a right half in each cell."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Sequence

import altair as alt
import polars as pl

from tracker.domain.ladder import Ladder, Stage
from tracker.domain.vocabulary import Foot, ReadinessStatus
from tracker.report import chart_style as style
from tracker.report import glossary, wording
from tracker.report.charts.marks import count
from tracker.report.language import N_, _

COLUMN_LETTERS = 13
"""A stage name over its column breaks after so many letters."""
BOARD_NOTE = N_(
    "Left half: left foot; right half: right foot. Thick frame: where the foot works now. "
    "R ready, W working, G gathering (few strikes), V revisit; empty: no strikes."
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
        tooltip=[
            alt.Tooltip("player:N", title=_("player")),
            alt.Tooltip("foot_word:N", title=_("foot")),
            alt.Tooltip("stage:N", title=_("stage")),
            alt.Tooltip("status_word:N", title=_("status")),
            alt.Tooltip("on_target:N", title=_("on target")),
            alt.Tooltip("score:N", title=_("score")),
        ],
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
        title=_board_title(board, len(players)),
        note=_(BOARD_NOTE),
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
            pl.col("foot").replace_strict({foot.value: glossary.foot_word(foot) for foot in Foot}).alias("foot_word"),
            status.replace_strict(_each(glossary.status_word), default=_("no strikes")).alias("status_word"),
            status.replace_strict(_each(glossary.status_letter), default="").alias("letter"),
            status.replace_strict(_by_value(style.STATUS_FILL), default=style.PAPER).alias("fill"),
            status.replace_strict({ReadinessStatus.READY.value: style.PAPER}, default=style.INK).alias("letter_colour"),
            pl.when(status.is_null()).then(pl.lit(style.GRID)).otherwise(foot_colour).alias("edge"),
            pl.when("is_current").then(4.0).otherwise(1.2).alias("edge_width"),
            count("on_target"),
            pl.format(_("{} of {}"), pl.col("score").round(1), pl.col("ready_line").round(1)).alias("score"),
        )
    )


def _board_title(board: pl.DataFrame, players: int) -> str:
    """How many players are ready to move on, from the halves they work at now; at the top there is no way on."""
    has_way_on = pl.col("suggested_stage") != pl.col("stage")
    is_ready = pl.col("is_current") & (pl.col("status") == ReadinessStatus.READY.value)
    feet_ready = board.filter(is_ready & has_way_on).group_by("player").len()
    both = feet_ready.filter(pl.col("len") == len(Foot)).height
    return _("{ready} of {players} ready to move on, {both} of them with both feet").format(
        ready=feet_ready.height, players=wording.counted(players, "player"), both=both
    )


def _each(words: Callable[[ReadinessStatus], str]) -> dict[str, str]:
    return {status.value: words(status) for status in ReadinessStatus}


def _by_value(mapping: dict[ReadinessStatus, str]) -> dict[str, str]:
    return {status.value: text for status, text in mapping.items()}


def _stage_label(stage: Stage) -> str:
    return "\n".join([str(stage.position), *textwrap.wrap(stage.name, COLUMN_LETTERS)])
