"""The tally sheet of a practice, as the data its template is made from."""

from __future__ import annotations

from typing import Any

from tracker.domain.ladder import Stage
from tracker.domain.strike import ON_TARGET_MEANS
from tracker.domain.vocabulary import Foot, LengthUnit, Miss, Paper
from tracker.report import chart_style as style
from tracker.report import wording
from tracker.report.glossary import foot_words, miss_word
from tracker.report.language import _, spoken
from tracker.report.printed.engine import Data
from tracker.review.practice_sheet import MISS_LETTERS, PracticeSheet, SheetRow


def sheet_page(sheet: PracticeSheet, *, unit: LengthUnit, paper: Paper = Paper.A4) -> Data:
    """Everything the sheet says, in the language spoken now; lengths in the reader's unit."""
    day = wording.date_words(sheet.day)
    return {
        "language": spoken().value,
        "paper": paper.value,
        "mark": sheet_mark(sheet),
        "title": _("Tally sheet: {squad}, {day}").format(squad=sheet.squad.name, day=day),
        "squad": sheet.squad.name,
        "day": day,
        "logger": _("Logged by"),
        "player": _("Player"),
        "sum": _("Sum on target"),
        "feet": [
            {
                "name": foot_words(foot),
                "colour": style.FOOT_COLOUR[foot],
                "shape": style.FOOT_SHAPE[foot],
                "heads": [_("Stage"), _("On target of each set"), _("Misses")],
            }
            for foot in Foot
        ],
        "rows": [_row(row) for row in sheet.rows],
        "sides": [_letter(miss) for miss in Miss],
        "how": _(
            "Write how many of each set were on target. Put a stroke for each miss under its side: {sides}. "
            "At the end add up all that was on target."
        ).format(sides=", ".join(f"{_letter(miss)} {miss_word(miss)}" for miss in Miss)),
        "means": _(ON_TARGET_MEANS),
        "stages_head": _("Stages"),
        "stages": [_stage_words(stage, unit) for stage in sheet.stages],
        "cautions_head": _("Safety"),
        "cautions": list(dict.fromkeys(caution for stage in sheet.stages for caution in stage.cautions)),
        "foot_line": f"{day} · {sheet.squad.name}",
    }


def sheet_mark(sheet: PracticeSheet) -> str:
    """What tells the sheets of a squad's days apart, in the file."""
    return f"tally-sheet:{sheet.squad.squad_id}:{sheet.day.isoformat()}"


def _row(row: SheetRow) -> dict[str, Any]:
    return {
        "shirt": "" if row.player.shirt_number is None else str(row.player.shirt_number),
        "name": row.player.display_name,
        "feet": [{"stage": f"{row.stages[foot].position}", "sets": list(row.stages[foot].set_sizes)} for foot in Foot],
    }


def _letter(miss: Miss) -> str:
    return next(letter for letter, side in MISS_LETTERS.items() if side is miss).upper()


def _stage_words(stage: Stage, unit: LengthUnit) -> str:
    return _("{number} {stage}: {target}, from {distance}").format(
        number=stage.position,
        stage=stage.name,
        target=wording.target_words(stage.target, unit),
        distance=wording.length_words(stage.distance_m, unit),
    )
