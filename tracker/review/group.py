"""Where does the whole group stand, and what suits the next practice?"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import polars as pl

from tracker.domain.ladder import Ladder, Stage
from tracker.domain.vocabulary import Foot, ReadinessStatus

MOVE_FROM_SHARE = 2 / 3
"""Share of the group that must be ready with both feet before all move on together (common practice, no source)."""


class GroupMove(StrEnum):
    """What suits the next practice."""

    MOVE = "move the group"
    STAY = "stay"
    TOP = "top of the ladder"
    TOO_FEW = "too few strikes"


@dataclass(frozen=True, kw_only=True, slots=True)
class GroupView:
    """A squad on its ladder.

    ``stages`` has one row per stage: stage, position, working_left, working_right (feet that work there now),
    ready_left, ready_right, ready_both (players through it: ready there, or placed beyond it), and the same as lists
    of names, both, left_only, right_only. ``stage`` is where most feet work now, ``next_stage`` the one above it;
    ``ready`` are the players through ``stage`` with both feet, ``one_foot`` with one (and the foot still to come),
    ``not_yet`` with neither; names in the order of shirts.
    """

    stages: pl.DataFrame
    move: GroupMove
    stage: Stage | None
    next_stage: Stage | None
    ready: list[str]
    one_foot: list[tuple[str, Foot]]
    not_yet: list[str]

    @property
    def group(self) -> int:
        """How many players the suggestion is about."""
        return len(self.ready) + len(self.one_foot) + len(self.not_yet)


def group_view(board: pl.DataFrame, *, ladder: Ladder) -> GroupView:
    """The group view of a frame of ``review.readiness`` of one squad.

    A foot without strikes and without a placement has no stage and
    is through none.
    """
    current = board.filter("is_current")
    order = list(dict.fromkeys(current["player"].to_list()))
    through = {stage.name: _through(current, stage) for stage in ladder.stages}
    rows = [_stage_row(current, stage, order, through[stage.name]) for stage in ladder.stages]
    stages = pl.DataFrame(rows, schema=_SCHEMA, orient="row")
    working = stages.with_columns((pl.col("working_left") + pl.col("working_right")).alias("working"))
    if not order:
        return GroupView(
            stages=stages, move=GroupMove.TOO_FEW, stage=None, next_stage=None, ready=[], one_foot=[], not_yet=[]
        )
    # Of stages with as many feet the lowest counts: nobody is asked for more than the group can do.
    name = working.sort("working", descending=True, maintain_order=True)["stage"][0]
    stage = ladder.stage_named(name) or ladder.stages[0]
    feet = through[stage.name]
    ready = [one for one in order if feet[Foot.LEFT] >= {one} and feet[Foot.RIGHT] >= {one}]
    one_foot = [
        (one, foot.opposite) for one in order for foot in Foot if one in feet[foot] and one not in feet[foot.opposite]
    ]
    not_yet = [one for one in order if one not in feet[Foot.LEFT] | feet[Foot.RIGHT]]
    return GroupView(
        stages=stages,
        move=_move(ladder, stage, ready=len(ready), group=len(order)),
        stage=stage,
        next_stage=ladder.stage_after(stage),
        ready=ready,
        one_foot=one_foot,
        not_yet=not_yet,
    )


_SCHEMA: dict[str, pl.DataType | type[pl.DataType]] = {
    "stage": pl.String,
    "position": pl.Int64,
    **dict.fromkeys(("working_left", "working_right", "ready_left", "ready_right", "ready_both"), pl.Int64),
    **dict.fromkeys(("both", "left_only", "right_only"), pl.List(pl.String)),
}


def _through(current: pl.DataFrame, stage: Stage) -> dict[Foot, set[str]]:
    """The players through a stage, by foot."""
    is_ready = (pl.col("stage_position") == stage.position) & (pl.col("status") == ReadinessStatus.READY.value)
    found = current.filter(is_ready | (pl.col("stage_position") > stage.position))
    return {foot: set(found.filter(foot=foot.value)["player"]) for foot in Foot}


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


def _move(ladder: Ladder, stage: Stage, *, ready: int, group: int) -> GroupMove:
    if ladder.stage_after(stage) is None:
        return GroupMove.TOP
    return GroupMove.MOVE if ready >= MOVE_FROM_SHARE * group else GroupMove.STAY
