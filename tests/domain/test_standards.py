"""Field, goal, penalty area, ball and heading numbers equal the published ones, each with the page it was read on."""

from __future__ import annotations

import csv
from datetime import date
from operator import attrgetter
from pathlib import Path

import pytest

from tracker.domain.standards import CHECK_YOUR_FEDERATION, Federation, HeadingRule, own_standard
from tracker.domain.standards_file import age_of, ages_of, federations, standard_for
from tracker.errors import RequestError

METRES = {"m": 1.0, "yd": 0.9144, "ft": 0.3048}
PUBLISHED = Path(__file__).parents[1] / "reference" / "age_standards.csv"
with PUBLISHED.open(newline="", encoding="utf-8") as file:
    ROWS = list(csv.DictReader(file))


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
def test_the_number_is_the_published_one(row: dict[str, str]) -> None:
    assert row["source"]
    for age in range(int(row["first_age"]), int(row["last_age"]) + 1):
        standard = standard_for(Federation(row["federation"]), age)
        fact, value, unit = attrgetter(row["fact"])(standard), row["value"], row["unit"]
        match unit:
            case "none":
                assert fact is None
                assert standard.no_penalty_area is not None
            case "words":
                assert fact == value
            case "number":
                assert fact == int(value)
            case "size" | "range":
                assert fact == tuple(map(int, value.split()))
            case "exact m":
                assert fact == float(value)
            case _:
                printed = fact.printed.split(", ")
                assert f"{float(value):g} {unit}" in printed
                if printed[0].endswith(unit):  # the second unit printed is no conversion of the first
                    assert fact.metres == pytest.approx(float(value) * METRES[unit], abs=1e-4)


def test_every_kind_of_number_is_checked_for_every_federation_that_prints_it() -> None:
    checked = {(row["federation"], row["fact"].partition(".")[0]) for row in ROWS}
    for federation in federations():
        for age in ages_of(federation):
            standard = standard_for(federation, age)
            for part in ("field", "goal", "penalty_area", "heading"):
                if getattr(standard, part) is not None:
                    assert (federation.value, part) in checked


@pytest.mark.parametrize("federation", federations(), ids=lambda one: one.name.lower())
def test_every_number_says_where_and_when_it_was_seen(federation: Federation) -> None:
    assert ages_of(federation)
    for age in ages_of(federation):
        standard = standard_for(federation, age)
        parts = (standard.field, standard.goal, standard.penalty_area, standard.ball, standard.heading)
        seen = [part.provenance for part in parts if part is not None]
        assert seen
        assert all(one.text and one.dated and one.seen_on == date(2026, 11, 25) for one in seen)


def test_full_size_metres_and_yards_are_kept_as_printed_and_not_converted() -> None:
    goal = standard_for(Federation.IFAB, 15).goal
    assert goal is not None
    assert (goal.width.metres, goal.width.printed) == (7.32, "7.32 m, 8 yd")
    assert goal.width.metres != pytest.approx(8 * METRES["yd"], abs=1e-4)


def test_an_older_layout_that_clubs_still_print_is_told_not_refused() -> None:
    assert any("14 yd deep" in note for note in standard_for(Federation.US_SOCCER, 10).notes)


def test_us_under_11_plays_nine_a_side_without_heading_and_under_12_with_a_limit() -> None:
    eleven, twelve = (standard_for(Federation.US_SOCCER, age) for age in (11, 12))
    assert eleven.format == twelve.format == "9v9"
    assert eleven.heading is not None
    assert eleven.heading.rule is HeadingRule.NONE
    assert twelve.heading is not None
    assert "15 to 20 headers" in twelve.heading.training


def test_heading_that_no_page_limits_is_left_open() -> None:
    assert standard_for(Federation.US_SOCCER, 15).heading is None
    assert standard_for(Federation.THE_FA, 17).heading is None


def test_an_age_nobody_printed_asks_for_own_values() -> None:
    with pytest.raises(RequestError, match=r"No numbers for U14 by Canada Soccer \(seen: U7 to U12\)\. Set your own"):
        standard_for(Federation.CANADA_SOCCER, 14)
    with pytest.raises(RequestError, match="only the values you set"):
        standard_for(Federation.OWN, 12)


def test_a_club_sets_its_own_values() -> None:
    own = own_standard(
        10,
        set_on=date(2026, 9, 1),
        goal_width_m=4.0,
        goal_height_m=2.0,
        penalty_area_depth_m=9.5,
        field_length_m=50,
        field_width_m=30,
        ball_size=4,
        heading_in_training="No heading until U13.",
    )
    assert own.federation is Federation.OWN
    assert own.goal is not None
    assert own.goal.width.printed == "4 m"
    assert own.penalty_area is not None
    assert own.penalty_area.depth.metres == 9.5
    assert own.heading is not None
    assert own.heading.provenance.text == "set by the club"


@pytest.mark.parametrize("lengths", [{"goal_width_m": 0.0}, {"field_length_m": 50.0}, {"penalty_area_depth_m": -1.0}])
def test_own_values_that_cannot_be_are_refused(lengths: dict[str, float]) -> None:
    with pytest.raises(RequestError):
        own_standard(10, set_on=date(2026, 9, 1), **{"goal_width_m": 4.0, "goal_height_m": 2.0, **lengths})


@pytest.mark.parametrize(("label", "age"), [("U8", 8), ("u12", 12), ("12U", 12), (" 14 ", 14), ("Under 9s", 9)])
def test_an_age_is_read_as_clubs_write_it(label: str, age: int) -> None:
    assert age_of(label) == age


@pytest.mark.parametrize("label", ["U3", "U25", "seniors", ""])
def test_what_is_no_age_is_refused(label: str) -> None:
    with pytest.raises(RequestError, match="no age group"):
        age_of(label)


def test_the_tool_says_to_check_the_federations_current_rules() -> None:
    assert CHECK_YOUR_FEDERATION.startswith("Check your own federation's current rules")
