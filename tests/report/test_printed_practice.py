"""The practice sheet on paper says what the plan says, by name and nothing of how well anybody hits."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from io import BytesIO
from pathlib import Path

import pypdf
import pytest

from tracker.domain.cautions import DEFER
from tracker.domain.practice_plan import PracticePlan
from tracker.domain.setup import Lane
from tracker.domain.standards import Federation
from tracker.domain.standards_file import standard_for
from tracker.domain.vocabulary import Language, LengthUnit, Paper, PreferredFoot
from tracker.errors import FileError
from tracker.plan.layout import lay_out
from tracker.plan.practice_plan import plan_practice
from tracker.plan.request import Equipment, FootStanding, PlanRequest, PresentPlayer, ladder_for_age
from tracker.report.plan_words import caution_words, equipment_words, foot_work_words, moves_words
from tracker.report.printed.engine import Template, pdf
from tracker.report.printed.practice_page import practice_page, write_practice_sheet
from tracker.report.setup_words import target_measure, window_words
from tracker.report.wording import length_words
from tracker.review import club
from tracker.review.practice_sheet import PracticeSheet, practice_sheet
from tracker.store.database import Database

NAME = 'Zoë "<b>" O\'Neill #1 \\today 日本 عمر'
NAMES = ("Amara", "Bjørn", "Caoimhe", "Diego", "Elif", "Fatou", "Grace", "Hiro", "Isla", "João", "Kaya", "Liam")
DAY = date(2026, 10, 6)


def plan_for(names: tuple[str, ...], *, age: int = 12, minutes: int = 75) -> PracticePlan:
    """Players spread over the first four stages, the right foot one stage further on."""
    ladder = ladder_for_age(age)
    players = tuple(
        PresentPlayer(
            name=name,
            left=FootStanding(stage=ladder.stages[place % 4].name, pooled_rate=0.613, attempts=30),
            right=FootStanding(stage=ladder.stages[min(place % 4 + 1, 4)].name, pooled_rate=0.687, attempts=30),
            preferred_foot=PreferredFoot.RIGHT,
        )
        for place, name in enumerate(names)
    )
    request = PlanRequest(
        ladder=ladder,
        minutes=minutes,
        players=players,
        held_on=DAY,
        equipment=Equipment(gates=8, goals=2, balls=24),
        standard=standard_for(Federation.US_SOCCER, age),
        loggers=2,
    )
    return plan_practice(request)


def lanes_of(plan: PracticePlan) -> list[tuple[Lane, ...]]:
    return [lay_out(plan.field, part) for part in plan.finishing]


def pages_of(
    plan: PracticePlan,
    *,
    squad_name: str = "Hillside U12",
    paper: Paper = Paper.A4,
    tally: PracticeSheet | None = None,
    lanes: list[tuple[Lane, ...]] | None = None,
) -> list[str]:
    page = practice_page(
        plan,
        lanes_of(plan) if lanes is None else lanes,
        squad_name=squad_name,
        unit=LengthUnit.YARDS,
        paper=paper,
        tally=tally,
    )
    reader = pypdf.PdfReader(BytesIO(pdf(Template.PRACTICE, page)))
    return [page.extract_text() for page in reader.pages]


def squeezed(text: str) -> str:
    """Without white space: a line may break anywhere."""
    return "".join(text.split())


@pytest.fixture(scope="module")
def plan() -> PracticePlan:
    return plan_for(NAMES)


@pytest.fixture(scope="module")
def tally(demo: Database) -> PracticeSheet:
    return practice_sheet(demo, club.squads(demo)[0], date(2026, 6, 6))


def test_the_front_says_who_does_what_when(plan: PracticePlan) -> None:
    said = squeezed(pages_of(plan)[0])
    for part in plan.parts:
        assert f"{part.starts_at}–{part.starts_at + part.minutes}" in said
        if not part.lanes:
            assert squeezed(part.what) in said
    lanes = {(part.starts_at, lane.number): lane for part in plan.finishing for lane in lay_out(plan.field, part)}
    for part in plan.finishing:
        for work in part.lanes:
            lane = lanes[part.starts_at, work.number]
            where = f"{target_measure(lane, LengthUnit.YARDS)}, from {length_words(lane.distance_m, LengthUnit.YARDS)}"
            assert squeezed(f"{work.number} {work.stage}") in said
            assert squeezed(f"{where}, {window_words(lane)}") in said
    for part, lane_work, player in plan.work():
        lane = lanes[part.starts_at, lane_work.number]
        feet = [
            foot_work_words(foot, lane_distance_m=lane.distance_m, unit=LengthUnit.YARDS)
            for foot in player.feet
            if foot.sets
        ]
        assert squeezed(player.player + "".join(feet)) in said


def test_a_part_tells_what_moves_and_who_watches(plan: PracticePlan) -> None:
    said = squeezed(pages_of(plan)[0])
    laid = lanes_of(plan)
    for before, now in zip([(), *laid], laid, strict=False):
        assert all(squeezed(one) in said for one in moves_words(before, now))
    for turn in plan.focal_turns:
        assert squeezed(f"Minute {turn.starts_at} to {turn.starts_at + turn.minutes}") in said
        assert squeezed(f"logger {turn.logger} lane {turn.lane}") in said


def test_a_lane_that_stays_is_one_whose_target_and_ball_do_not_move(plan: PracticePlan) -> None:
    first = lanes_of(plan)[0]
    nearer = (replace(first[0], spot=replace(first[0].spot, y_m=first[0].spot.y_m + 1.0)), *first[1:])
    assert moves_words(first, first) == ("Nothing moves.", "")
    moves, stays = moves_words(first, nearer)
    assert moves == "Moves: lane 1."
    assert re.fullmatch(r"Stays: the corners, the goals, lanes 2(, \d)+\.", stays)
    assert moves_words(first, first[1:])[0] == "Away: lane 1."


def test_the_back_has_equipment_cautions_and_what_to_know(plan: PracticePlan) -> None:
    said = squeezed(pages_of(replace(plan, remarks=("Sun in the keeper's eyes.",)))[1])
    assert all(squeezed(equipment_words(item)) in said for item in plan.equipment)
    assert all(squeezed(caution_words(one)) in said for one in plan.cautions)
    assert squeezed(DEFER) in said
    assert squeezed("Sun in the keeper's eyes.") in said


def test_later_set_ups_are_drawn_only_where_something_moves(plan: PracticePlan) -> None:
    laid = lanes_of(plan)
    page = practice_page(plan, [laid[0], laid[0], laid[0][:2]], squad_name="x", unit=LengthUnit.YARDS)
    assert ["picture" in one for one in page["drawings"]] == [True, False, True]
    assert "Plan view to scale" in page["drawings"][0]["picture"]["alt"]


def test_lanes_that_do_not_fit_are_said_not_to_be_drawn(plan: PracticePlan) -> None:
    pages = pages_of(plan, lanes=[()] * len(plan.finishing))
    assert "The lanes do not fit on the field" in pages[1]
    assert "Amara" in pages[0]


def test_no_rate_is_told(plan: PracticePlan) -> None:
    rated = {f"{foot.expected_rate:.2f}" for _, _, work in plan.work() for foot in work.feet}
    said = " ".join(pages_of(plan))
    assert rated
    assert not any(rate in said for rate in rated)
    assert not re.search(r"%|\brank|\brate\b|expected", said, re.IGNORECASE)


@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize(("age", "players"), [(8, 4), (12, 16), (18, 24)])
def test_any_squad_takes_two_pages(age: int, players: int, paper: Paper) -> None:
    names = tuple(f"{name} van der Berg {place}" for place in range(2) for name in NAMES)[:players]
    pages = pages_of(plan_for(names, age=age), paper=paper)
    assert len(pages) == 2
    assert all(squeezed(name) in squeezed(pages[0]) for name in names)


def test_the_tally_sheet_is_the_third_page(plan: PracticePlan, tally: PracticeSheet) -> None:
    pages = pages_of(plan, tally=tally)
    assert len(pages) == 3
    assert all(row.player.display_name in pages[2] for row in tally.rows)


def test_a_name_that_looks_like_markup_stands_as_it_is(tmp_path: Path) -> None:
    plan = plan_for((NAME, *NAMES[:5]))
    path = write_practice_sheet(
        plan, lanes_of(plan), squad_name=NAME, path=tmp_path / "sheet.pdf", unit=LengthUnit.YARDS
    )
    reader = pypdf.PdfReader(path)
    said = [page.extract_text() for page in reader.pages]
    assert NAME in said[0].splitlines()
    assert squeezed(said[0]).count(squeezed(NAME)) == len(plan.finishing) + 2  # its rows, head and foot of the page
    assert reader.metadata is not None
    assert reader.metadata.title == f"Practice: {NAME}, 6 October 2026"


def test_it_is_a_tagged_pdf_in_the_readers_language(plan: PracticePlan, tmp_path: Path) -> None:
    path = write_practice_sheet(
        plan,
        lanes_of(plan),
        squad_name="Quillhaven U12",
        path=tmp_path / "sheet.pdf",
        unit=LengthUnit.METRES,
        paper=Paper.LETTER,
        language=Language.SPANISH,
    )
    reader = pypdf.PdfReader(path)
    root = reader.trailer["/Root"]
    assert (root["/Lang"], root["/MarkInfo"]["/Marked"], "/StructTreeRoot" in root) == ("es", True, True)
    assert "6 de octubre de 2026" in reader.pages[0].extract_text()
    assert round(reader.pages[0].mediabox.width) == 792


def test_it_is_written_over_its_own_edition_and_over_nothing_else(plan: PracticePlan, tmp_path: Path) -> None:
    path, lanes = tmp_path / "sheet.pdf", lanes_of(plan)
    for squad_name in ("Żółw 日本", "Żółw 日本"):
        write_practice_sheet(plan, lanes, squad_name=squad_name, path=path, unit=LengthUnit.YARDS)
    with pytest.raises(FileError, match="left alone"):
        write_practice_sheet(plan, lanes, squad_name="Another", path=path, unit=LengthUnit.YARDS)
