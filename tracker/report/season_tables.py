"""The tables behind the pictures of a season."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

import polars as pl

from tracker.domain.vocabulary import Foot, LengthUnit, PreferredFoot
from tracker.report import readiness_words, wording
from tracker.report.glossary import foot_word, foot_words, too_few
from tracker.report.language import _
from tracker.report.season_words import change_words, gap_words, of_ten, part_words, side_count, tenths
from tracker.review.aim_at_stages import AimAtStages
from tracker.review.gap_over_season import SeasonPart
from tracker.review.month_coverage import MonthCoverage
from tracker.review.reach import Reach
from tracker.review.readiness import Evidence


def gap_table(parts: pl.DataFrame) -> pl.DataFrame:
    """The rows of one player behind it in words: Part, Days, both feet at the same stage and distance, the gap."""
    rows = [
        (
            part_words(SeasonPart(row["part"])),
            f"{wording.short_date_words(row['first_day'])} – {wording.short_date_words(row['last_day'])}",
            *(_side_words(row, side) for side in ("preferred", "other")),
            _likely_gap(row),
        )
        for row in parts.iter_rows(named=True)
    ]
    preferred = PreferredFoot(parts["preferred_foot"][0])
    feet = [foot_words(foot, preferred) for foot in (Foot(preferred), Foot(preferred).opposite)]
    heads = (_("Part of the season"), _("Days"), *feet, _("The gap, likely"))
    return pl.DataFrame(rows, schema=dict.fromkeys(heads, pl.String), orient="row")


def _side_words(row: Mapping[str, Any], side: str) -> str:
    """One foot's rate at the same stage and distance as the other, beside the count of every strike."""
    count = side_count(row, side)
    if row[f"{side}_like"] is None:
        return count
    return _("{of_ten} (all strikes: {count})").format(of_ten=of_ten(row[f"{side}_like"]), count=count)


def _likely_gap(row: Mapping[str, Any]) -> str:
    """Where the gap at the same stage and distance likely lies."""
    if row["gap"] is None:
        return _("cannot be compared")
    low, high = tenths(abs(row["low"])), tenths(abs(row["high"]))
    if row["low"] >= 0:
        return _("preferred foot ahead by {low} to {high} of 10").format(low=low, high=high)
    if row["high"] <= 0:
        return _("other foot ahead by {low} to {high} of 10").format(low=high, high=low)
    return _("between other foot ahead by {low} and preferred foot ahead by {high} of 10").format(low=low, high=high)


def distance_table(reach: Reach, *, unit: LengthUnit) -> pl.DataFrame:
    """The counts behind it: Stage, From, On target, Likely of 10."""
    rows = [
        (
            row["stage"],
            wording.length_words(row["distance_m"], unit),
            wording.rate_words(row["on_target"], row["attempts"]),
            wording.of_ten_words(row["low"], row["high"]),
        )
        for row in reach.observed.iter_rows(named=True)
    ]
    heads = (_("Stage"), _("From"), _("On target"), _("Likely of 10"))
    return pl.DataFrame(rows, schema=dict.fromkeys(heads, pl.String), orient="row")


def strip_table(strip: pl.DataFrame, *, foot: Foot) -> pl.DataFrame:
    """The counts behind it, the latest first: Practice, First set, Later sets."""
    rows = [
        (
            wording.date_words(row["held_on"]),
            wording.rate_words(row["first_on_target"], row["first_attempts"]),
            wording.rate_words(row["later_on_target"], row["later_attempts"]),
        )
        for row in strip.filter(foot=foot.value).reverse().iter_rows(named=True)
    ]
    heads = (_("Practice"), _("First set"), _("Later sets"))
    return pl.DataFrame(rows, schema=dict.fromkeys(heads, pl.String), orient="row")


def coverage_of_month_table(coverage: MonthCoverage) -> pl.DataFrame:
    """The counts behind it: Player, Left foot, Right foot."""
    feet = coverage.feet.pivot("foot", index="player", values="attempts", maintain_order=True)
    columns: dict[str, str] = {foot.value: foot_words(foot) for foot in Foot if foot.value in feet.columns}
    return feet.rename({"player": _("Player")} | columns)


def evidence_table(evidence: Evidence) -> pl.DataFrame:
    """The score after each practice, the latest first: Practice, On target, Score."""
    rows = (
        evidence.points.group_by("practice", maintain_order=True)
        .agg(pl.col("hits", "misses").sum(), pl.col("score").last())
        .reverse()
    )
    words = [
        (
            wording.date_words(date.fromisoformat(row["practice"][:10])),
            wording.rate_words(row["hits"], row["hits"] + row["misses"]),
            readiness_words.score_words(row["score"], evidence.ready_line),
        )
        for row in rows.iter_rows(named=True)
    ]
    heads = (_("Practice"), _("On target"), _("Score"))
    return pl.DataFrame(words, schema=dict.fromkeys(heads, pl.String), orient="row")


def aim_table(found: AimAtStages) -> pl.DataFrame:
    """What the aim promises: Target, Looks as wide as, Direction right, Likely of 10."""
    rows = [
        (
            row["stage"],
            f"{2 * row['half_angle_deg']:.0f}°",
            too_few() if row["predicted_rate"] is None else of_ten(row["predicted_rate"]),
            "" if row["predicted_low"] is None else wording.of_ten_words(row["predicted_low"], row["predicted_high"]),
        )
        for row in found.windows.iter_rows(named=True)
    ]
    heads = (_("Target of the stage"), _("Looks as wide as"), _("Direction right"), _("Likely of 10"))
    return pl.DataFrame(rows, schema=dict.fromkeys(heads, pl.String), orient="row")


def feet_table(changes: pl.DataFrame, *, order: Sequence[str]) -> pl.DataFrame:
    """A frame of ``review.change`` in words, in the order of the squad: Foot, Since the start."""
    rank = {name: place for place, name in enumerate(order)}
    rows = sorted(changes.iter_rows(named=True), key=lambda row: (rank.get(row["player"], len(rank)), row["foot"]))
    words = [(f"{row['player']}, {foot_word(Foot(row['foot']))}", change_words(row)) for row in rows]
    heads = (_("Foot"), _("Since the start"))
    return pl.DataFrame(words, schema=dict.fromkeys(heads, pl.String), orient="row")


def gaps_table(gaps: pl.DataFrame) -> pl.DataFrame:
    """A frame of ``review.gap`` with its notes in words, one row a player: Player, Other foot, Gap, Note."""
    rows = [
        (row["player"], foot_word(Foot(row["preferred_foot"]).opposite), gap_words(row), row["note"])
        for row in gaps.iter_rows(named=True)
    ]
    heads = (_("Player"), _("Other foot"), _("Same stage and distance"), _("Note"))
    return pl.DataFrame(rows, schema=dict.fromkeys(heads, pl.String), orient="row")


def watch_table(watched: pl.DataFrame, *, most: int) -> pl.DataFrame:
    """The head of a frame of ``review.watch``: Watch, At the stage, Because."""
    rows = [
        (f"{row['player']}, {foot_word(Foot(row['foot']))}", row["stage"], row["reason"])
        for row in watched.head(most).iter_rows(named=True)
    ]
    heads = (_("Watch"), _("At the stage"), _("Because"))
    return pl.DataFrame(rows, schema=dict.fromkeys(heads, pl.String), orient="row")
