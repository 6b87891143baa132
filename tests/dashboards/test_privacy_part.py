"""Setup › Children's data and Health, and what reading reports leaves in the audit log."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import pytest
from builders import SquadBuilder
from streamlit.testing.v1 import AppTest

from tracker.domain.vocabulary import Foot
from tracker.review import audit, club
from tracker.review.decisions import place
from tracker.review.retention import retention_months
from tracker.store.database import Database

OpenPage = Callable[[str], AppTest]
Words = Callable[[AppTest], str]
DAY = date(2026, 3, 7)


@pytest.fixture
def records(squad: SquadBuilder) -> SquadBuilder:
    club.make_season(squad.database, name="2025/26", starts_on=date(2025, 8, 1), ends_on=date(2026, 7, 31))
    squad.strikes("Ana", Foot.LEFT, "+-+", day=DAY)
    place(squad.database, squad.player("Ben"), foot=Foot.LEFT, stage=squad.ladder.stages[0], note="as good as Ana")
    return squad


def press(app: AppTest, label: str) -> AppTest:
    next(button for button in app.button if button.label == label).click().run()
    assert not app.exception
    return app


def names(squad: SquadBuilder) -> list[str]:
    return [one.display_name for one in club.players(squad.database, squad.squad)]


def test_what_is_kept_of_a_player_and_where_they_are_named_is_shown(
    open_page: OpenPage, words: Words, records: SquadBuilder
) -> None:
    app = open_page("setup")
    app.selectbox(key="player_private").set_value(records.player("Ana").player_id).run()
    assert "Kept of Ana: 3 strikes; placements: 0; reports with your words: 0." in words(app)
    assert "as good as Ana" in words(app)


def test_a_player_is_forgotten_only_when_the_name_is_typed(open_page: OpenPage, records: SquadBuilder) -> None:
    app = open_page("setup")
    app.selectbox(key="player_private").set_value(records.player("Ana").player_id).run()
    press(app, "Forget for good")
    assert app.error[0].value == "Nothing was changed: type the name exactly as it is shown."
    assert names(records) == ["Ana", "Ben"]
    app.text_input(key="name_forgotten").set_value("Ana")
    press(app, "Forget for good")
    assert app.success[0].value == "Ana is forgotten, with 3 strikes."
    assert names(records) == ["Ben"]
    assert audit.entries(records.database)["what"].to_list() == ["forget"]


def test_the_numbers_may_stay(open_page: OpenPage, records: SquadBuilder) -> None:
    app = open_page("setup")
    app.selectbox(key="player_private").set_value(records.player("Ana").player_id).run()
    app.checkbox(key="keep_numbers").set_value(True)
    app.text_input(key="name_forgotten").set_value("Ana")
    press(app, "Forget for good")
    assert app.success[0].value == "Ana is forgotten; kept without the name, as Former player 1: 3 strikes."


def test_the_rule_is_set_and_taken_back(open_page: OpenPage, words: Words, squad: SquadBuilder) -> None:
    app = open_page("setup")
    assert "No rule is set" in words(app)
    app.number_input(key="retention_months").set_value(18)
    press(app, "Set this rule")
    assert retention_months(squad.database) == 18
    assert "Names are kept 18 months after a season ends" in words(app)
    press(app, "Take the rule back")
    assert retention_months(squad.database) is None


def test_looking_at_a_report_is_noted_once_in_a_visit(open_page: OpenPage, records: SquadBuilder) -> None:
    app = open_page("reports")
    app.run()
    app.run()
    log = audit.entries(records.database, player=records.player("Ana"))
    assert log.select("what", "detail").rows() == [("report read", "season 2025/26")]


def test_making_the_reports_is_noted_for_each_player(open_page: OpenPage, records: SquadBuilder) -> None:
    app = open_page("reports")
    press(app, "Make the reports")
    log = audit.entries(records.database)
    assert log.filter(log["what"] == "report written")["player"].sort().to_list() == ["Ana", "Ben"]


def test_health_says_how_the_records_are(open_page: OpenPage, words: Words, database: Database) -> None:
    SquadBuilder.start(database, "Quillhaven U12")
    shown = words(open_page("setup"))
    for expected in ("File of the records", "Last backup", "none yet", "Deliveries that wait", "list_settings"):
        assert expected in shown
