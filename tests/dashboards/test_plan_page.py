"""The Plan page: a plan from few inputs, changed by hand and checked, kept, printed, and held against what happened."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta

import pytest
from builders import SquadBuilder
from streamlit.testing.v1 import AppTest

from tracker.domain.vocabulary import Foot, LengthUnit
from tracker.plan.kept_plan import keep_plan, kept_plan, squad_plan
from tracker.plan.squad_block import block_of
from tracker.review import club, logbook
from tracker.store.database import Database

OpenPage = Callable[[str], AppTest]
Words = Callable[[AppTest], str]
TODAY = datetime.now().astimezone().date()
GATE = "Still ball through a gate"


@pytest.fixture
def six(database: Database) -> SquadBuilder:
    """Six players, their shirts against the order of their names; one has a name that looks like Markdown."""
    squad = club.make_squad(database, name="Quillhaven U12")
    for shirt, name in enumerate(("Fay", "Eli", "Dua", "Cem", "**Ben**", "Ana"), start=1):
        club.add_player(database, squad, display_name=name, shirt_number=shirt)
    return SquadBuilder(database=database, squad=squad)


def press(app: AppTest, label: str) -> AppTest:
    next(one for one in app.button if one.label == label).click().run()
    assert not app.exception
    return app


def show(app: AppTest, view: str) -> AppTest:
    app.segmented_control(key="plan_view").set_value(view).run()
    assert not app.exception
    return app


def test_without_a_squad_or_players_the_page_says_what_to_do_first(open_page: OpenPage, database: Database) -> None:
    assert "There is no squad yet" in open_page("plan").info[0].value
    club.make_squad(database, name="Reds U12")
    assert "no players yet" in open_page("plan").info[0].value


def test_a_plan_stands_there_without_any_input(open_page: OpenPage, six: SquadBuilder, words: Words) -> None:
    app = open_page("plan")
    assert app.text[0].value == "What do we do in the next practice, and with whom?"
    shown = words(app)
    for word in ("75 minutes: warm-up, 2 parts of finishing, a game.", "Warm-up", "Served volley", "Small game"):
        assert word in shown
    assert "The plan keeps every rule" in shown
    assert "2 goals: anchored to the ground" in shown
    assert "Pain means stop" in shown
    assert "About 2 practices until we know about Fay's" in shown


def test_names_stand_in_the_order_of_shirts_and_nobody_is_ranked(
    open_page: OpenPage, six: SquadBuilder, words: Words
) -> None:
    shown = words(open_page("plan"))
    assert shown.index(">Fay<") < shown.index(">Eli<") < shown.index(">Dua<")
    assert "%" not in "\n".join(one.value for one in open_page("plan").text)


def test_distances_are_in_the_unit_of_the_squad(open_page: OpenPage, six: SquadBuilder, words: Words) -> None:
    assert "from 5 yd" in words(open_page("plan"))
    club.set_length_unit(six.database, LengthUnit.METRES)
    assert "from 5 yd" not in words(open_page("plan"))


def test_too_few_players_or_no_ball_is_said_and_nothing_else_is_shown(open_page: OpenPage, six: SquadBuilder) -> None:
    app = open_page("plan")
    app.number_input(key="plan_balls").set_value(0).run()
    assert [one.value for one in app.warning] == [
        "No plan fits. There is no ball. Two a lane are good; one will do for one lane."
    ]
    assert "Use this plan for the practice" not in [one.label for one in app.button]


def test_only_those_who_are_there_are_planned_for(open_page: OpenPage, six: SquadBuilder) -> None:
    app = open_page("plan")
    there = [six.player(name).player_id for name in ("Ana", "Cem", "Dua")]
    app.button_group(key="plan_present").set_value(there).run()
    assert "3 players: a practice off one set-up is for 4 to 24" in app.warning[0].value


def test_a_federation_brings_its_numbers(open_page: OpenPage, six: SquadBuilder, words: Words) -> None:
    app = open_page("plan")
    app.number_input(key="plan_age").set_value(10).run()
    app.selectbox(key="plan_federation").select("US Soccer").run()
    assert not app.exception
    assert "US Soccer, U10" in words(app)


def test_using_a_plan_makes_the_practice_and_keeps_it(open_page: OpenPage, six: SquadBuilder, words: Words) -> None:
    app = press(open_page("plan"), "Use this plan for the practice")
    assert "Kept for the practice of" in app.success[0].value
    (practice,) = logbook.practices(six.database, six.squad)
    kept = kept_plan(six.database, six.squad, practice)
    assert practice.held_on == TODAY
    assert kept is not None
    app.switch_page("screens/today.py").run()
    assert not app.exception
    assert "The plan of this practice: Served volley" in [one.label for one in app.expander]
    assert "minute 14 to 19" in words(app)


def test_a_day_to_come_can_be_planned(open_page: OpenPage, six: SquadBuilder) -> None:
    app = open_page("plan")
    app.date_input(key="plan_day").set_value(TODAY + timedelta(days=2)).run()
    press(app, "Use this plan for the practice")
    assert [one.held_on for one in logbook.practices(six.database, six.squad)] == [TODAY + timedelta(days=2)]


def test_a_change_by_hand_is_checked_in_sentences_and_taken_back(open_page: OpenPage, six: SquadBuilder) -> None:
    app = open_page("plan")
    lane = next(one for one in app.selectbox if one.label == "Works in")
    lane.select("a new lane, Rolling ball").run()
    app.button(key="move_player").click().run()
    assert not app.exception
    told = [*app.warning, *app.success]
    assert any("Changed by hand" in one.value for one in told)
    sets = next(one for one in app.text_input if one.label.startswith("Sets"))
    sets.set_value("10, 10, 10, 10")
    press(app, "Change the sets of Fay")
    assert "What it no longer keeps:" in app.warning[0].value
    assert "Fay" in app.warning[0].value
    press(app, "Back to the plan of the tool")
    assert not app.warning


def test_sets_that_are_no_numbers_are_refused(open_page: OpenPage, six: SquadBuilder) -> None:
    app = open_page("plan")
    next(one for one in app.text_input if one.label.startswith("Sets")).set_value("ten")
    press(app, "Change the sets of Fay")
    assert "type the strikes of each set" in app.error[0].value


def test_a_name_is_shown_as_it_is(open_page: OpenPage, six: SquadBuilder, words: Words) -> None:
    app = open_page("plan")
    next(one for one in app.selectbox if one.label == "Player").select("**Ben**").run()
    assert not app.exception
    assert r"Move \*\*Ben\*\*" in [one.label for one in app.button]


def test_a_plan_kept_before_is_shown_and_checked_again(open_page: OpenPage, six: SquadBuilder) -> None:
    plan = squad_plan(six.database, six.squad, minutes=60, held_on=TODAY).plan
    assert plan is not None
    keep_plan(six.database, six.squad, plan)
    app = press(open_page("plan"), "Show the plan kept")
    assert any("60 minutes: warm-up" in one.value for one in app.markdown)
    assert "still keeps every rule" in app.success[0].value


def test_the_weeks_ahead_are_there_before_any_choice_and_can_be_chosen(
    open_page: OpenPage, six: SquadBuilder, words: Words
) -> None:
    app = show(open_page("plan"), "weeks")
    assert "Served volley (12)" in words(app)
    assert "Look back on" in words(app)
    app.number_input(key="block_weeks").set_value(6)
    app.number_input(key="block_other_foot").set_value(3)
    press(app, "Keep these weeks")
    assert "Kept: 6 weeks from" in app.success[0].value
    assert block_of(six.database, six.squad, today=TODAY).weeks == 6
    assert "at least a quarter" in words(app)


def test_before_any_plan_the_look_back_says_how_to_get_one(open_page: OpenPage, six: SquadBuilder) -> None:
    app = show(open_page("plan"), "happened")
    assert "No practice that was held has a plan yet" in app.info[0].value
    assert "No strikes yet." in [one.value for one in app.text]


def test_plan_and_practice_stand_side_by_side(open_page: OpenPage, six: SquadBuilder, words: Words) -> None:
    plan = squad_plan(six.database, six.squad, minutes=60, held_on=TODAY).plan
    assert plan is not None
    keep_plan(six.database, six.squad, plan)
    six.strikes("Ana", Foot.LEFT, "+-+-+", day=TODAY, stage="Served volley")
    for week, strikes in enumerate((20, 20, 120), start=1):
        six.strikes("Cem", Foot.LEFT, "+" * strikes, day=TODAY - timedelta(weeks=6 - week), stage=GATE)
    shown = words(show(open_page("plan"), "happened"))
    assert "strikes were planned, 5 were logged." in shown
    assert "Cem: 120 strikes in the week of" in shown
    assert "no accepted limit is known" in shown
