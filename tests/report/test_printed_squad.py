"""The squad's report for the coach: everyone in the order of shirts, with the figures of the questions."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from io import BytesIO

import polars as pl
import pypdf
import pytest
from builders import SquadBuilder

from tracker.domain.vocabulary import Foot, LengthUnit
from tracker.report.plan_words import planned_words
from tracker.report.printed.engine import Template, pdf
from tracker.report.printed.squad_page import squad_page
from tracker.review import club
from tracker.review.season_report import season_to_report
from tracker.review.squad_report import SquadReport, squad_report
from tracker.store.database import Database


@pytest.fixture(scope="module")
def report(demo: Database) -> SquadReport:
    squad = club.squads(demo)[0]
    return squad_report(demo, squad, season_to_report(demo, squad))


def said(report: SquadReport) -> str:
    pages = pypdf.PdfReader(BytesIO(pdf(Template.SQUAD, squad_page(report, unit=LengthUnit.YARDS)))).pages
    return "\n".join(page.extract_text() for page in pages)


def test_everyone_stands_in_the_order_of_shirts_and_nobody_is_ranked(report: SquadReport, demo: Database) -> None:
    names = [one.display_name for one in club.players(demo, report.squad)]
    rows = [row["name"] for row in squad_page(report, unit=LengthUnit.YARDS)["rows"]]
    assert rows == names
    text = said(report)
    assert [text.index(name) for name in names] == sorted(text.index(name) for name in names)


def test_it_says_where_each_foot_started_and_stands(report: SquadReport) -> None:
    zoe = report.feet.filter(player="Zoë L.")
    assert zoe.select("foot", "start_stage", "end_stage").rows() == [("left", 1, 5), ("right", 2, 7)]
    row = next(row for row in squad_page(report, unit=LengthUnit.YARDS)["rows"] if row["name"] == "Zoë L.")
    assert row["feet"][0] == ["1 to 5", "too few strikes", "4 to 8 of 10: clearly up", "726", "27"]


def test_it_says_who_clearly_changed_and_how_many_ready_calls_to_expect_wrong(report: SquadReport) -> None:
    text = " ".join(said(report).split())
    assert "Clearly up at the same stage and distance: Zoë L. (left)." in text
    assert f"{report.calls.ready} of {report.calls.judged} scores are at ready." in text
    assert "No strike was logged by two people this season" in text


def test_an_agreement_check_is_told_with_its_count(squad: SquadBuilder) -> None:
    season = club.make_season(squad.database, name="s", starts_on=date(2026, 1, 1), ends_on=date(2026, 12, 31))
    for logger, outcomes in (("Tess", "++-+-"), ("Uwe", "++-++")):
        squad.strikes("Ana", Foot.LEFT, outcomes, day=date(2026, 3, 7), stage=squad.stages[0], logger=logger)
    text = " ".join(said(squad_report(squad.database, squad.squad, season)).split())
    assert "7 March 2026: 4 of 5 written down alike." in text


def test_the_season_as_planned_stands_beside_what_was_logged(report: SquadReport) -> None:
    assert "nothing to compare" in planned_words(report.planned)[0]  # no plan was kept in the demo season
    figures = {"label": "", "stages_planned": 3, "other_stages": 0}
    planned = pl.DataFrame(
        [
            {"held_on": date(2026, 3, 7), "planned": 200, "logged": 190, "share": 0.9, "stages_worked": 3, **figures},
            {"held_on": date(2026, 3, 14), "planned": 100, "logged": 60, "share": 0.4, "stages_worked": 2, **figures},
            {"held_on": date(2026, 3, 21), "planned": 100, "logged": 0, "share": 0.0, "stages_worked": 0, **figures},
        ]
    )
    text = " ".join(said(replace(report, planned=planned)).split())
    for line in (
        "2 practices with a plan: 300 strikes planned, 250 logged.",
        "Logged as planned, by player, foot and stage: 220 of 300.",
        "Stages planned that were worked at: 5 of 6.",
        "Under half as planned: 14 March 2026.",
    ):
        assert line in text


def test_a_squad_without_strikes_has_a_report(squad: SquadBuilder) -> None:
    season = club.make_season(squad.database, name="s", starts_on=date(2026, 1, 1), ends_on=date(2026, 12, 31))
    text = said(squad_report(squad.database, squad.squad, season))
    assert "No practice yet" in text
    assert "Ana" in text
