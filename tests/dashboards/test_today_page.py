"""The Today page: a practice is started, strikes and sets are stored with one press, and taken back with one."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime, timedelta

import pytest
from builders import SquadBuilder
from streamlit.testing.v1 import AppTest

from tracker.domain.practice import Practice
from tracker.domain.vocabulary import Foot, LengthUnit, Miss, Outcome
from tracker.review import club, logbook
from tracker.store.database import Database

OpenPage = Callable[[str], AppTest]
Words = Callable[[AppTest], str]
TODAY = datetime.now().astimezone().date()


@pytest.fixture
def practice(squad: SquadBuilder) -> Practice:
    return squad.practice(TODAY)


def press(app: AppTest, outcome: Outcome, miss: Miss | None = None) -> AppTest:
    app.button(key=f"log:{outcome.value}:{miss}").click().run()
    assert not app.exception
    assert [error.value for error in app.error] == []
    return app


def choose_striker(app: AppTest, squad: SquadBuilder, name: str) -> AppTest:
    app.selectbox(key="striker").select(squad.player(name).player_id).run()
    return app


def stored(squad: SquadBuilder, practice: Practice) -> list[dict[str, object]]:
    return logbook.logged(squad.database, practice).to_dicts()


def counts(squad: SquadBuilder, practice: Practice) -> dict[tuple[str, str], tuple[int, int]]:
    rows = logbook.coverage(squad.database, practice).to_dicts()
    return {(row["player"], row["foot"]): (row["attempts"], row["on_target"]) for row in rows}


def test_without_a_squad_the_page_makes_one(open_page: OpenPage, database: Database) -> None:
    app = open_page("today")
    assert "no squad yet" in app.info[0].value
    app.text_input(key="squad_name").set_value("Reds U12")
    app.button[0].click().run()
    assert [squad.name for squad in club.squads(database)] == ["Reds U12"]
    assert "no players yet" in app.info[0].value


def test_a_squad_without_a_name_is_refused_in_plain_words(open_page: OpenPage, database: Database) -> None:
    app = open_page("today")
    app.button[0].click().run()
    assert not app.exception
    assert "must have 1 to 80 characters" in app.error[0].value
    assert not club.squads(database)


def test_a_squad_without_players_is_sent_to_setup(open_page: OpenPage, database: Database) -> None:
    club.make_squad(database, name="Reds U12")
    app = open_page("today")
    assert "no players yet" in app.info[0].value
    assert app.page_link[-1].value == "Add players on the Setup page"


def test_a_day_without_a_practice_offers_to_start_it(open_page: OpenPage, squad: SquadBuilder) -> None:
    app = open_page("today")
    assert app.date_input(key="practice_day").value == TODAY
    assert "No practice on" in app.info[0].value
    app.button[0].click().run()
    assert [one.held_on for one in logbook.practices(squad.database, squad.squad)] == [TODAY]
    assert "has started" in app.success[0].value


def test_an_earlier_practice_is_picked_by_its_day(open_page: OpenPage, squad: SquadBuilder) -> None:
    day = TODAY - timedelta(days=3)
    earlier = squad.practice(day)
    app = open_page("today")
    app.date_input(key="practice_day").set_value(day).run()
    press(app, Outcome.ON_TARGET)
    assert [row["outcome"] for row in stored(squad, earlier)] == ["on target"]


def test_a_second_practice_of_a_day_is_told_apart_by_its_label(
    open_page: OpenPage, squad: SquadBuilder, practice: Practice
) -> None:
    app = open_page("today")
    app.text_input(key="practice_label").set_value("evening")
    app.button(key="FormSubmitter:second_practice-Start it").click().run()
    press(app, Outcome.ON_TARGET)
    evening = next(one for one in logbook.practices(squad.database, squad.squad) if one.label == "evening")
    assert len(stored(squad, evening)) == 1
    assert not stored(squad, practice)


def test_one_press_on_an_outcome_stores_a_strike(open_page: OpenPage, squad: SquadBuilder, practice: Practice) -> None:
    app = press(open_page("today"), Outcome.ON_TARGET)
    (row,) = stored(squad, practice)
    assert (row["player"], row["foot"], row["stage"], row["outcome"]) == ("Ana", "left", "Served volley", "on target")
    assert row["distance_m"] == pytest.approx(squad.ladder.stages[0].distance_m)
    assert app.success[0].value == "Stored: Ana, left foot, on target."


def test_the_context_stays_put_between_strikes(open_page: OpenPage, squad: SquadBuilder, practice: Practice) -> None:
    app = choose_striker(open_page("today"), squad, "Ben")
    app.get("segmented_control")[0].set_value(Foot.RIGHT).run()
    app.selectbox(key="stage").select("Rolling ball").run()
    app.selectbox(key="surface").select("inside").run()
    for outcome in (Outcome.ON_TARGET, Outcome.OFF_TARGET, Outcome.ON_TARGET):
        press(app, outcome)
    rows = stored(squad, practice)
    assert {(row["player"], row["foot"], row["stage"], row["surface"]) for row in rows} == {
        ("Ben", "right", "Rolling ball", "inside")
    }
    assert counts(squad, practice)["Ben", "right"] == (3, 2)


def test_the_context_is_still_there_after_a_look_at_another_page(
    open_page: OpenPage, squad: SquadBuilder, practice: Practice
) -> None:
    app = choose_striker(open_page("today"), squad, "Ben")
    app.selectbox(key="stage").select("Rolling ball").run()
    app.switch_page("screens/squad.py").run()
    app.switch_page("screens/today.py").run()
    press(app, Outcome.ON_TARGET)
    assert [(row["player"], row["stage"]) for row in stored(squad, practice)] == [("Ben", "Rolling ball")]


@pytest.mark.parametrize("miss", list(Miss))
def test_a_press_on_a_side_stores_the_miss_with_it(
    open_page: OpenPage, squad: SquadBuilder, practice: Practice, miss: Miss
) -> None:
    press(open_page("today"), Outcome.OFF_TARGET, miss)
    (row,) = stored(squad, practice)
    assert (row["outcome"], row["miss"]) == ("off target", miss.value)


def test_a_blocked_strike_counts_neither_way(open_page: OpenPage, squad: SquadBuilder, practice: Practice) -> None:
    press(open_page("today"), Outcome.BLOCKED)
    assert counts(squad, practice)["Ana", "left"] == (0, 0)


def test_a_distance_typed_in_yards_is_stored_in_metres(
    open_page: OpenPage, squad: SquadBuilder, practice: Practice
) -> None:
    app = open_page("today")
    app.number_input(key="distance:Served volley").set_value(20.0).run()
    press(app, Outcome.ON_TARGET)
    assert stored(squad, practice)[0]["distance_m"] == pytest.approx(18.288)


def test_a_distance_typed_in_metres_stays_as_it_is(
    open_page: OpenPage, squad: SquadBuilder, practice: Practice
) -> None:
    club.set_length_unit(squad.database, LengthUnit.METRES)
    app = open_page("today")
    app.number_input(key="distance:Served volley").set_value(6.0).run()
    press(app, Outcome.ON_TARGET)
    assert stored(squad, practice)[0]["distance_m"] == pytest.approx(6.0)


def test_strikes_without_a_stage_are_possible(open_page: OpenPage, squad: SquadBuilder, practice: Practice) -> None:
    app = open_page("today")
    app.selectbox(key="stage").select("").run()
    press(app, Outcome.ON_TARGET)
    assert (stored(squad, practice)[0]["stage"], stored(squad, practice)[0]["distance_m"]) == (None, None)


def test_called_out_sets_are_stored_together_and_the_fields_empty_again(
    open_page: OpenPage, squad: SquadBuilder, practice: Practice
) -> None:
    app = open_page("today")
    fields = {name: squad.player(name).player_id for name in ("Ana", "Ben")}
    app.number_input(key=f"called:{fields['Ana']}:left").set_value(7)
    app.number_input(key=f"called:{fields['Ana']}:right").set_value(0)
    app.number_input(key=f"called:{fields['Ben']}:right").set_value(10)
    app.button(key="FormSubmitter:called_sets-Store these sets").click().run()
    assert app.success[0].value == "Stored: 3 sets, 30 strikes."
    assert counts(squad, practice) == {
        ("Ana", "left"): (10, 7),
        ("Ana", "right"): (10, 0),
        ("Ben", "left"): (0, 0),
        ("Ben", "right"): (10, 10),
    }
    assert app.number_input(key=f"called:{fields['Ana']}:left").value is None


def test_the_strikes_of_a_set_are_those_of_the_stage_until_changed(
    open_page: OpenPage, squad: SquadBuilder, practice: Practice
) -> None:
    app = open_page("today")
    assert app.number_input(key="set_size:Served volley").value == 10
    app.number_input(key="set_size:Served volley").set_value(5).run()
    app.number_input(key=f"called:{squad.player('Ana').player_id}:left").set_value(4)
    app.button(key="FormSubmitter:called_sets-Store these sets").click().run()
    assert counts(squad, practice)["Ana", "left"] == (5, 4)


def test_a_set_that_cannot_be_stores_nothing_and_leaves_the_fields(
    open_page: OpenPage, squad: SquadBuilder, practice: Practice
) -> None:
    app = open_page("today")
    ana, ben = (squad.player(name).player_id for name in ("Ana", "Ben"))
    app.number_input(key=f"called:{ana}:left").set_value(12)
    app.number_input(key=f"called:{ben}:left").set_value(3)
    app.button(key="FormSubmitter:called_sets-Store these sets").click().run()
    assert "12 on target of 10 strikes cannot be" in app.error[0].value
    assert not stored(squad, practice)
    assert app.number_input(key=f"called:{ben}:left").value == 3


def test_an_empty_grid_says_so(open_page: OpenPage, practice: Practice) -> None:
    app = open_page("today")
    app.button(key="FormSubmitter:called_sets-Store these sets").click().run()
    assert app.success[0].value == "Every field is empty, so nothing was stored."


def test_undo_takes_back_a_strike_or_a_whole_set(open_page: OpenPage, squad: SquadBuilder, practice: Practice) -> None:
    squad.strikes("Ben", Foot.LEFT, "+++-------", day=TODAY, at_once=True)
    app = press(open_page("today"), Outcome.ON_TARGET)
    undo = [button for button in app.button if button.label == "Undo"]
    undo[0].click().run()
    undo = [button for button in app.button if button.label == "Undo"]
    undo[0].click().run()
    assert set(counts(squad, practice).values()) == {(0, 0)}
    assert "Undone, " in app.success[0].value


def test_who_has_no_strike_yet_is_named_with_the_foot(
    open_page: OpenPage, squad: SquadBuilder, practice: Practice, words: Words
) -> None:
    app = open_page("today")
    assert "Nobody has a strike yet." in words(app)
    press(app, Outcome.ON_TARGET)
    assert "No strike yet: Ana (right), Ben." in words(app)


def test_the_page_counts_and_shows_no_rates(
    open_page: OpenPage, squad: SquadBuilder, practice: Practice, words: Words
) -> None:
    squad.strikes("Ana", Foot.LEFT, "++++++----", day=TODAY)
    shown = words(open_page("today"))
    assert "6 of 10" not in shown
    assert "%" not in shown.replace("100%", "").replace("50%", "")


def test_on_target_and_the_cautions_of_the_stage_are_explained(
    open_page: OpenPage, practice: Practice, words: Words
) -> None:
    shown = words(open_page("today"))
    assert "On target: the whole ball goes through the gate" in shown
    assert "no heading of served balls" in shown


def test_a_day_to_come_cannot_be_picked(open_page: OpenPage, squad: SquadBuilder) -> None:
    assert open_page("today").date_input(key="practice_day").max <= date.today()  # noqa: DTZ011
