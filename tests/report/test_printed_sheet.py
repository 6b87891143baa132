"""The tally sheet on paper: one page with every player, stage and foot, the definition and the cautions."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from io import BytesIO

import pypdf
import pytest

from tracker.domain.strike import ON_TARGET_MEANS
from tracker.domain.vocabulary import LengthUnit, Paper
from tracker.report.printed.engine import Template, pdf
from tracker.report.printed.sheet_page import sheet_page
from tracker.review import club
from tracker.review.practice_sheet import PracticeSheet, practice_sheet
from tracker.store.database import Database

NAME = 'Zoë "<b>" O\'Neill #1 \\today 日本 عمر'


@pytest.fixture
def sheet(demo: Database) -> PracticeSheet:
    return practice_sheet(demo, club.squads(demo)[0], date(2026, 6, 6))


def pages_of(sheet: PracticeSheet, paper: Paper = Paper.A4) -> list[str]:
    content = pdf(Template.SHEET, sheet_page(sheet, unit=LengthUnit.YARDS, paper=paper))
    return [page.extract_text() for page in pypdf.PdfReader(BytesIO(content)).pages]


@pytest.mark.parametrize("paper", Paper)
def test_sixteen_players_fit_one_page(sheet: PracticeSheet, paper: Paper) -> None:
    assert len(sheet.rows) == 16
    (said,) = pages_of(sheet, paper)
    assert all(row.player.display_name in said for row in sheet.rows)


def test_it_says_what_counts_as_on_target_and_how_to_stay_safe(sheet: PracticeSheet) -> None:
    said = " ".join(" ".join(pages_of(sheet)).split())
    assert ON_TARGET_MEANS in said
    assert all(caution in said for stage in sheet.stages for caution in stage.cautions)
    assert all(f"{stage.position} {stage.name}" in said for stage in sheet.stages)


def test_a_name_that_looks_like_markup_stands_in_its_row(sheet: PracticeSheet) -> None:
    first = replace(sheet.rows[0], player=replace(sheet.rows[0].player, display_name=NAME))
    squad = replace(sheet.squad, name=NAME)
    said = "\n".join(pages_of(replace(sheet, squad=squad, rows=[first, *sheet.rows[1:]])))
    assert said.count(NAME) == 3  # the head, the row, the foot of the page


def test_forty_players_go_on_more_pages_with_the_heads_again(sheet: PracticeSheet) -> None:
    pages = pages_of(replace(sheet, rows=(sheet.rows * 3)[:40]))
    assert 1 < len(pages) <= 3
    assert all("Left foot" in page for page in pages[:2])
