"""The tally sheet, typed in: rows that add up are stored, all or none, and once."""

from __future__ import annotations

from datetime import date

import pytest
from builders import SquadBuilder

from tracker.domain.vocabulary import Dimension, Foot, Miss
from tracker.errors import RequestError
from tracker.review.accuracy import accuracy
from tracker.review.practice_sheet import (
    PaperFoot,
    PaperRow,
    PracticeSheet,
    faults_of,
    misses_in,
    practice_sheet,
    transcribe,
)
from tracker.store.strikes import count_directions

DAY = date(2026, 3, 7)


@pytest.fixture
def sheet(squad: SquadBuilder) -> PracticeSheet:
    return practice_sheet(squad.database, squad.squad, DAY)


def paper(
    sheet: PracticeSheet,
    player: int,
    *,
    left: tuple[int | None, ...] = (None, None),
    right: tuple[int | None, ...] = (None, None),
    misses: str = "",
    check_sum: int | None = None,
) -> PaperRow:
    feet = (
        PaperFoot(foot=Foot.LEFT, on_target=left, misses=misses_in(misses)),
        PaperFoot(foot=Foot.RIGHT, on_target=right),
    )
    return PaperRow(row=sheet.rows[player], feet=feet, check_sum=check_sum)


def test_each_foot_stands_at_the_stage_it_works_at(squad: SquadBuilder) -> None:
    squad.placed("Ana", Foot.LEFT, "Rolling ball", day=DAY)
    sheet = practice_sheet(squad.database, squad.squad, DAY)
    ana, ben = sheet.rows
    assert (ana.stages[Foot.LEFT].name, ana.stages[Foot.RIGHT].name) == ("Rolling ball", squad.stages[0])
    assert [stage.name for stage in sheet.stages] == [squad.stages[0], "Rolling ball"]
    assert ben.player.display_name == "Ben"


def test_a_typed_in_sheet_counts_as_if_logged(squad: SquadBuilder, sheet: PracticeSheet) -> None:
    rows = [paper(sheet, 0, left=(7, 3), right=(6, None), misses="llo", check_sum=16), paper(sheet, 1)]
    assert transcribe(squad.database, squad.practice(DAY), rows) == 25
    counted = accuracy(squad.database, squad.scope, by=[Dimension.PLAYER, Dimension.FOOT]).rows_by_key("foot")
    assert [row[1:3] for row in counted["left"]] == [(15, 10)]
    assert [row[1:3] for row in counted["right"]] == [(10, 6)]
    sides = count_directions(squad.database, squad.scope.strikes).filter(foot="left")
    assert (sides["missed_left"].sum(), sides["missed_right"].sum()) == (2, 0)


@pytest.mark.parametrize(
    ("row", "fault"),
    [
        ({"left": (11, None)}, "11 on target in a set of 10 cannot be"),
        ({"left": (9, None), "misses": "lr"}, "2 misses noted, but only 1 missed"),
        ({"left": (7, 3), "check_sum": 11}, "add up to 10 on target, but the sheet says 11"),
    ],
)
def test_a_row_that_does_not_add_up_stores_nothing_of_the_sheet(
    squad: SquadBuilder, sheet: PracticeSheet, row: dict[str, object], fault: str
) -> None:
    wrong, right = paper(sheet, 0, **row), paper(sheet, 1, left=(5, None))  # type: ignore[arg-type]
    assert faults_of(right) == []
    with pytest.raises(RequestError, match=fault):
        transcribe(squad.database, squad.practice(DAY), [right, wrong])
    assert accuracy(squad.database, squad.scope).is_empty()


def test_the_same_sheet_is_not_typed_in_twice(squad: SquadBuilder, sheet: PracticeSheet) -> None:
    practice = squad.practice(DAY)
    transcribe(squad.database, practice, [paper(sheet, 0, left=(7, None))])
    with pytest.raises(RequestError, match="typed in before for Ana"):
        transcribe(squad.database, practice, [paper(sheet, 0, left=(7, None)), paper(sheet, 1, left=(4, None))])
    assert transcribe(squad.database, practice, [paper(sheet, 1, left=(4, None))]) == 10


def test_sides_of_misses_are_typed_as_letters() -> None:
    assert misses_in(" LR os") == (Miss.LEFT, Miss.RIGHT, Miss.OVER, Miss.SHORT)
    with pytest.raises(RequestError, match="l, r, o, s"):
        misses_in("x")
