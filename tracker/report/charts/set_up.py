"""The set-up of a part of a practice, drawn to scale in plan view: field, goals, gates, who stands where, measures."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

import altair as alt
import polars as pl

from tracker.domain.setup import Lane, LaneKind, SetUp
from tracker.domain.vocabulary import LengthUnit
from tracker.report import chart_style as style
from tracker.report.charts.plan_view import (
    ABOVE_M,
    BESIDE_M,
    GOAL_DEPTH_M,
    OUTER_M,
    TICK_M,
    WORDS_M,
    Label,
    PlanView,
    Segment,
)
from tracker.report.language import _
from tracker.report.setup_words import lane_words, set_up_note, target_measure, window_words
from tracker.report.wording import length_words

HEAD_M = 1.0
"""How far from the target an arrow ends."""
REACH, FLAG = "#e9e9e9", "M0,0L0,-2L1.3,-1.5L0,-1"


def set_up_drawing(
    field: SetUp, lanes: Sequence[Lane], *, unit: LengthUnit, title: str, with_measures: bool = True
) -> alt.LayerChart:
    """The field with its lanes as they are laid out for one part of a practice, one metre as long across as along.

    ``lanes`` are those of ``domain.setup_lanes.arrange``. Without measures only the lanes are numbered, for a small
    picture beside one that has them.
    """
    frame = PlanView(field, lanes, with_measures=with_measures)
    grounds = pl.DataFrame(list(_grounds(lanes)), schema=["x", "y", "lane", "corner"], orient="row")
    strikes = list(_strikes(lanes))
    layers = [
        frame.chart(grounds)
        .mark_line(fill=REACH, strokeWidth=0, interpolate="linear-closed")
        .encode(detail="lane:N", order="corner:O"),
        frame.lines([(0.0, field.length_m / 2, field.width_m, field.length_m / 2)], dash=[6, 4], colour=style.SOFT_INK),
        frame.lines(_outline(field), width=1.5),
        frame.lines(_goals(field, lanes), width=2.5),
        frame.lines((_across(lane) for lane in lanes), width=5),
        frame.lines((_to(strike, HEAD_M) for strike in strikes), width=2),
        _heads(frame, strikes),
        _things(frame, lanes, with_legend=with_measures),
        frame.words((_number(lane) for lane in lanes), is_bold=True),
    ]
    if with_measures:
        lines, labels = _measures(field, lanes, unit)
        along, words_along = _measures_along(field, unit, left=frame.left - BESIDE_M / 2, right=frame.right)
        on_arrows = list(_on_arrows(lanes, unit))
        layers += [
            frame.lines([*lines, *along], colour=style.SOFT_INK),
            frame.words(labels),
            frame.words(words_along, angle=270),
            *(frame.words(on_arrows, rim=rim) for rim in (8, 0)),
        ]
    return style.picture(
        *layers,
        title=title,
        note=set_up_note() if with_measures else "",
        description=" ".join((f"{title}.", _described(field, unit), *(lane_words(lane, unit) for lane in lanes))),
        height=frame.height_px,
    )


def _grounds(lanes: Sequence[Lane]) -> Iterator[tuple[float, float, int, int]]:
    """The corners of the ground that each lane's strikes may cross."""
    for lane in lanes:
        for corner, point in enumerate(lane.reach):
            yield point.x_m, point.y_m, lane.number, corner


def _outline(field: SetUp) -> Iterator[Segment]:
    width, length = field.width_m, field.length_m
    corners = [(0.0, 0.0), (width, 0.0), (width, length), (0.0, length), (0.0, 0.0)]
    yield from ((*start, *end) for start, end in pairwise(corners))


def _goals(field: SetUp, lanes: Sequence[Lane]) -> Iterator[Segment]:
    """The goals as they stand on their lines, whether struck at or not."""
    struck = [lane.posts[1].x_m - lane.posts[0].x_m for lane in lanes if lane.kind is LaneKind.GOAL]
    width = max(struck or [stage.target.width_m for stage in field.ladder.stages if not stage.target.is_gate])
    left, right = field.middle_x_m - width / 2, field.middle_x_m + width / 2
    for line, back in ((0.0, -GOAL_DEPTH_M), (field.length_m, field.length_m + GOAL_DEPTH_M))[: field.goals]:
        yield from ((left, line, left, back), (left, back, right, back), (right, back, right, line))


def _across(lane: Lane) -> Segment:
    left, right = lane.posts
    return left.x_m, left.y_m, right.x_m, right.y_m


def _strikes(lanes: Sequence[Lane]) -> Iterator[Segment]:
    """From each spot to where its strikes go: the middle of the target, in a rally the partner and back."""
    for lane in lanes:
        if lane.kind is LaneKind.RALLY:
            middle = (lane.spot.y_m + lane.partner.y_m) / 2
            yield lane.spot.x_m, middle, lane.partner.x_m, lane.partner.y_m
            yield lane.partner.x_m, middle, lane.spot.x_m, lane.spot.y_m
        else:
            left, right = lane.posts
            yield lane.spot.x_m, lane.spot.y_m, (left.x_m + right.x_m) / 2, left.y_m


def _to(segment: Segment, short_m: float) -> Segment:
    """The segment ended so much before its end."""
    x, y, x2, y2 = segment
    share = 1 - short_m / math.dist((x, y), (x2, y2))
    return x, y, x + share * (x2 - x), y + share * (y2 - y)


def _heads(frame: PlanView, strikes: Sequence[Segment]) -> alt.Chart:
    """Arrow heads that point where the strikes go."""
    rows = []
    for strike in strikes:
        x, y, x2, y2 = _to(strike, HEAD_M)
        rows.append((x2, y2, math.degrees(math.atan2(x2 - x, y2 - y)) % 360))
    heads = pl.DataFrame(rows, schema=["x", "y", "direction"], orient="row")
    drawn: alt.Chart = (
        frame.chart(heads)
        .mark_point(shape="triangle-up", filled=True, size=75, color=style.INK, opacity=1)
        .encode(angle=alt.Angle("direction:Q", scale=alt.Scale(domain=[0, 360], range=[0, 360])))
    )
    return drawn


def _things(frame: PlanView, lanes: Sequence[Lane], *, with_legend: bool) -> alt.Chart:
    """Balls, flags and people by shape and filling, with what they are under the drawing."""
    look = {
        _("Ball"): ("circle", style.INK, 110),
        _("Flag"): (FLAG, style.INK, 130),
        _("Partner"): ("diamond", style.PAPER, 110),
        _("Next to strike, with the lane’s number"): ("square", style.PAPER, 280),
    }
    ball, flag, partner, waiting = look
    rows = []
    for lane in lanes:
        rows += [(lane.spot, ball), (lane.partner, partner), (lane.waiting, waiting)]
        rows += [(post, flag) for post in lane.posts if lane.kind is not LaneKind.GOAL]
        rows += [(lane.flag, flag)] if lane.flag else []
    things = pl.DataFrame(
        [(point.x_m, point.y_m, name) for point, name in rows], schema=["x", "y", "thing"], orient="row"
    )
    legend = (
        alt.Legend(title=None, orient="bottom", labelFontSize=12, labelLimit=0, labelOffset=8, columnPadding=18)
        if with_legend
        else None
    )
    names = [name for name in look if name in set(things["thing"])]
    shapes, fills, sizes = ([look[name][part] for name in names] for part in range(3))
    drawn: alt.Chart = (
        frame.chart(things)
        .mark_point(stroke=style.INK, strokeWidth=1.6, opacity=1)
        .encode(
            size=alt.Size("thing:N", scale=alt.Scale(domain=names, range=sizes), legend=legend),
            shape=alt.Shape("thing:N", scale=alt.Scale(domain=names, range=shapes), legend=legend),
            fill=alt.Fill("thing:N", scale=alt.Scale(domain=names, range=fills), legend=legend),
        )
    )
    return drawn


def _number(lane: Lane) -> Label:
    """A lane's number, within the square of the next to strike."""
    return lane.waiting.x_m, lane.waiting.y_m, str(lane.number), str(lane.number)


def _measures(field: SetUp, lanes: Sequence[Lane], unit: LengthUnit) -> tuple[list[Segment], list[Label]]:
    """Measuring lines across the field, outside it, and their words: targets, gates apart, the width."""
    lines, labels = [], []
    gates = [lane for lane in lanes if lane.kind is LaneKind.GATE]
    for lane in (one for one in lanes if one.kind is not LaneKind.RALLY):
        left, right = lane.posts
        away = math.copysign(1.0, left.y_m - lane.spot.y_m)
        y = left.y_m + away * ABOVE_M
        lines += _measure(left.x_m, y, right.x_m, y)
        labels.append(((left.x_m + right.x_m) / 2, y + away * WORDS_M, *_target(lane, unit)))
    if len(gates) > 1:
        xs, y = [lane.spot.x_m for lane in gates[:2]], field.length_m + OUTER_M
        lines += _measure(xs[0], y, xs[1], y)
        apart = length_words(xs[1] - xs[0], unit)
        labels.append((sum(xs) / 2, y + WORDS_M, _("{length} apart").format(length=apart), apart))
    y, across = -OUTER_M, length_words(field.width_m, unit)
    lines += _measure(0.0, y, field.width_m, y)
    labels.append((field.width_m / 2, y - WORDS_M, _("{length} wide").format(length=across), across))
    return lines, labels


def _measures_along(field: SetUp, unit: LengthUnit, *, left: float, right: float) -> tuple[list[Segment], list[Label]]:
    """Measuring lines along the field with their words: its length on the left, the way to the middle on the right."""
    whole, half = (length_words(one, unit) for one in (field.length_m, field.length_m / 2))
    right += BESIDE_M / 2
    return [
        *_measure(left, 0.0, left, field.length_m),
        *_measure(right, 0.0, right, field.length_m / 2),
    ], [
        (left - WORDS_M, field.length_m / 2, _("{length} long").format(length=whole), whole),
        (right + WORDS_M, field.length_m / 4, _("{length} to the middle line").format(length=half), half),
    ]


def _measure(x: float, y: float, x2: float, y2: float) -> list[Segment]:
    """A measuring line and the marks at its ends."""
    dx, dy = (TICK_M, 0.0) if x == x2 else (0.0, TICK_M)
    return [
        (x, y, x2, y2),
        (x - dx, y - dy, x + dx, y + dy),
        (x2 - dx, y2 - dy, x2 + dx, y2 + dy),
    ]


def _on_arrows(lanes: Sequence[Lane], unit: LengthUnit) -> Iterator[Label]:
    """What stands on an arrow: how far the ball is from the target; in a rally its gate too."""
    for lane in lanes:
        words, (left, right) = length_words(lane.distance_m, unit), lane.posts
        middle = (left.x_m + right.x_m) / 2
        yield (lane.spot.x_m + middle) / 2, (lane.spot.y_m + left.y_m) / 2, words, words
        if lane.kind is LaneKind.RALLY:
            yield middle, left.y_m + 2 * WORDS_M, *_target(lane, unit)


def _target(lane: Lane, unit: LengthUnit) -> tuple[str, str]:
    width = target_measure(lane, unit)
    return f"{width} · {window_words(lane)}", width


def _described(field: SetUp, unit: LengthUnit) -> str:
    return _("Plan view to scale: the field is {length} long and {width} wide.").format(
        length=length_words(field.length_m, unit), width=length_words(field.width_m, unit)
    )
