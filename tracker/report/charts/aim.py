"""The aim fan: where a foot's strikes go, laid over the windows that the targets show from the ball."""

from __future__ import annotations

import math

import altair as alt
import polars as pl

from tracker.domain.vocabulary import PreferredFoot
from tracker.report import chart_style as style
from tracker.report.language import _
from tracker.report.season_words import aim_words, of_ten
from tracker.review.aim_at_stages import AimAtStages

NOW_AT, NEXT_AT, TOP = 1.0, 1.32, 1.45
"""How far from the ball the two windows are drawn; only angles are to scale."""
WIDEST_DEG = 40.0
WIDEST_ON_PAPER_DEG = 60.0


def aim_fan(found: AimAtStages, *, preferred: PreferredFoot = PreferredFoot.UNKNOWN) -> alt.LayerChart:
    """One foot's bias line and spread wedge from the ball, over the window of the stage now and of the next one.

    The dark wedge holds two of three strikes, the light one nineteen of twenty. Where bias and spread are not known
    only the windows are drawn, and the title says why.
    """
    aim = found.aim.row(0, named=True) if found.aim.height else {}
    bias, spread = (aim.get("bias_deg") or 0.0, aim["spread_deg"]) if found.has_wedge else (0.0, 0.0)
    windows = _windows(found)
    widest = min(max([abs(bias) + 2 * spread, *(windows["half_angle_deg"] * 1.3)]), WIDEST_DEG)
    edge = math.tan(math.radians(widest)) * TOP
    x = alt.X("x:Q", scale=alt.Scale(domain=[-edge, edge], nice=False), axis=None)
    y = alt.Y("y:Q", scale=alt.Scale(domain=[0, TOP + 0.12], nice=False), axis=None)
    colour = style.FOOT_COLOUR[found.foot]
    gates = alt.Chart(windows)
    sentence = aim_words(found, preferred=preferred)
    layers = [
        *(
            alt.Chart(_wedge(bias, times * spread, edge))
            .mark_area(orient="horizontal", color=colour, opacity=opacity)
            .encode(x=x, x2="x2:Q", y=y)
            for times, opacity in ((2, 0.18), (1, 0.38))
            if found.has_wedge
        ),
        *(
            [
                alt.Chart(_ray(bias))
                .mark_line(color=colour, strokeWidth=3, strokeDash=style.FOOT_DASH[found.foot])
                .encode(x=x, y=y)
            ]
            if found.has_wedge
            else []
        ),
        alt.Chart(_ray(0.0)).mark_line(color=style.SOFT_INK, strokeWidth=1, strokeDash=[2, 3]).encode(x=x, y=y),
        gates.mark_rule(strokeWidth=5, strokeCap="butt", color=style.INK).encode(x=x, x2="x2:Q", y=y),
        *(
            gates.mark_text(dy=-14, fontSize=12, fontWeight="bold", **look).encode(
                x=alt.X("centre:Q", axis=None), y=y, text="words:N"
            )
            for look in ({"stroke": style.PAPER, "strokeWidth": 5, "strokeJoin": "round"}, {"color": style.INK})
        ),
        alt.Chart(pl.DataFrame({"x": [0.0], "y": [0.0]}))
        .mark_point(shape="circle", size=130, filled=True, color=style.INK, opacity=1)
        .encode(x=x, y=y),
    ]
    return style.picture(
        *layers,
        title=f"{style.FOOT_SIGN[found.foot]} {sentence}",
        note=_(
            "From the ball at the foot of the picture: thick bars are the targets as wide as they look, dotted the "
            "middle. Dark: two of three strikes; light: 19 of 20. Strikes over or short are left out."
        ),
        description=f"{sentence}. " + " ".join(f"{words}." for words in windows["words"]),
        height=260,
    )


def fan_edge_deg(found: AimAtStages, *, target_deg: float) -> float:
    """How wide to either side a fan on paper has to be to hold its wedge and a target of this angle, degrees."""
    row = found.aim.row(0, named=True)
    reach = abs(row["bias_deg"] or 0.0) + row["spread_deg"] if found.has_wedge else 0.0
    return min(max(1.1 * reach, 0.7 * target_deg), WIDEST_ON_PAPER_DEG)


def aim_on_paper(found: AimAtStages, *, target_deg: float, edge_deg: float, description: str) -> alt.LayerChart:
    """The fan for a child: where two of three strikes go, from the ball to one target, without a word in it.

    ``target_deg`` is the angle that the target shows from the ball; ``edge_deg`` (``fan_edge_deg``) the sides of the
    picture, alike for both feet so that they can be compared. The aim of ``found`` must be known.
    """
    row = found.aim.row(0, named=True)
    bias, spread, edge = row["bias_deg"] or 0.0, row["spread_deg"], _at(edge_deg)
    x = alt.X("x:Q", scale=alt.Scale(domain=[-edge, edge], nice=False), axis=None)
    y = alt.Y("y:Q", scale=alt.Scale(domain=[-0.08, NOW_AT + 0.06], nice=False), axis=None)
    colour, half = style.FOOT_COLOUR[found.foot], _at(target_deg / 2)
    bar = pl.DataFrame({"x": [-half], "x2": [half], "y": [NOW_AT]})
    return style.picture(
        alt.Chart(_wedge(bias, spread, edge, top=NOW_AT))
        .mark_area(orient="horizontal", color=colour, opacity=0.45)
        .encode(x=x, x2="x2:Q", y=y),
        alt.Chart(bar).mark_rule(strokeWidth=7, strokeCap="butt", color=style.INK).encode(x=x, x2="x2:Q", y=y),
        alt.Chart(pl.DataFrame({"x": [0.0], "y": [0.0]}))
        .mark_point(shape="circle", size=170, filled=True, color=style.INK, opacity=1)
        .encode(x=x, y=y),
        title="",
        description=description,
        height=170,
    )


def _windows(found: AimAtStages) -> pl.DataFrame:
    """The two targets as bars: x, x2, y, centre, words, half_angle_deg."""
    rows = []
    for row in found.windows.iter_rows(named=True):
        at = NEXT_AT if row["is_next"] else NOW_AT
        half = math.tan(math.radians(row["half_angle_deg"])) * at
        start = _("One stage up: {stage}") if row["is_next"] else _("Now: {stage}")
        words = start.format(stage=row["stage"])
        if row["predicted_rate"] is not None and found.has_wedge:
            words = _("{stage}, about {rate}").format(stage=words, rate=of_ten(row["predicted_rate"]))
        rows.append((-half, half, at, 0.0, words, row["half_angle_deg"]))
    schema = {"x": pl.Float64, "x2": pl.Float64, "y": pl.Float64, "centre": pl.Float64, "words": pl.String}
    return pl.DataFrame(rows, schema={**schema, "half_angle_deg": pl.Float64}, orient="row")


def _wedge(bias: float, spread: float, edge: float, *, top: float = TOP) -> pl.DataFrame:
    """The sides of a wedge at the ball and at the top; where a side leaves the picture it is cut off at its edge."""
    left, right = (_at(bias + side * spread) for side in (-1, 1))
    steps = sorted({0.0, top, *(edge / abs(side) for side in (left, right) if abs(side) * top > edge)})
    return pl.DataFrame(
        {
            "y": steps,
            "x": [max(-edge, min(edge, left * step)) for step in steps],
            "x2": [max(-edge, min(edge, right * step)) for step in steps],
        }
    )


def _ray(angle: float) -> pl.DataFrame:
    return pl.DataFrame({"x": [0.0, _at(angle) * TOP], "y": [0.0, TOP]})


def _at(angle: float) -> float:
    """Sideways for one ahead; never quite square to it."""
    return math.tan(math.radians(max(-80.0, min(80.0, angle))))
