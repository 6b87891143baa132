"""The group view: how many are done with each stage, and what suits the next practice."""

from __future__ import annotations

from datetime import date

from builders import SquadBuilder

from tracker.domain.vocabulary import Foot
from tracker.review.group import GroupMove, GroupView, group_view
from tracker.review.readiness import readiness

GATE, ROLLING = "Still ball through a gate", "Rolling ball"
FIRST, SECOND = date(2026, 3, 7), date(2026, 3, 14)


def view_of(squad: SquadBuilder) -> GroupView:
    return group_view(readiness(squad.database, squad.scope), ladder=squad.ladder)


def ready(squad: SquadBuilder, player: str, *feet: Foot) -> None:
    for foot in feet:
        for day in (FIRST, SECOND):
            squad.strikes(player, foot, "+" * 15, day=day, stage=GATE)


def working(squad: SquadBuilder, player: str, *feet: Foot) -> None:
    for foot in feet:
        squad.strikes(player, foot, "+-" * 6, day=FIRST, stage=GATE)


def test_without_strikes_nothing_is_suggested(squad: SquadBuilder) -> None:
    view = view_of(squad)
    assert view.move is GroupMove.TOO_FEW
    assert view.stage is None
    assert view.stages["working_left"].sum() == 0


def test_two_thirds_ready_on_both_feet_move_the_group(squad: SquadBuilder) -> None:
    trio = SquadBuilder.start(squad.database, "Trio", Ada="right", Bo="right", Cy="left")
    for name in ("Ada", "Bo"):
        ready(trio, name, *Foot)
    ready(trio, "Cy", Foot.LEFT)
    working(trio, "Cy", Foot.RIGHT)
    view = view_of(trio)
    assert (view.move, view.stage and view.stage.name) == (GroupMove.MOVE, GATE)
    assert view.next_stage is not None
    assert view.next_stage.name == ROLLING
    assert (view.done, view.one_foot, view.not_yet) == (["Ada", "Bo"], [("Cy", Foot.RIGHT)], [])
    assert view.needed == 2
    row = view.stages.row(1, named=True)
    assert (row["done_left"], row["done_right"], row["done_both"]) == (3, 2, 2)
    assert (row["both"], row["left_only"], row["right_only"]) == (["Ada", "Bo"], ["Cy"], [])


def test_one_of_two_is_not_enough(squad: SquadBuilder) -> None:
    ready(squad, "Ana", *Foot)
    working(squad, "Ben", *Foot)
    view = view_of(squad)
    assert view.move is GroupMove.STAY
    assert (view.done, view.not_yet) == (["Ana"], ["Ben"])


def test_a_foot_placed_beyond_a_stage_is_done_with_it(squad: SquadBuilder) -> None:
    working(squad, "Ben", *Foot)
    working(squad, "Ana", Foot.LEFT)
    squad.placed("Ana", Foot.RIGHT, ROLLING, day=SECOND)
    view = view_of(squad)
    assert view.one_foot == [("Ana", Foot.LEFT)]


def test_a_stage_at_which_a_foot_fell_back_is_done_no_more(squad: SquadBuilder) -> None:
    working(squad, "Ben", *Foot)
    for foot in Foot:
        squad.placed("Ana", foot, ROLLING, day=FIRST)
    assert view_of(squad).done == ["Ana"]
    for day in (SECOND, date(2026, 3, 21)):
        squad.strikes("Ana", Foot.RIGHT, "-" * 10, day=day, stage=GATE)
    view = view_of(squad)
    assert (view.done, view.one_foot) == ([], [("Ana", Foot.RIGHT)])
    assert view.stages.row(1, named=True)["left_only"] == ["Ana"]


def test_a_foot_never_struck_is_done_with_nothing(squad: SquadBuilder) -> None:
    ready(squad, "Ana", Foot.LEFT)
    assert view_of(squad).one_foot == [("Ana", Foot.RIGHT)]
    assert view_of(squad).group == 1


def test_at_the_top_there_is_no_next_stage(squad: SquadBuilder) -> None:
    for name in ("Ana", "Ben"):
        for foot in Foot:
            squad.placed(name, foot, squad.stages[-1], day=FIRST)
    view = view_of(squad)
    assert view.move is GroupMove.TOP
    assert view.next_stage is None
