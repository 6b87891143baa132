"""The two pages of a player's season report, as the data its template and its web page are made from."""

from __future__ import annotations

from typing import Any

from tracker.domain.ladder import Stage
from tracker.domain.vocabulary import LengthUnit, Paper
from tracker.report import chart_style as style
from tracker.report import charts, glossary, standing_words, wording
from tracker.report import player_words as words
from tracker.report.language import _, spoken
from tracker.report.player_words import Reader
from tracker.report.printed.engine import Data
from tracker.report.printed.pictures import described, svg
from tracker.review.season_report import FootSeason, SeasonReport

FAN_WIDTH_PX = 330
COACHING_POINTS = 2


def player_page(report: SeasonReport, *, unit: LengthUnit, paper: Paper = Paper.A4) -> Data:
    """Everything the two pages say, in the language spoken now; lengths in the reader's unit.

    With few strikes ``is_enough`` is false: counts, the ladder and what is next then fill one page.
    """
    name, preferred = report.player.display_name, report.player.preferred_foot
    is_enough = words.is_enough(report)
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
        "is_enough": is_enough,
        "heads": _heads(is_enough=is_enough),
        "feet": [_foot(report, foot) for foot in report.feet],
        "how_to_read": words.how_to_read(is_enough=is_enough),
        "stages": _stages(report),
        "stage_heads": [_("Stage"), *(glossary.foot_words(foot.foot) for foot in report.feet)],
        "stages_note": standing_words.stages_note(),
        "firm_note": standing_words.firm_note(report),
        "fan_note": words.fan_note() if any(map(_is_drawn, report.feet)) else "",
        "gap": words.gap_sentence(report),
        "kept": [list(line) for line in words.kept_words(report, preferred)],
        "next": _next(report, unit),
        "coach_words": [line for line in report.coach_words.split("\n") if line],
        "foot_line": f"{report.season.name} · {name}",
    }


def _heads(*, is_enough: bool) -> dict[str, str]:
    return {
        "season": _("Your season"),
        "feet": _("Both feet, at the start and now") if is_enough else _("Your strikes so far"),
        "read": _("How to read the numbers"),
        "stages": _("The stages, and where each foot is"),
        "aim": _("Where your strikes go"),
        "gap": _("How far your feet are apart"),
        "kept": _("What you keep from one practice to the next"),
        "next": _("What to work on next"),
        "coach": _("From your coach"),
    }


def _days(report: SeasonReport) -> str:
    if report.first_day is None or report.last_day is None:
        return _("No practice yet")
    return _("{practices}, from {first} to {last}").format(
        practices=wording.counted(report.practices, "practice"),
        first=wording.date_words(report.first_day),
        last=wording.date_words(report.last_day),
    )


def _foot(report: SeasonReport, foot: FootSeason) -> dict[str, Any]:
    row = foot.change if words.is_told(foot) else None
    return {
        "side": foot.foot.value,
        "name": words.foot_name(foot.foot, report.player.preferred_foot),
        "colour": style.FOOT_COLOUR[foot.foot],
        "shape": style.FOOT_SHAPE[foot.foot],
        "stage": standing_words.stage_words(foot, report.ladder),
        "practised": words.practised_words(foot),
        "rows": [
            _dots(row, end, label)
            for end, label in (("start", _("Start")), ("end", _("Now")))
            if row and row["start_rate"] is not None
        ],
        "change": words.change_sentence(foot, Reader.of(report)) if words.is_enough(report) else "",
        "aim": words.aim_sentence(foot),
        "fan": _fan(report, foot),
        "fan_target": words.target_note(_aimed_at(report, foot).name) if _is_drawn(foot) else "",
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


def _is_drawn(foot: FootSeason) -> bool:
    return foot.aim.has_wedge and words.is_told(foot)


def _aimed_at(report: SeasonReport, foot: FootSeason) -> Stage:
    """The stage whose strikes the aim is of; where all are taken together, the one worked at now."""
    name = foot.aim.aim["of_stage"][0] if foot.aim.aim.height else None
    return (report.ladder.stage_named(name) if name else None) or foot.stage


def _fan(report: SeasonReport, foot: FootSeason) -> dict[str, str] | None:
    """The aim drawn, both feet to one scale."""
    if not _is_drawn(foot):
        return None
    targets = {one.foot: _aimed_at(report, one).angular_width_deg for one in report.feet}
    picture = charts.aim_on_paper(
        foot.aim,
        target_deg=targets[foot.foot],
        edge_deg=max(
            charts.fan_edge_deg(one.aim, target_deg=targets[one.foot]) for one in report.feet if _is_drawn(one)
        ),
        description=f"{glossary.foot_words(foot.foot)}: {words.aim_sentence(foot)}",
    )
    return {"svg": svg(picture, width=FAN_WIDTH_PX), "alt": described(picture)}


def _stages(report: SeasonReport) -> list[dict[str, Any]]:
    """A row for each stage of the ladder: its number and name, where each foot stands, and whether it works there."""
    return [
        {
            "name": f"{stage.position}. {stage.name}",
            "feet": [
                {"words": standing_words.standing_words(foot, stage), "is_now": foot.stage == stage}
                for foot in report.feet
            ],
        }
        for stage in report.ladder.stages
    ]


def _next(report: SeasonReport, unit: LengthUnit) -> list[dict[str, Any]]:
    return [
        {
            "words": said,
            "reason": " ".join(reason for foot in feet if (reason := standing_words.reason_words(foot))),
            "where": _("Target: {target}, from {distance}.").format(
                target=wording.target_words(feet[0].next_stage.target, unit),
                distance=wording.length_words(feet[0].next_stage.distance_m, unit),
            ),
            "points": list(feet[0].next_stage.coaching_points[:COACHING_POINTS]),
        }
        for said, feet in standing_words.next_by_stage(report)
    ]
