"""The two pages of a player's season report, as the data its template and its web page are made from."""

from __future__ import annotations

from typing import Any

from tracker.domain.vocabulary import Foot, LengthUnit, Paper, PreferredFoot
from tracker.report import chart_style as style
from tracker.report import charts, glossary, wording
from tracker.report import player_words as words
from tracker.report.language import _, spoken
from tracker.report.player_words import Reader
from tracker.report.printed.engine import Data
from tracker.report.printed.pictures import described, svg
from tracker.report.season_tables import gap_table
from tracker.review.season_report import FootSeason, SeasonReport

FAN_WIDTH_PX, GAP_WIDTH_PX, GAP_PART_PX = 330, 620, 78
COACHING_POINTS = 2


def player_page(report: SeasonReport, *, unit: LengthUnit, paper: Paper = Paper.A4) -> Data:
    """Everything the two pages say, in the language spoken now; lengths in the reader's unit."""
    reader = Reader.of(report)
    name = report.player.display_name
    return {
        "language": spoken().value,
        "paper": paper.value,
        "mark": f"player-report:{report.player.player_id}",
        "title": _("Season report: {name}").format(name=name),
        "kind": _("Season report"),
        "name": name,
        "under_name": f"{report.season.name} · {report.squad.name}",
        "days": _days(report),
        "sentences": words.season_sentences(report),
        "heads": _heads(),
        "feet": [
            _foot(foot, report.player.preferred_foot, reader) | {"stage": words.stage_words(foot, report.ladder)}
            for foot in report.feet
        ],
        "start": _("Start"),
        "now": _("Now"),
        "gap": _gap(report),
        "fan_note": words.fan_note() if any(_is_drawn(foot) for foot in report.feet) else "",
        "practised": [[_foot_name(foot), words.practised_words(foot)] for foot in report.feet],
        "passed": _passed(report),
        "stages_note": words.stages_note(report.ladder),
        "none_passed": _("No stage passed yet: each one takes many strikes."),
        "passed_heads": [_("Stage"), *(glossary.foot_words(foot) for foot in Foot)],
        "next": _next(report, unit),
        "coach_words": [line for line in report.coach_words.split("\n") if line],
        "how_to_read": words.how_to_read(),
        "foot_line": f"{report.season.name} · {name}",
    }


def _heads() -> dict[str, str]:
    return {
        "season": _("Your season"),
        "feet": _("Both feet, at the start and now"),
        "gap": _("How far your feet are apart"),
        "practised": _("The practice behind it"),
        "aim": _("Where your strikes go"),
        "passed": _("Stages you passed"),
        "kept": _("What you keep from one practice to the next"),
        "next": _("What to work on next"),
        "coach": _("From your coach"),
        "read": _("How to read the numbers"),
    }


def _days(report: SeasonReport) -> str:
    if report.first_day is None or report.last_day is None:
        return _("No practice yet")
    return _("{practices}, from {first} to {last}").format(
        practices=wording.counted(report.practices, "practice"),
        first=wording.date_words(report.first_day),
        last=wording.date_words(report.last_day),
    )


def _foot_name(foot: FootSeason) -> str:
    return glossary.foot_words(foot.foot)


def _foot(foot: FootSeason, preferred: PreferredFoot, reader: Reader) -> dict[str, Any]:
    row = foot.change if foot.attempts >= glossary.TOO_FEW_BELOW else None
    return {
        "side": foot.foot.value,
        "name": glossary.foot_words(foot.foot, preferred),
        "colour": style.FOOT_COLOUR[foot.foot],
        "shape": style.FOOT_SHAPE[foot.foot],
        "rows": [
            _dots(row, end, label)
            for end, label in (("start", _("Start")), ("end", _("Now")))
            if row and row["start_rate"] is not None
        ],
        "change": words.change_sentence(foot, reader),
        "whole": words.whole_season_words(foot),
        "kept": words.kept_words(foot),
        "aim": words.aim_sentence(foot),
        "fan": _fan(foot, preferred),
    }


def _dots(row: Any, end: str, label: str) -> dict[str, Any]:
    """A row of 20 marks: how many are filled, which of them the likely range spans, and both in words."""
    rate, low, high = (row[f"{end}_{name}"] for name in ("rate", "low", "high"))
    least, most = words.dots_range(low, high)
    return {
        "label": label,
        "filled": words.of_twenty(rate),
        "least": least,
        "most": most,
        "count": words.count_words(rate),
        "likely": words.likely_words(low, high),
    }


def _fan(foot: FootSeason, preferred: PreferredFoot) -> dict[str, str] | None:
    if not _is_drawn(foot):
        return None
    picture = charts.aim_fan(foot.aim, preferred=preferred)
    return {"svg": svg(picture, width=FAN_WIDTH_PX), "alt": described(picture)}


def _is_drawn(foot: FootSeason) -> bool:
    return foot.aim.has_wedge and foot.attempts >= glossary.TOO_FEW_BELOW


def _gap(report: SeasonReport) -> dict[str, Any]:
    parts = report.gap_parts
    shown = words.is_enough(report) and parts.height >= 2
    told = report.player.preferred_foot not in (PreferredFoot.BOTH, PreferredFoot.UNKNOWN)
    if not (shown and told):
        return {"words": words.gap_sentence(report), "note": "", "picture": None, "table": None}
    picture = charts.foot_gap_picture(parts).properties(height=GAP_PART_PX * parts.height)
    return {
        "words": words.gap_sentence(report),
        "note": words.gap_note(),
        "picture": {"svg": svg(picture, width=GAP_WIDTH_PX), "alt": described(picture)},
        "table": {"heads": gap_table(parts).columns, "rows": [list(row) for row in gap_table(parts).iter_rows()]},
    }


def _passed(report: SeasonReport) -> list[list[str]]:
    """A row for each stage that a foot passed, in the order of the ladder: its name, left foot, right foot."""
    days = {(one.stage, one.foot): one for foot in report.feet for one in foot.passed}
    return [
        [stage.name, *(words.passed_words(days.get((stage.name, foot))) for foot in Foot)]
        for stage in report.ladder.stages
        if any((stage.name, foot) in days for foot in Foot)
    ]


def _next(report: SeasonReport, unit: LengthUnit) -> list[dict[str, Any]]:
    return [
        {
            "words": words.next_words(foot),
            "where": _("{target}, from {distance}").format(
                target=wording.target_words(foot.next_stage.target, unit),
                distance=wording.length_words(foot.next_stage.distance_m, unit),
            ),
            "points": list(foot.next_stage.coaching_points[:COACHING_POINTS]),
        }
        for foot in words.worked_on(report)
    ]
