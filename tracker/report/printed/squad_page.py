"""The squad's season for the coach, as the data its template is made from. It names children: it is not for them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from tracker.domain.vocabulary import Foot, LengthUnit, Paper, ReadinessStatus
from tracker.report import chart_style as style
from tracker.report import glossary, wording
from tracker.report.glossary import foot_words, status_word, verdict_word
from tracker.report.ladder_words import agreement_lines
from tracker.report.language import _, spoken, whole
from tracker.report.notes import ready_calls_words, trust_note
from tracker.report.plan_words import planned_words
from tracker.report.printed.engine import Data
from tracker.report.season_words import changed_words, of_ten, tenths
from tracker.review.squad_report import SquadReport
from tracker.stats.change import ChangeVerdict


def squad_page(report: SquadReport, *, unit: LengthUnit, paper: Paper = Paper.A4) -> Data:
    """Everything the pages say, in the language spoken now; lengths in the reader's unit."""
    return {
        "language": spoken().value,
        "paper": paper.value,
        "mark": squad_mark(report),
        "title": _("Squad report: {squad}, {season}").format(squad=report.squad.name, season=report.season.name),
        "kind": _("Squad report for the coach"),
        "squad": report.squad.name,
        "season": report.season.name,
        "days": _days(report),
        "heads": {
            "board": _("The ladder at the start and at the end"),
            "changed": _("Who changed, at the same stage and distance"),
            "ready": _("Ready calls"),
            "decisions": _("The coach's decisions beside the tool's"),
            "coverage": _("Coverage"),
            "observers": _("Agreement between observers"),
            "planned": _("The season as planned and as it was"),
            "stages": _("The stages by number"),
        },
        "columns": [_("Player"), _("Stage"), _("Now"), _("Season"), _("Strikes"), _("Practices")],
        "feet": [
            {"name": foot_words(foot), "colour": style.FOOT_COLOUR[foot], "shape": style.FOOT_SHAPE[foot]}
            for foot in Foot
        ],
        "rows": _rows(report),
        "changed": [*changed_words(report.changes), _changed_note(report)],
        "ready": [ready_calls_words(report.calls)],
        "decisions": agreement_lines(report.decisions),
        "coverage": _coverage(report),
        "observers": _observers(report),
        "planned": planned_words(report.planned),
        "stages": [
            f"{stage.position} {stage.name}, {wording.length_words(stage.distance_m, unit)}"
            for stage in report.ladder.stages
        ],
        "private": _("For the coach: names of children. Do not pass it on or post it."),
        "foot_line": f"{report.season.name} · {report.squad.name}",
    }


def squad_mark(report: SquadReport) -> str:
    """What tells the reports of squads and seasons apart, in the file."""
    return f"squad-report:{report.squad.squad_id}:{report.season.season_id}"


def _days(report: SquadReport) -> str:
    if not report.days:
        return _("No practice yet")
    return _("{practices}, from {first} to {last}").format(
        practices=wording.counted(len(report.days), "practice"),
        first=wording.date_words(report.days[0]),
        last=wording.date_words(report.days[-1]),
    )


def _rows(report: SquadReport) -> list[dict[str, Any]]:
    verdicts = {(row["player"], row["foot"]): row for row in report.changes.iter_rows(named=True)}
    names = list(dict.fromkeys(report.feet["player"].to_list()))
    return [
        {
            "name": name,
            "feet": [
                _cells(row, verdicts.get((name, row["foot"])))
                for row in report.feet.filter(player=name).iter_rows(named=True)
            ],
        }
        for name in names
    ]


def _cells(row: Mapping[str, Any], change: Mapping[str, Any] | None) -> list[str]:
    """Stage at start and end, status, start and end of ten with the verdict, strikes, practices."""
    start, end = ("–" if row[name] is None else str(row[name]) for name in ("start_stage", "end_stage"))
    return [
        _("{start} to {end}").format(start=start, end=end),
        status_word(ReadinessStatus(row["status"])) if row["status"] else "–",
        _season_words(change),
        whole(row["attempts"]),
        str(row["practices"]),
    ]


def _season_words(change: Mapping[str, Any] | None) -> str:
    if change is None or change["start_rate"] is None:
        return "–"
    verdict = verdict_word(ChangeVerdict(change["verdict"]))
    return _("{start} to {end}: {verdict}").format(
        start=tenths(change["start_rate"]), end=of_ten(change["end_rate"]), verdict=verdict
    )


def _changed_note(report: SquadReport) -> str:
    return _(
        "Verdicts allow for {feet} feet being looked at: without that, luck alone would call about one in twenty clear."
    ).format(feet=report.changes.height)


def _coverage(report: SquadReport) -> list[str]:
    few = [
        _("{player}, {foot}").format(player=row["player"], foot=foot_words(Foot(row["foot"])).lower())
        for row in report.feet.iter_rows(named=True)
        if row["attempts"] < glossary.FIRST_LOOK_BELOW
    ]
    total = _("{strikes} in {practices}.").format(
        strikes=wording.counted(int(report.feet["attempts"].sum()), "strike"),
        practices=wording.counted(len(report.days), "practice"),
    )
    if not few:
        return [total, _("Every foot has {fewest} strikes or more.").format(fewest=glossary.FIRST_LOOK_BELOW)]
    return [total, _("Under {fewest}: {feet}.").format(fewest=glossary.FIRST_LOOK_BELOW, feet=", ".join(few))]


def _observers(report: SquadReport) -> list[str]:
    if report.observers.is_empty():
        return [_("No strike was logged by two people this season, so nothing says how far the counts can be trusted.")]
    lines = []
    for row in report.observers.iter_rows(named=True):
        alike = round(row["agreement"] * row["strikes_compared"])
        lines.append(
            _("{day}: {alike} written down alike. {note}").format(
                day=wording.date_words(row["held_on"]),
                alike=wording.rate_words(alike, row["strikes_compared"]),
                note=trust_note(row),
            )
        )
    return lines
