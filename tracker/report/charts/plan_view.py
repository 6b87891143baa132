"""Draws a field in plan view: places in metres, lines and words, one metre as long across as along."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import altair as alt
import polars as pl

from tracker.domain.setup import Lane, Point, SetUp
from tracker.report import chart_style as style

GOAL_DEPTH_M = 1.5
"""How deep a goal is drawn; no measure is given for it."""
BESIDE_M, ABOVE_M, OUTER_M, WORDS_M, TICK_M = 3.0, 2.6, 5.0, 1.0, 0.4
"""Room for measures outside the field: beside it, near the targets, beyond these; from line to words; half an end."""
MARGIN_M = 1.6
WIDE_PX, TALL_PX, SMALL_PX = 640, 470, 320
"""How wide and how tall a drawing is meant to be, and how wide without measures; any width keeps the scale."""

Segment = tuple[float, float, float, float]
Label = tuple[float, float, str, str]
"""A place in metres, the words there, and fewer words for a narrow frame."""


class PlanView:
    """What the drawing spans in metres, and its scales: equal on both axes however wide the picture is shown."""

    def __init__(self, field: SetUp, lanes: Sequence[Lane], *, with_measures: bool) -> None:
        across = [point.x_m for lane in lanes for point in (*people(lane), *lane.posts, *lane.reach)]
        self.left, self.right = min([0.0, *across]), max([field.width_m, *across])
        beside, outside = (BESIDE_M, OUTER_M) if with_measures else (0.0, GOAL_DEPTH_M)
        left, right = self.left - beside - MARGIN_M, self.right + beside + MARGIN_M
        bottom, top = -outside - MARGIN_M, field.length_m + outside + MARGIN_M
        width = WIDE_PX if with_measures else SMALL_PX
        self.height_px = round(min(TALL_PX * width / WIDE_PX, width * (top - bottom) / (right - left)))
        a_metre = f"min(width / {right - left}, height / {top - bottom})"
        self._x, self._y = (
            alt.Scale(domain=[_end(middle, side, "-", a_metre), _end(middle, side, "+", a_metre)], nice=False)
            for middle, side in (((left + right) / 2, "width"), ((bottom + top) / 2, "height"))
        )

    def chart(self, places: pl.DataFrame) -> alt.Chart:
        """Places (x, y in metres) on the field."""
        return alt.Chart(places).encode(
            x=alt.X("x:Q", scale=self._x, axis=None), y=alt.Y("y:Q", scale=self._y, axis=None)
        )

    def lines(
        self, segments: Iterable[Segment], *, width: float = 1, colour: str = style.INK, dash: Sequence[int] = (1, 0)
    ) -> alt.Chart:
        """Straight lines from (x, y) to (x2, y2)."""
        drawn = pl.DataFrame(list(segments), schema=dict.fromkeys(("x", "y", "x2", "y2"), pl.Float64), orient="row")
        lines: alt.Chart = (
            self.chart(drawn)
            .mark_rule(strokeWidth=width, color=colour, strokeDash=list(dash), strokeCap="butt")
            .encode(x2="x2:Q", y2="y2:Q")
        )
        return lines

    def words(
        self,
        labels: Iterable[Label],
        *,
        is_bold: bool = False,
        angle: int = 0,
        rim: int = 0,
    ) -> alt.Chart:
        """Words at places, fewer on a phone; or the rim of paper under words that stand on a line."""
        schema = {"x": pl.Float64, "y": pl.Float64, "words": pl.String, "short": pl.String}
        texts = self.chart(pl.DataFrame(list(labels), schema=schema, orient="row"))
        narrow = f"width < {style.NARROW_PX}"
        written: alt.Chart = texts.mark_text(
            text=alt.ExprRef(f"{narrow} ? datum.short : datum.words"),
            fontSize=alt.ExprRef(f"{narrow} ? 10 : 12"),
            fontWeight="bold" if is_bold else "normal",
            angle=angle,
            baseline="middle",
            color=style.PAPER if rim else style.INK,
            stroke=style.PAPER if rim else None,
            strokeWidth=rim,
            strokeJoin="round",
        )
        return written


def _end(middle: float, side: str, sign: str, a_metre: str) -> alt.ExprRef:
    return alt.ExprRef(f"{middle} {sign} {side} / 2 / {a_metre}")


def people(lane: Lane) -> tuple[Point, ...]:
    """Where the ball, the people and the flag of a lane are."""
    return (lane.spot, lane.partner, lane.waiting, *((lane.flag,) if lane.flag else ()))
