"""Where does the whole group stand, and what suits the next practice?"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import polars as pl

from tracker.domain.ladder import Ladder, Stage
from tracker.domain.vocabulary import Foot, ReadinessStatus

MOVE_FROM_SHARE = 2 / 3
"""Share of the group that must be done with both feet before all move on together (common practice, no source)."""


class GroupMove(StrEnum):
    """What suits the next practice."""

    MOVE = "move the group"
    STAY = "stay"
    TOP = "top of the ladder"
    TOO_FEW = "too few strikes"


@dataclass(frozen=True, kw_only=True, slots=True)
class GroupView:
    """A squad on its ladder.

    A foot is done with a stage when it is ready there or practises a later one, unless its strikes there fell back.
    ``stages`` has one row per stage: stage, position, working_left, working_right (feet that practise it now),
    done_left, done_right, done_both (players), and the same as lists of names, both, left_only, right_only.
    ``stage`` is the one more feet practise than any other, ``next_stage`` the one above it; ``done`` are the players
    done with ``stage`` with both feet, ``one_foot`` with one (and the foot still to come), ``not_yet`` with neither;
    names in the order of shirts.
    """

    stages: pl.DataFrame
    move: GroupMove
    stage: Stage | None
    next_stage: Stage | None
    done: list[str]
    one_foot: list[tuple[str, Foot]]
    not_yet: list[str]

    @property
    def group(self) -> int:
        """How many players the suggestion is about."""
        return len(self.done) + len(self.one_foot) + len(self.not_yet)

    @property
    def feet(self) -> int:
        """How many feet practise a stage now."""
        return int(self.stages.select(pl.sum_horizontal("working_left", "working_right").sum()).item())

    def feet_at(self, stage: Stage) -> int:
        """How many feet practise this stage now."""
        here = self.stages.filter(stage=stage.name)
        return int(here.select(pl.sum_horizontal("working_left", "working_right").sum()).item())

    @property
    def needed(self) -> int:
        """How many of them must be done with both feet before all move on together."""
        return math.ceil(MOVE_FROM_SHARE * self.group)


def group_view(board: pl.DataFrame, *, ladder: Ladder) -> GroupView:
    """The group view of a frame of ``review.readiness`` of one squad.

    A foot without strikes and without a placement practises no stage and is done with none.
    """
    current = board.filter("is_current")
    order = list(dict.fromkeys(current["player"].to_list()))
    done_by = {stage.name: _done_by(board, stage) for stage in ladder.stages}
    rows = [_stage_row(current, stage, order, done_by[stage.name]) for stage in ladder.stages]
    stages = pl.DataFrame(rows, schema=_SCHEMA, orient="row")
    working = stages.with_columns((pl.col("working_left") + pl.col("working_right")).alias("working"))
    if not order:
        return GroupView(
            stages=stages, move=GroupMove.TOO_FEW, stage=None, next_stage=None, done=[], one_foot=[], not_yet=[]
        )
    # Of stages with as many feet the lowest counts: nobody is asked for more than the group can do.
    name = working.sort("working", descending=True, maintain_order=True)["stage"][0]
    stage = ladder.stage_named(name) or ladder.stages[0]
    feet = done_by[stage.name]
    done = [one for one in order if feet[Foot.LEFT] >= {one} and feet[Foot.RIGHT] >= {one}]
    one_foot = [
        (one, foot.opposite) for one in order for foot in Foot if one in feet[foot] and one not in feet[foot.opposite]
    ]
    not_yet = [one for one in order if one not in feet[Foot.LEFT] | feet[Foot.RIGHT]]
    return GroupView(
        stages=stages,
        move=_move(ladder, stage, done=len(done), group=len(order)),
        stage=stage,
        next_stage=ladder.stage_after(stage),
        done=done,
        one_foot=one_foot,
        not_yet=not_yet,
    )


_SCHEMA: dict[str, pl.DataType | type[pl.DataType]] = {
    "stage": pl.String,
    "position": pl.Int64,
    **dict.fromkeys(("working_left", "working_right", "done_left", "done_right", "done_both"), pl.Int64),
    **dict.fromkeys(("both", "left_only", "right_only"), pl.List(pl.String)),
}


def _done_by(board: pl.DataFrame, stage: Stage) -> dict[Foot, set[str]]:
    """The players who are done with a stage, by foot."""
    is_now, is_here = pl.col("is_current"), pl.col("stage_position") == stage.position
    is_ready, fell_back = (pl.col("status") == one.value for one in (ReadinessStatus.READY, ReadinessStatus.REVISIT))
    found = board.filter(is_now & ((is_here & is_ready) | (pl.col("stage_position") > stage.position)))
    back = board.filter(is_here & fell_back)
    return {
        foot: set(found.filter(foot=foot.value)["player"]) - set(back.filter(foot=foot.value)["player"])
        for foot in Foot
    }


def _stage_row(current: pl.DataFrame, stage: Stage, order: list[str], feet: dict[Foot, set[str]]) -> tuple[object, ...]:
    here = current.filter(stage_position=stage.position)
    left, right = feet[Foot.LEFT], feet[Foot.RIGHT]
    return (
        stage.name,
        stage.position,
        *(here.filter(foot=foot.value).height for foot in Foot),
        len(left),
        len(right),
        len(left & right),
        [one for one in order if one in left & right],
        [one for one in order if one in left - right],
        [one for one in order if one in right - left],
    )


def _move(ladder: Ladder, stage: Stage, *, done: int, group: int) -> GroupMove:
    if ladder.stage_after(stage) is None:
        return GroupMove.TOP
    return GroupMove.MOVE if done >= MOVE_FROM_SHARE * group else GroupMove.STAY
