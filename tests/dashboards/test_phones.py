"""Phones at the touchline: passes given out on Today and ended on Setup, and strikes that come in while one looks."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime

import pytest
from builders import SquadBuilder
from streamlit.testing.v1 import AppTest

from tracker.domain.vocabulary import Foot
from tracker.review import pad
from tracker.serve.outlet import Outlet
from tracker.serve.process import hold, let_go

OpenPage = Callable[[str], AppTest]
Words = Callable[[AppTest], str]


@pytest.fixture
def practice_today(squad: SquadBuilder) -> Iterator[SquadBuilder]:
    squad.practice(datetime.now().astimezone().date())
    yield squad
    let_go()


def give(app: AppTest, logger: str) -> AppTest:
    app.text_input(key="logger").set_value(logger)
    next(one for one in app.button if one.label == "Give out a pass").click().run()
    assert not app.exception
    return app


def test_a_pass_is_shown_once_as_a_code_and_a_link(
    open_page: OpenPage, practice_today: SquadBuilder, words: Words
) -> None:
    hold(practice_today.database, Outlet(port=8460, lan_names=("192.0.2.7",)))
    app = give(open_page("today"), "Tess")
    (address,) = [one.value for one in app.code]
    assert address.startswith("http://192.0.2.7:8460/pad?practice=")
    token = address.split("#")[1]
    access = pad.access_of(practice_today.database, token)
    assert access
    assert access.logger == "Tess"
    assert len(app.get("image")) == 1
    next(one for one in app.button if one.label == "Done, hide the pass").click().run()
    assert not app.code
    assert token not in words(app)


def test_where_only_this_computer_is_served_the_page_says_how_to_let_phones_in(
    open_page: OpenPage, practice_today: SquadBuilder
) -> None:
    hold(practice_today.database, Outlet(port=8460))
    app = open_page("today")
    assert any("no phone can reach it" in one.value for one in app.info)
    assert app.code[0].value == "strikeladder passcode\nstrikeladder serve --lan --tls"


def test_the_page_with_the_certificate_has_its_own_code(open_page: OpenPage, practice_today: SquadBuilder) -> None:
    hold(
        practice_today.database,
        Outlet(port=8460, lan_names=("192.0.2.7",), certificate_page="http://192.0.2.7:8461/"),
    )
    app = give(open_page("today"), "Tess")
    assert [one.value.split("/pad")[0] for one in app.code] == ["http://192.0.2.7:8461/", "http://192.0.2.7:8460"]
    assert len(app.get("image")) == 2


def test_a_pass_without_a_name_is_refused_in_words(open_page: OpenPage, practice_today: SquadBuilder) -> None:
    app = give(open_page("today"), "  ")
    assert app.error
    assert not app.get("image")


def test_a_pass_is_revoked_on_setup_and_what_it_logged_stays(
    open_page: OpenPage, practice_today: SquadBuilder, words: Words
) -> None:
    practice = practice_today.practice(datetime.now().astimezone().date())
    given = pad.give_pass(practice_today.database, practice, logger="Tess")
    app = open_page("setup")
    next(one for one in app.button if one.label == "Revoke").click().run()
    assert pad.access_of(practice_today.database, given.token) is None
    assert app.success[0].value.startswith("Revoked: Tess")
    assert '<td class="words">revoked</td>' in words(app)
    assert "No pass can be used now" in words(app)


def test_what_phones_log_is_counted_without_a_press(
    open_page: OpenPage, practice_today: SquadBuilder, words: Words
) -> None:
    app = open_page("today")
    assert "Nobody has a strike yet." in words(app)
    practice_today.strikes("Ana", Foot.LEFT, "++-", day=datetime.now().astimezone().date(), logger="Tess")
    app.run()
    assert "No strike yet: Ana (right), Ben." in words(app)


def test_whom_to_watch_comes_with_the_reason(open_page: OpenPage, practice_today: SquadBuilder, words: Words) -> None:
    shown = words(open_page("today"))
    assert "Whom to watch" in shown
    assert "no strikes with the left at this stage yet" in shown
