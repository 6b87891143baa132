"""What is looked at stands in the address: shared as a link, kept on reload, carried from page to page."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from builders import SquadBuilder
from hypothesis import given
from hypothesis import strategies as st
from streamlit.testing.v1 import AppTest

import dashboards
from dashboards.ui.filters import FARTHEST, Distances, parsed_day, parsed_distances
from tracker.domain.vocabulary import Foot, LengthUnit, Surface
from tracker.review import club

OpenPage = Callable[[str], AppTest]
Words = Callable[[AppTest], str]
GATE, ROLLING = "Still ball through a gate", "Rolling ball"
APP = Path(dashboards.__file__).parent / "app.py"


@pytest.fixture
def season(squad: SquadBuilder) -> SquadBuilder:
    """Ana's left foot: 7 of 10 at the gate from 8 yd with the laces, 3 of 10 rolling from 12 yd with the inside."""
    first, later = date(2026, 3, 7), date(2026, 3, 14)
    squad.strikes("Ana", Foot.LEFT, "+++++++---", day=first, stage=GATE, surface=Surface.LACES, distance_m=7.3152)
    squad.strikes("Ana", Foot.LEFT, "+++-------", day=later, stage=ROLLING, surface=Surface.INSIDE, distance_m=10.9728)
    return squad


def opened_at(page: str, **address: str) -> AppTest:
    """A page as a new visit opens it from a link."""
    app = AppTest.from_file(APP, default_timeout=60).run()
    app.query_params.update(address)
    app.switch_page(f"screens/{page}.py")
    app.query_params.update(address)
    app.run()
    assert not app.exception
    return app


def warned(app: AppTest) -> list[str]:
    return [one.value for one in app.warning]


@pytest.mark.parametrize(
    "address",
    [
        {"stage": GATE},
        {"surface": "laces"},
        {"distance": "6-9yd"},
        {"distance": "8-8yd"},
        {"distance": "0-8m"},
        {"to": "2026-03-10"},
        {"from": "2026-03-01", "to": "2026-03-07"},
    ],
)
def test_a_link_opens_what_it_names_and_says_that_it_is_filtered(
    open_page: OpenPage, season: SquadBuilder, words: Words, address: dict[str, str]
) -> None:
    shown = words(opened_at("squad", **address))
    assert "7 of 10" in shown
    assert '<td class="words">3 of 10</td>' not in shown
    assert "**Filtered:**" in shown


def test_without_a_filter_nothing_says_so(open_page: OpenPage, season: SquadBuilder, words: Words) -> None:
    assert "Filtered" not in words(open_page("squad"))


@pytest.mark.parametrize(
    ("address", "what"),
    [
        ({"season": "01a21232-0000-7000-8000-000000000000"}, "season"),
        ({"season": "__import__('os')"}, "season"),
        ({"squad": "nobody"}, "squad"),
        ({"stage": "Bicycle kick"}, "stage"),
        ({"surface": "shin"}, "surface"),
        ({"distance": "12-8yd"}, "distance"),
        ({"distance": "near"}, "distance"),
        ({"from": "yesterday"}, "first day"),
        ({"to": "2026-02-30"}, "last day"),
    ],
)
def test_what_a_link_names_that_is_not_there_is_left_out_with_a_note(
    open_page: OpenPage, season: SquadBuilder, words: Words, address: dict[str, str], what: str
) -> None:
    app = opened_at("squad", **address)
    assert warned(app) == [f"The address names a {what} that is not here, so it is left out."]
    assert "10 of 20" in words(app)
    app.run()
    assert warned(app) == []


def test_days_the_wrong_way_round_are_told(open_page: OpenPage, season: SquadBuilder) -> None:
    app = opened_at("squad", **{"from": "2026-03-10", "to": "2026-03-01"})
    assert warned(app) == ["The last day is before the first day, so it is left out."]
    assert "to" not in app.query_params


def test_a_choice_goes_into_the_address_without_a_name_of_a_child(open_page: OpenPage, season: SquadBuilder) -> None:
    later = club.make_season(season.database, name="later", starts_on=date(2026, 3, 10), ends_on=date(2026, 4, 1))
    app = open_page("player")
    app.selectbox(key="season").select(later.season_id).run()
    app.selectbox(key="surface_shown").select(Surface.INSIDE).run()
    app.slider(key="distances_shown:yd").set_value((10, 14)).run()
    app.date_input(key="first_day_shown").set_value(date(2026, 3, 12)).run()
    app.selectbox(key="player_shown").select(season.player("Ben").player_id).run()
    assert app.query_params == {
        "season": str(later.season_id),
        "surface": "inside",
        "distance": "10-14yd",
        "from": "2026-03-12",
        "player": str(season.player("Ben").player_id),
    }


def test_filters_go_along_to_the_other_pages_and_are_taken_off_with_one_press(
    open_page: OpenPage, season: SquadBuilder, words: Words
) -> None:
    app = open_page("squad")
    app.selectbox(key="stage_shown").select(ROLLING).run()
    assert all("stage=Rolling+ball" in link.proto.query_string for link in app.get("page_link")[:3])
    app.switch_page("screens/player.py").run()
    assert app.selectbox(key="stage_shown").value == ROLLING
    assert "3 of 10 on target" in words(app)
    next(button for button in app.button if button.label == "Show everything").click().run()
    assert "10 of 20 on target" in words(app)
    assert "stage" not in app.query_params
    app.switch_page("screens/squad.py").run()
    assert "Filtered" not in words(app)


def test_scores_count_every_strike_whatever_is_filtered(
    open_page: OpenPage, season: SquadBuilder, words: Words
) -> None:
    shown = words(opened_at("squad", surface="inside"))
    assert "Ready scores and the ladder board always count every stage, surface and distance." in shown
    assert "after 10 strikes on 1 practice" in shown
    assert f"{GATE}. Working" in shown


def test_a_filter_that_leaves_nothing_says_so_and_can_be_taken_off(
    open_page: OpenPage, season: SquadBuilder, words: Words
) -> None:
    app = opened_at("squad", surface="heel")
    assert "No strikes here" in app.info[0].value
    assert "**Filtered:** heel" in words(app)


@given(nearest=st.integers(0, 40), farthest=st.integers(0, 40), unit=st.sampled_from(list(LengthUnit)))
def test_distances_are_read_back_as_they_were_written(nearest: int, farthest: int, unit: LengthUnit) -> None:
    span = Distances(nearest=min(nearest, farthest), farthest=max(nearest, farthest), unit=unit)
    assert parsed_distances(str(span)) == span


@given(nearest=st.integers(1, 20), farthest=st.integers(21, 35), unit=st.sampled_from(list(LengthUnit)))
def test_in_the_other_unit_distances_leave_nothing_out_that_they_held(
    nearest: int, farthest: int, unit: LengthUnit
) -> None:
    span = Distances(nearest=nearest, farthest=farthest, unit=unit)
    other = span.in_unit(LengthUnit.METRES if unit is LengthUnit.YARDS else LengthUnit.YARDS)
    assert (other.nearest_m or 0) <= (span.nearest_m or 0) + 0.05
    assert (other.farthest_m or 99) >= (span.farthest_m or 0) - 0.05
    assert other.farthest <= FARTHEST[other.unit] or other.farthest_m is None


@given(text=st.text(max_size=20))
def test_no_text_in_an_address_makes_an_error(text: str) -> None:
    assert parsed_day(text) is None or isinstance(parsed_day(text), date)
    assert parsed_distances(text) is None or isinstance(parsed_distances(text), Distances)


@pytest.mark.parametrize("day", ["1850-01-01", "9999-12-31", "0001-01-01", "tomorrow"])
def test_a_day_no_field_can_show_is_left_out(open_page: OpenPage, season: SquadBuilder, day: str) -> None:
    app = opened_at("squad", **{"from": day})
    assert all(one.value is None for one in app.date_input)
