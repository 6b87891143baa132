"""The foot gap: preferred and other foot of one player at the start, in the middle and at the end of a season."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import altair as alt
import polars as pl

from tracker.domain.vocabulary import Foot, PreferredFoot
from tracker.report import chart_style as style
from tracker.report import wording
from tracker.report.glossary import foot_words
from tracker.report.language import _
from tracker.report.season_words import of_ten, part_words, side_count
from tracker.review.gap_over_season import CatchingUp, SeasonPart, catching_up


def foot_gap_picture(parts: pl.DataFrame) -> alt.LayerChart:
    """Both feet's rates with their ranges in each part of a season, and between them a bar as long as the gap.

    ``parts`` are the rows of one player of ``review.gap_over_season``, at least one. Drawn are the rates at the same
    stage and distance, so that title, marks and line tell of the same strikes.
    """
    rows = _foot_rows(parts)
    order = [_part_label(row) for row in parts.iter_rows(named=True)]
    y = alt.Y(
        "part:N",
        title=None,
        scale=alt.Scale(domain=order),
        axis=alt.Axis(ticks=False, domain=False, grid=False, labelExpr="split(datum.label, '\\n')"),
    )
    scale = alt.Scale(domain=[0, 10])
    x = alt.X("rate:Q", scale=scale, title=_("on target of 10"), axis=alt.Axis(tickCount=5))
    feet = alt.Chart(rows).encode(
        y=y,
        yOffset=alt.YOffset("foot:N", sort=style.feet(), scale=alt.Scale(paddingInner=0.2, paddingOuter=0.6)),
        color=style.foot_colour(),
        tooltip=["part:N", "foot:N", alt.Tooltip("count:N", title=_("all strikes"))],
    )
    unlike = pl.DataFrame({"part": [_part_label(row) for row in parts.filter(pl.col("gap").is_null()).to_dicts()]})
    title = _title(parts)
    return style.picture(
        alt.Chart(_gap_rows(parts))
        .mark_rule(color=style.FAINT, strokeWidth=7)
        .encode(y=y, x=alt.X("from:Q", scale=scale), x2="to:Q"),
        feet.mark_rule(strokeWidth=2).encode(x=alt.X("low:Q"), x2="high:Q", strokeDash=style.foot_dash()),
        feet.mark_point(filled=True, size=110, opacity=1).encode(x=x, shape=style.foot_shape()),
        *(
            feet.transform_filter(alt.datum.foot == foot.value)
            .mark_text(dy=dy, fontSize=12)
            .encode(x=x, text="of_ten:N", color=alt.value(style.INK))
            for foot, dy in ((Foot.LEFT, -13), (Foot.RIGHT, 15))  # away from the other foot's line
        ),
        alt.Chart(unlike.cast(pl.String))
        .mark_text(fontSize=12, color=style.INK)
        .encode(y=y, x=alt.datum(5), text=alt.value(_("never at the same stage and distance"))),
        title=title,
        note=_(
            "{left} left foot, {right} right foot, both at the same stage and distance. "
            "Line: where the real rate likely lies. Grey: the gap."
        ).format(left=style.FOOT_SIGN[Foot.LEFT], right=style.FOOT_SIGN[Foot.RIGHT]),
        description=f"{title}. " + " ".join(_described(row) for row in parts.iter_rows(named=True)),
        height=74 * parts.height,
    )


def _part_label(row: Mapping[str, Any]) -> str:
    first, last = (f"{wording.short_date_words(row[end])} {row[end].year}" for end in ("first_day", "last_day"))
    return f"{part_words(SeasonPart(row['part']))}\n{first} –\n{last}"


def _gap_rows(parts: pl.DataFrame) -> pl.DataFrame:
    rows = [
        (_part_label(row), 10 * row["preferred_like"], 10 * row["other_like"])
        for row in parts.filter(pl.col("gap").is_not_null()).iter_rows(named=True)
    ]
    return pl.DataFrame(rows, schema={"part": pl.String, "from": pl.Float64, "to": pl.Float64}, orient="row")


def _foot_rows(parts: pl.DataFrame) -> pl.DataFrame:
    rows = []
    for row in parts.filter(pl.col("gap").is_not_null()).iter_rows(named=True):
        preferred = Foot(row["preferred_foot"])
        for side, foot in (("preferred", preferred), ("other", preferred.opposite)):
            figures = [row[f"{side}_{name}"] for name in ("like", "like_low", "like_high")]
            compared = wording.counted(int(row[f"{side}_compared"]), "strike")
            counts = (f"{of_ten(figures[0])} ({compared})", side_count(row, side))
            rows.append((_part_label(row), foot.value, *(10 * one for one in figures), *counts))
    schema = {"part": pl.String, "foot": pl.String, "rate": pl.Float64, "low": pl.Float64, "high": pl.Float64}
    return pl.DataFrame(rows, schema={**schema, "of_ten": pl.String, "count": pl.String}, orient="row")


def _title(parts: pl.DataFrame) -> str:
    """Whether the other foot is catching up, and both feet at both ends as the picture labels them."""
    first, last = parts.row(0, named=True), parts.row(-1, named=True)
    other = foot_words(Foot(first["preferred_foot"]).opposite, PreferredFoot(first["preferred_foot"]))
    found = {
        CatchingUp.YES: _("{foot}: catching up"),
        CatchingUp.FALLING_BEHIND: _("{foot}: falling behind"),
        CatchingUp.NO_CLEAR_CHANGE: _("{foot}: neither clearly catching up nor falling behind"),
        CatchingUp.CANNOT_SAY: _("{foot}: start and end cannot be compared"),
    }[catching_up(parts)]
    said = _("{found}. At the start {start}, at the end {end}").format(
        found=found.format(foot=other), start=wording.both_feet_words(first), end=wording.both_feet_words(last)
    )
    sizes = {row["part"]: abs(row["gap"]) for row in parts.iter_rows(named=True) if row["gap"] is not None}
    if len(sizes) == len(SeasonPart) and max(sizes, key=lambda part: sizes[part]) == SeasonPart.MIDDLE.value:
        said += ". " + _("Widest in the middle: {middle}").format(
            middle=wording.both_feet_words(parts.row(1, named=True))
        )
    return said


def _described(row: Mapping[str, Any]) -> str:
    return f"{part_words(SeasonPart(row['part']))}: {wording.both_feet_words(row)}."
