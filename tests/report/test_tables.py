"""The tables behind the pictures."""

from __future__ import annotations

from datetime import date

import pytest
from builders import SquadBuilder

from tracker.domain.vocabulary import Dimension, Foot, LengthUnit
from tracker.report import tables
from tracker.review import decisions, logbook
from tracker.review.accuracy import accuracy
from tracker.review.readiness import readiness

GATE = "Still ball through a gate"
DAY = date(2026, 3, 7)


@pytest.fixture
def season(squad: SquadBuilder) -> SquadBuilder:
    """Ana: 14 of 20 left, 4 of 5 right, at the gate on one day; Ben: 10 of 10 right."""
    squad.strikes("Ana", Foot.LEFT, "++++++++++++++------", day=DAY, stage=GATE)
    squad.strikes("Ana", Foot.RIGHT, "++++-", day=DAY, stage=GATE)
    squad.strikes("Ben", Foot.RIGHT, "++++++++++", day=DAY, stage=GATE)
    return squad


def test_the_left_foot_stands_on_the_left_and_an_unused_foot_stays_empty(season: SquadBuilder) -> None:
    by_side = tables.accuracy_by_side(accuracy(season.database, season.scope))
    assert by_side.columns == ["Player", "Left foot", "Right foot"]
    ana, ben = by_side.rows()
    assert ana[1].startswith("14 of 20 on target, likely between")
    assert ana[2] == "4 of 5 on target: too few to say."
    assert ben[1] is None


def test_all_figures_keep_the_plain_count_beside_what_it_counts_as(season: SquadBuilder) -> None:
    table = tables.accuracy_table(accuracy(season.database, season.scope))
    row = table.row(0, named=True)
    assert (row["On target"], row["Practices"]) == ("14 of 20", 1)
    assert 1 <= row["Counts as"] < 20


def test_a_split_by_stage_keeps_its_stage_column(season: SquadBuilder) -> None:
    split = accuracy(season.database, season.scope, by=[Dimension.PLAYER, Dimension.STAGE])
    table = tables.accuracy_table(split, heads=("player", "stage"))
    assert table.columns[:2] == ["Player", "Stage"]
    assert tables.at_stage(split, "Small game").is_empty()
    assert tables.at_stage(split, None).equals(split)


def test_each_foot_has_one_line_on_where_it_stands_now(season: SquadBuilder) -> None:
    board = readiness(season.database, season.scope)
    table = tables.ready_table(tables.current(board))
    assert table["Foot"].to_list() == ["Ana, left", "Ana, right", "Ben, right"]
    assert table["Where it stands, and why"][1].startswith(f"{GATE}. Too few strikes to say: 5 strikes so far")
    left = tables.of_foot(board.filter(player="Ana"), Foot.LEFT)
    assert (tables.current_stage(left), tables.suggested_stage(left)) == (GATE, GATE)


def test_without_strikes_there_is_no_stage_and_the_reason_says_why(season: SquadBuilder) -> None:
    nothing = tables.of_foot(readiness(season.database, season.scope).filter(player="Ben"), Foot.LEFT)
    assert tables.current_stage(nothing) is None
    assert tables.reasons(nothing) == ("Too few strikes to say: none yet; 10 at a stage are the least.", [])
    assert tables.standing_lines(accuracy(season.database, season.scope).clear()) == ["No strikes yet."]


def test_coverage_counts_and_names_who_is_missing(season: SquadBuilder) -> None:
    coverage = logbook.coverage(season.database, season.practice(DAY))
    assert tables.coverage_table(coverage).rows() == [(None, "Ana", 20, 5), (None, "Ben", 0, 10)]
    assert tables.missing_words(coverage) == "No strike yet: Ben (left)."
    season.strikes("Ben", Foot.LEFT, "-", day=DAY)
    assert tables.missing_words(logbook.coverage(season.database, season.practice(DAY))) == (
        "Everyone has strikes with both feet."
    )


def test_a_called_out_set_is_one_line_with_all_its_strikes(squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.LEFT, "++-", day=DAY, stage=GATE, distance_m=10.0584, at_once=True)
    (line, strike_ids), *rest = tables.logged_lines(
        logbook.logged(squad.database, squad.practice(DAY)), unit=LengthUnit.YARDS
    )
    assert not rest
    assert line.startswith(f"Ana, left: set of 3, 2 on target · {GATE}, 11 yd · ")
    assert len(strike_ids) == 3


def test_decisions_are_listed_the_latest_first_with_what_the_tool_said(season: SquadBuilder) -> None:
    ana = season.player("Ana")
    for number, stage in enumerate(season.ladder.stages[1:3]):
        decisions.place(season.database, ana, foot=Foot.LEFT, stage=stage, note=f"note {number}")
    table = tables.placements_table(decisions.placements_of(season.database, ana))
    assert table["Placed at"].to_list() == ["Rolling ball", GATE]
    assert table["Note"].to_list() == ["note 1", "note 0"]
    assert table["The tool said"][1] == f"{GATE} (working)"


def test_the_ladder_is_shown_in_the_readers_unit(squad: SquadBuilder) -> None:
    yards, metres = (tables.ladder_table(squad.ladder, unit=unit) for unit in (LengthUnit.YARDS, LengthUnit.METRES))
    assert yards["From"].to_list() == ["5 yd", "11 yd", "11 yd", "10 yd", "14 yd", "14 yd", "12 yd"]
    assert metres["Target"][4] == "goal 6.4 m × 2.1 m"
    assert yards["Ready"][1] == "8 of 10"
