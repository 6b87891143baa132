"""The player's report on paper: two pages, the right figures, words by age, and names that stay names."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from html.parser import HTMLParser
from io import BytesIO

import pypdf
import pytest
from builders import SquadBuilder

from tracker.domain.vocabulary import Foot, Language, LengthUnit, Paper
from tracker.report.language import speaking
from tracker.report.player_words import Reader, aim_sentence, season_sentences
from tracker.report.printed.engine import FONTS, TEMPLATES, Template, page_images, pdf
from tracker.report.printed.player_page import player_page
from tracker.report.printed.web_page import web_page
from tracker.review import club
from tracker.review.coach_words import LONGEST_WORDS
from tracker.review.season_report import SeasonReport, season_report, season_reports, season_to_report
from tracker.store.database import Database

NAME = 'Zoë "<b>" O\'Neill #1 \\today 日本 عمر'
BREAKING = '#{panic("x")} $x$ *_`<script>alert(1)</script> \\u{41} // /* @x <y>'
NEVER = ("talented", "natural", "weak", "best", "worst", "failed", "average", "rank ", "p-value", "squad mean")


@pytest.fixture(scope="module")
def reports(demo: Database) -> list[SeasonReport]:
    squad = club.squads(demo)[0]
    return season_reports(demo, squad, season_to_report(demo, squad))


def text_of(content: bytes) -> list[str]:
    return [page.extract_text() for page in pypdf.PdfReader(BytesIO(content)).pages]


def named(reports: list[SeasonReport], name: str) -> SeasonReport:
    return next(one for one in reports if one.player.display_name == name)


def test_a_report_is_two_tagged_pages_with_title_and_language(reports: list[SeasonReport]) -> None:
    reader = pypdf.PdfReader(BytesIO(pdf(Template.PLAYER, player_page(reports[0], unit=LengthUnit.YARDS))))
    root = reader.trailer["/Root"]
    assert len(reader.pages) == 2
    assert reader.metadata is not None
    assert reader.metadata.title == "Season report: Amara N."
    assert (root["/Lang"], root["/MarkInfo"]["/Marked"], "/StructTreeRoot" in root) == ("en", True, True)


@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize("language", Language)
def test_the_fullest_reports_have_two_pages_on_any_paper(
    reports: list[SeasonReport], paper: Paper, language: Language
) -> None:
    words = ("Well done. " * LONGEST_WORDS)[:LONGEST_WORDS]
    most_stages = max(reports, key=lambda one: sum(len(foot.passed) for foot in one.feet))
    with speaking(language):
        for report in (most_stages, named(reports, "Jun T.")):
            page = player_page(replace(report, coach_words=words), unit=LengthUnit.METRES, paper=paper)
            pages = pypdf.PdfReader(BytesIO(pdf(Template.PLAYER, page))).pages
            assert len(pages) == 2
    assert round(pages[0].mediabox.width) == {Paper.A4: 595, Paper.LETTER: 612}[paper]


def test_the_name_stands_in_the_pdf_exactly_as_it_is(reports: list[SeasonReport]) -> None:
    player = replace(reports[0].player, display_name=NAME)
    content = pdf(Template.PLAYER, player_page(replace(reports[0], player=player), unit=LengthUnit.YARDS))
    assert NAME in text_of(content)[0].splitlines()
    metadata = pypdf.PdfReader(BytesIO(content)).metadata
    assert metadata is not None
    assert metadata.title == f"Season report: {NAME}"


def test_nothing_typed_is_markup_on_paper(reports: list[SeasonReport]) -> None:
    player = replace(reports[0].player, display_name=BREAKING)
    report = replace(reports[0], player=player, coach_words=BREAKING)
    pages = text_of(pdf(Template.PLAYER, player_page(report, unit=LengthUnit.YARDS)))
    assert BREAKING in pages[0]
    assert BREAKING in pages[1].split("From your coach")[1]


@pytest.mark.parametrize(
    "name", ["Ελένη Παπά", "Иван Ёлкин", "عمر", "日本 太郎", "서울 김", "Nguyễn Ánh", "Łucja Đặng"]
)
def test_every_script_has_its_letters(reports: list[SeasonReport], name: str) -> None:
    player = replace(reports[0].player, display_name=name)
    content = pdf(Template.PLAYER, player_page(replace(reports[0], player=player), unit=LengthUnit.YARDS))
    fonts = {str(font["/BaseFont"]) for page in pypdf.PdfReader(BytesIO(content)).pages for font in _fonts(page)}
    assert all(re.search("NotoSans|DroidSansFallback", font) for font in fonts)
    assert name in text_of(content)[0].splitlines()


@pytest.mark.parametrize("name", ["דוד", "⚽ Ana", "สมชาย", "अनु"])
def test_a_script_our_fonts_lack_still_gives_a_tagged_report(reports: list[SeasonReport], name: str) -> None:
    player = replace(reports[0].player, display_name=name)
    content = pdf(Template.PLAYER, player_page(replace(reports[0], player=player), unit=LengthUnit.YARDS))
    reader = pypdf.PdfReader(BytesIO(content))
    assert reader.metadata is not None
    assert reader.metadata.title == f"Season report: {name}"
    assert reader.trailer["/Root"]["/MarkInfo"]["/Marked"]


def _fonts(page: pypdf.PageObject) -> Iterator[pypdf.generic.DictionaryObject]:
    yield from (one.get_object() for one in page["/Resources"]["/Font"].values())


class _Seen(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.texts: list[str] = []
        self.tags: set[str] = set()

    def handle_data(self, data: str) -> None:
        self.texts.append(data)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        assert not any(name.startswith("on") or "http" in (value or "") for name, value in attrs if "xmlns" not in name)


def test_the_web_page_says_the_same_needs_nothing_and_runs_nothing(reports: list[SeasonReport]) -> None:
    player = replace(reports[1].player, display_name=NAME)
    data = player_page(replace(reports[1], player=player, coach_words=BREAKING), unit=LengthUnit.YARDS)
    seen = _Seen()
    seen.feed(web_page(data))
    assert seen.texts.count(NAME) == 1
    assert BREAKING in seen.texts
    assert f"Season report: {NAME}" in seen.texts
    assert not seen.tags & {"script", "b>", "img", "link", "iframe", "object"}
    paper = "".join("".join(text_of(pdf(Template.PLAYER, data))).split())
    told = [foot[name] for foot in data["feet"] for name in ("stage", "practised", "change", "aim", "fan_target")]
    told += [cell["words"] for stage in data["stages"] for cell in stage["feet"]]
    told += [data["gap"], data["stages_note"], data["fan_note"], *(words for _foot, words in data["kept"])]
    for sentence in (*data["sentences"], *data["how_to_read"], *told):
        assert sentence in [one.strip() for one in seen.texts]
        assert "".join(sentence.split()) in paper


def test_no_other_childs_name_and_no_word_that_labels_a_child(reports: list[SeasonReport]) -> None:
    names = [one.player.display_name for one in reports]
    for report in reports:
        said = " ".join(text_of(pdf(Template.PLAYER, player_page(report, unit=LengthUnit.YARDS))))
        assert [name for name in names if name != report.player.display_name and name in said] == []
        assert [word for word in NEVER if word in said.lower()] == []


def test_few_strikes_are_counted_on_one_page_and_nothing_is_claimed(squad: SquadBuilder) -> None:
    season = club.make_season(squad.database, name="s", starts_on=date(2026, 1, 1), ends_on=date(2026, 12, 31))
    for day in (1, 8, 15):
        squad.strikes("Ana", Foot.LEFT, "+++-----", day=date(2026, 3, day), stage=squad.stages[0])
    data = player_page(season_report(squad.database, squad.player("Ana"), season), unit=LengthUnit.YARDS)
    (said,) = text_of(pdf(Template.PLAYER, data))
    assert "You came to 3 practices and took 24 strikes. A good start!" in said
    assert "too few to say how you strike" in said
    assert "9 of 24 strikes on target, in 3 practices." in said
    assert not re.search(r"\d+ of (10|20) |[Cc]learly|likely|Start|middle", said)
    assert [(foot["rows"], foot["fan"], foot["change"]) for foot in data["feet"]] == [([], None, "")] * 2
    assert data["firm_note"] == data["fan_note"] == ""


def test_what_both_feet_work_on_next_is_told_once(reports: list[SeasonReport]) -> None:
    report = named(reports, "Thu-An Q.")
    data = player_page(report, unit=LengthUnit.YARDS)
    assert [one["words"] for one in data["next"]] == ["Both feet: more of Served volley"]
    assert data["sentences"][2] == "Next, both feet: more of Served volley."


def syllables(word: str) -> int:
    """Vowel groups, a silent final e aside; a number counts as one."""
    groups = re.findall(r"[aeiouy]+", word.lower())
    silent = word.lower().endswith("e") and not word.lower().endswith("le") and len(groups) > 1
    return max(1, len(groups) - silent)


def grade(sentences: list[str]) -> float:
    """Flesch–Kincaid grade level (Kincaid et al. 1975)."""
    words = re.findall(r"[\w'’]+", " ".join(sentences))
    count = sum(len(re.findall(r"[.!?](?:\s|$)", one)) or 1 for one in sentences)
    return 0.39 * len(words) / count + 11.8 * sum(map(syllables, words)) / len(words) - 15.59


def test_the_season_is_three_short_sentences_a_sixth_grader_reads(reports: list[SeasonReport]) -> None:
    for report in reports:
        sentences = season_sentences(report)
        assert len(sentences) == 3
        short = " ".join(sentences)
        for foot in report.feet:
            short = short.replace(foot.next_stage.name, "x").replace(foot.stage.name, "x")
        assert max(len(one.split()) for one in re.split(r"[.!?] ", short)) <= 15
        assert sum(len(one.split()) for one in sentences) <= 80
        assert grade(sentences) <= 6, sentences


def test_how_to_read_is_four_lines_a_sixth_grader_reads(reports: list[SeasonReport]) -> None:
    lines = list(player_page(reports[0], unit=LengthUnit.YARDS)["how_to_read"])
    assert len(lines) == 4
    assert grade(lines) <= 6


@pytest.mark.parametrize(
    ("born", "reader"),
    [(2017, Reader.YOUNG), (2014, Reader.MIDDLE), (2010, Reader.OLDER), (None, Reader.MIDDLE)],
)
def test_words_go_by_age(reports: list[SeasonReport], born: int | None, reader: Reader) -> None:
    report = replace(reports[0], player=replace(reports[0].player, birth_year=born))
    assert Reader.of(report) is reader
    data = player_page(report, unit=LengthUnit.YARDS)
    assert ("The real change likely lies" in data["feet"][0]["change"]) is (reader is Reader.OLDER)
    if reader is Reader.YOUNG:
        assert sum(len(one.split()) for one in data["sentences"]) <= 40


def test_a_foot_sent_back_a_stage_is_told_so_and_why_and_where_it_is_now(reports: list[SeasonReport]) -> None:
    report = named(reports, "Jun T.")
    left = report.feet[0]
    assert left.next_stage.position < left.stage.position
    assert season_sentences(report)[2] == (
        "Next, left foot: back to Served volley for a while. Right foot: on to Two-touch gate rally."
    )
    data = player_page(report, unit=LengthUnit.YARDS)
    said = " ".join(text_of(pdf(Template.PLAYER, data)))
    assert "At stage 2 of 7, Still ball through a gate." in said
    assert "Left foot: back to Served volley for a while" in said
    assert data["next"][0]["reason"] == (
        "Still ball through a gate is a big step: for a while few strikes there were on target. "
        "A short return makes it firm."
    )
    assert data["stages"][0]["feet"][0]["words"] == "21 February 2026, moved on by your coach; to make firm"
    assert data["firm_note"].startswith("“To make firm”: for a while fewer")


def test_a_foot_that_is_ready_is_nowhere_said_to_have_passed_its_stage(reports: list[SeasonReport]) -> None:
    report = named(reports, "Jun T.")
    data = player_page(report, unit=LengthUnit.YARDS)
    assert data["feet"][1]["stage"] == "Ready to move on from stage 3 of 7, Rolling ball."
    assert data["sentences"][1] == "Your right foot is ready to move on from Rolling ball: your practice helps."
    assert [stage["feet"][1]["words"] for stage in data["stages"]] == [
        "you began further up",
        "25 October 2025, moved on by your coach; to make firm",
        "now here, ready to move on since 16 May 2026",
        *["to come"] * 4,
    ]


def test_a_foot_has_one_count_for_the_start_and_one_for_now(reports: list[SeasonReport]) -> None:
    for report in reports:
        data = player_page(report, unit=LengthUnit.YARDS)
        said = " ".join(text_of(pdf(Template.PLAYER, data))).replace(data["how_to_read"][0], "")
        counts = [row["count"] for foot in data["feet"] for row in foot["rows"]]
        assert re.findall(r"\d+ of 20", said) == counts
        assert not re.search(r"\d+ of 10\b", said)


def test_the_aim_in_words_leans_as_its_picture_does(reports: list[SeasonReport]) -> None:
    for foot in (foot for report in reports for foot in report.feet if foot.aim.has_wedge):
        lean, said = foot.aim.aim["bias_deg"][0], aim_sentence(foot)
        if "right" in said:
            assert lean > 0
        if "left" in said:
            assert lean < 0
        if said == "Your strikes go to the middle.":
            assert abs(lean) <= 0.5


def test_lengths_are_in_the_readers_unit(reports: list[SeasonReport]) -> None:
    report = named(reports, "Bjørn S.")
    assert player_page(report, unit=LengthUnit.YARDS)["next"][0]["where"] == "Target: gate 3 yd, from 11 yd."
    assert player_page(report, unit=LengthUnit.METRES)["next"][0]["where"] == "Target: gate 2.7 m, from 10.1 m."


def test_the_preview_is_a_picture_of_each_page(reports: list[SeasonReport]) -> None:
    images = page_images(Template.PLAYER, player_page(reports[0], unit=LengthUnit.YARDS), ppi=40)
    assert [image[:8] for image in images] == [b"\x89PNG\r\n\x1a\n"] * 2


def test_the_fonts_are_small_and_their_licences_stand_beside_them() -> None:
    assert sum(path.stat().st_size for path in FONTS.iterdir()) < 6_000_000
    assert {"OFL.txt", "Apache-2.0.txt"} <= {path.name for path in FONTS.iterdir()}
    assert all((TEMPLATES / template.value).exists() for template in Template)
