"""The Reports page: the coach's words, the preview, all reports in one zip, the sheet printed and typed in."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable
from datetime import date, datetime

import pypdf
import pytest
from builders import SquadBuilder
from streamlit.testing.v1 import AppTest

from dashboards.ui import state
from dashboards.ui.views import ReportView
from tracker.domain.squad import Season
from tracker.domain.vocabulary import Dimension, Foot, Paper
from tracker.review import club
from tracker.review.accuracy import accuracy
from tracker.review.coach_words import coach_words
from tracker.review.hand_over import hand_over

OpenPage = Callable[[str], AppTest]
TODAY = datetime.now().astimezone().date()


@pytest.fixture
def season(squad: SquadBuilder) -> Season:
    squad.strikes("Ana", Foot.LEFT, "+-" * 12, day=TODAY, stage=squad.stages[0])
    return club.make_season(squad.database, name="now", starts_on=date(2025, 8, 1), ends_on=date(2027, 7, 31))


@pytest.fixture
def page(squad: SquadBuilder, season: Season, open_page: OpenPage) -> AppTest:
    return open_page("reports")


def test_a_preview_stands_beside_the_coachs_words_one_page_for_few_strikes(page: AppTest) -> None:
    assert len(page.get("image")) == 1
    assert page.text_area[0].label == "Your own words for Ana"


def test_the_coachs_words_are_kept(page: AppTest, squad: SquadBuilder, season: Season) -> None:
    ana = squad.player("Ana")
    slot = state.coach_words_on(ana.player_id, season.season_id)
    page.text_area(key=slot.key).set_value("You kept at it.")
    next(one for one in page.button if one.label == "Keep these words").click().run()
    assert not page.exception
    assert page.success[0].value == "Kept for Ana."
    assert coach_words(squad.database, ana, season) == "You kept at it."


def test_all_reports_come_in_one_zip(page: AppTest) -> None:
    next(one for one in page.button if one.label == "Make the reports").click().run()
    assert not page.exception
    packed = page.session_state[state.REPORTS_PACKED.key]
    with zipfile.ZipFile(io.BytesIO(packed.content)) as archive:
        assert archive.namelist() == ["Ana.pdf", "Ben.pdf", "Squad report Quillhaven U12.pdf"]
        assert "Ana" in pypdf.PdfReader(io.BytesIO(archive.read("Ana.pdf"))).pages[0].extract_text()
    assert "2 reports are ready." in [one.value for one in page.success]


def test_paper_is_remembered(page: AppTest, squad: SquadBuilder) -> None:
    page.selectbox(key=state.PAPER.key).select(Paper.LETTER).run()
    assert not page.exception
    assert club.paper(squad.database) is Paper.LETTER


def test_a_sheet_is_shown_and_can_be_downloaded(page: AppTest) -> None:
    page.segmented_control(key=state.REPORT_VIEW.key).set_value(ReportView.SHEET).run()
    assert not page.exception
    assert len(page.get("image")) == 1
    assert [one.proto.label for one in page.get("download_button")] == ["Download the sheet"]


def test_a_sheet_typed_in_is_stored_when_its_rows_add_up(page: AppTest, squad: SquadBuilder) -> None:
    page.segmented_control(key=state.REPORT_VIEW.key).set_value(ReportView.TYPE_IN).run()
    assert not page.exception
    ben = squad.player("Ben").player_id
    page.number_input(key=state.paper_set(ben, Foot.RIGHT, 0).key).set_value(7)
    page.text_input(key=state.paper_misses(ben, Foot.RIGHT).key).set_value("lr")
    page.number_input(key=state.paper_sum(ben).key).set_value(8)
    store = next(one for one in page.button if one.label == "Store this sheet")
    store.click().run()
    assert "the sets add up to 7 on target, but the sheet says 8" in page.error[0].value
    page.number_input(key=state.paper_sum(ben).key).set_value(7)
    next(one for one in page.button if one.label == "Store this sheet").click().run()
    assert page.success[0].value == "Stored: 10 strikes. Every row adds up."
    counted = accuracy(squad.database, squad.scope, by=[Dimension.PLAYER]).filter(player="Ben")
    assert counted.select("attempts", "on_target").row(0) == (10, 7)
    assert page.number_input(key=state.paper_set(ben, Foot.RIGHT, 0).key).value is None


def test_a_hand_over_is_previewed_then_stored(page: AppTest, squad: SquadBuilder) -> None:
    content = hand_over(squad.database, squad.squad)
    page.segmented_control(key=state.REPORT_VIEW.key).set_value(ReportView.HAND_OVER).run()
    page.file_uploader(key=state.TAKEN_OVER.key).set_value(("ours.zip", content, "application/zip")).run()
    assert not page.exception
    assert "24 strikes in 1 practice; 0 are not here yet." in [one.value for one in page.text]
    next(one for one in page.button if one.label == "Store it").click().run()
    assert "Stored: 0 new players, 0 strikes." in [one.value for one in page.success]
