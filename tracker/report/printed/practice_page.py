"""The sheet of a practice for the coach's pocket: who does what when in front, the set-up and the cautions behind."""

from __future__ import annotations

import zlib
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from tracker.domain.practice_plan import Activity, LaneWork, Part, PlayerWork, PracticePlan
from tracker.domain.setup import ESTIMATE_NOTE, Lane, LaneKind
from tracker.domain.vocabulary import Language, LengthUnit, Paper
from tracker.report import chart_style as style
from tracker.report import charts, plan_words, wording
from tracker.report.language import _, speaking, spoken
from tracker.report.printed.engine import Data, Template, pdf
from tracker.report.printed.files import write_page
from tracker.report.printed.pictures import described, svg
from tracker.report.printed.sheet_page import sheet_page
from tracker.report.setup_words import set_up_note, target_measure, window_words
from tracker.review.practice_sheet import PracticeSheet

WIDE_PX, SMALL_PX = 640, 320

Lanes = Sequence[Lane]


def write_practice_sheet(
    plan: PracticePlan,
    lanes: Sequence[Lanes],
    *,
    squad_name: str,
    path: Path,
    unit: LengthUnit,
    paper: Paper = Paper.A4,
    language: Language | None = None,
    tally: PracticeSheet | None = None,
) -> Path:
    """Writes the sheet as a PDF and returns its path: two pages, and with ``tally`` the tally sheet as a third.

    ``lanes`` are the lanes of each part of finishing as they are laid out, in order; none for a part that cannot be
    drawn. Without a ``language`` it is in that spoken now. Raises FileError when the file cannot be written or is
    somebody else's, PageError when the page cannot be set.
    """
    with speaking(language or spoken()):
        data = practice_page(plan, lanes, squad_name=squad_name, unit=unit, paper=paper, tally=tally)
        content = pdf(Template.PRACTICE, data)
    return write_page(path, content, mark=practice_mark(plan, squad_name))


def practice_page(
    plan: PracticePlan,
    lanes: Sequence[Lanes],
    *,
    squad_name: str,
    unit: LengthUnit,
    paper: Paper = Paper.A4,
    tally: PracticeSheet | None = None,
) -> Data:
    """Everything the sheet says, in the language spoken now; lengths in the reader's unit."""
    day = wording.date_words(plan.held_on)
    return {
        "language": spoken().value,
        "paper": paper.value,
        "mark": practice_mark(plan, squad_name),
        "title": _("Practice: {squad}, {day}").format(squad=squad_name, day=day),
        "squad": squad_name,
        "day": day,
        "minutes": _("{minutes} minutes").format(minutes=plan.minutes),
        "timetable": _timetable(plan),
        "words": [[plan_words.activity_word(part.activity), part.what] for part in plan.parts if not part.lanes],
        "columns": [_("Player"), _("First"), _("Then")],
        "parts": _parts(plan, lanes, unit),
        "note": _("Degrees: the angle that the target shows from the ball. {estimate}").format(
            estimate=_(ESTIMATE_NOTE)
        ),
        "heads": {
            "watch": _("Who watches"),
            "set_up": _("Set-up of part 1"),
            "bring": _("To bring"),
            "cautions": _("Cautions"),
            "remarks": _("To know"),
        },
        "drawings": _drawings(plan, lanes, unit),
        "drawing_note": set_up_note(),
        "equipment": [plan_words.equipment_words(item) for item in plan.equipment],
        "cautions": [[plan_words.caution_word(one.kind), plan_words.caution_words(one)] for one in plan.cautions],
        "remarks": list(plan.remarks),
        "tally": None if tally is None else sheet_page(tally, unit=unit, paper=paper),
        "foot_line": f"{day} · {squad_name}",
    }


def practice_mark(plan: PracticePlan, squad_name: str) -> str:
    """What tells the sheets of squads and days apart, in the file."""
    return f"practice-sheet:{zlib.crc32(squad_name.encode()):08x}:{plan.held_on.isoformat()}"


def _timetable(plan: PracticePlan) -> list[dict[str, Any]]:
    """Every part from minute to minute, as long as it lasts, with the way over to the next after it."""
    ends = [*(part.starts_at for part in plan.parts[1:]), plan.minutes]
    numbers = {id(part): number for number, part in enumerate(plan.finishing, start=1)}
    return [
        {
            "minutes": part.minutes,
            "change_over": end - part.starts_at - part.minutes,
            "when": _minutes(part),
            "what": _part_name(numbers[id(part)])
            if part.activity is Activity.FINISHING
            else plan_words.activity_word(part.activity),
            "is_finishing": part.activity is Activity.FINISHING,
        }
        for part, end in zip(plan.parts, ends, strict=True)
    ]


def _minutes(part: Part) -> str:
    return f"{part.starts_at}–{part.starts_at + part.minutes}"


def _part_name(number: int) -> str:
    return _("Part {number}").format(number=number)


def _parts(plan: PracticePlan, lanes: Sequence[Lanes], unit: LengthUnit) -> list[dict[str, Any]]:
    found = []
    before: Lanes = ()
    for number, (part, laid) in enumerate(zip(plan.finishing, lanes, strict=True), start=1):
        places = {lane.number: lane for lane in laid}
        moves, stays = plan_words.moves_words(before, laid) if laid else ("", "")
        found.append(
            {
                "head": _("Part {number}, minute {start} to {end}").format(
                    number=number, start=part.starts_at, end=part.starts_at + part.minutes
                ),
                "moves": moves,
                "stays": stays,
                "lanes": [_lane(work, places.get(work.number), unit) for work in part.lanes],
                "turns": plan_words.turns_words([turn for turn in plan.focal_turns if turn.block == number]),
            }
        )
        before = laid
    return found


def _lane(work: LaneWork, lane: Lane | None, unit: LengthUnit) -> dict[str, Any]:
    distance = lane.distance_m if lane else None
    return {
        "number": str(work.number),
        "stage": work.stage,
        "where": _where(lane, unit) if lane else "",
        "players": [_player(one, distance, unit) for one in work.players],
    }


def _where(lane: Lane, unit: LengthUnit) -> str:
    sentence = {
        LaneKind.GATE: _("gate {width}, from {distance}, {angle}"),
        LaneKind.RALLY: _("gate {width}, from {distance} on both sides, {angle}"),
        LaneKind.GOAL: _("goal {width}, from {distance}, {angle}"),
    }[lane.kind]
    return sentence.format(
        width=target_measure(lane, unit),
        distance=wording.length_words(lane.distance_m, unit),
        angle=window_words(lane),
    )


def _player(one: PlayerWork, lane_distance_m: float | None, unit: LengthUnit) -> dict[str, Any]:
    """A player's feet in the order they work in."""
    return {
        "name": one.player,
        "feet": [
            {
                "colour": style.FOOT_COLOUR[foot.foot],
                "shape": style.FOOT_SHAPE[foot.foot],
                "words": plan_words.foot_work_words(foot, lane_distance_m=lane_distance_m, unit=unit),
            }
            for foot in one.feet
            if foot.sets
        ],
    }


def _drawings(plan: PracticePlan, lanes: Sequence[Lanes], unit: LengthUnit) -> list[dict[str, Any]]:
    """The set-up of each part: the first with measures, later ones small, and only where something moves."""
    found: list[dict[str, Any]] = []
    for number, laid in enumerate(lanes, start=1):
        head, is_first = _part_name(number), number == 1
        if not laid:
            found.append({"head": head, "words": _("The lanes do not fit on the field, so they are not drawn.")})
        elif not is_first and list(laid) == list(lanes[number - 2]):
            found.append({"head": head, "words": _("as the part before")})
        else:
            title = _("Set-up, part {number}").format(number=number)
            drawing = charts.set_up_drawing(plan.field, laid, unit=unit, title=title, with_measures=is_first)
            drawn = svg(drawing, width=WIDE_PX if is_first else SMALL_PX)
            found.append({"head": head, "words": "", "picture": {"svg": drawn, "alt": described(drawing)}})
    return found
