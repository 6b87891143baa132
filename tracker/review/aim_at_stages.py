"""What does a foot's aim promise at the stage it works at, and at the next one?"""

from __future__ import annotations

from dataclasses import dataclass

import polars as pl

from tracker.domain.ladder import Stage
from tracker.domain.vocabulary import Foot
from tracker.errors import RequestError
from tracker.review.aim import aim
from tracker.review.club import ladder_of
from tracker.review.readiness import readiness
from tracker.review.scope import Scope
from tracker.store.database import Database


@dataclass(frozen=True, kw_only=True, slots=True)
class AimAtStages:
    """The aim of one foot and what it promises.

    ``aim`` is the foot's row of ``review.aim`` (empty without strikes of known direction); ``windows`` one row per
    target looked at, now first: stage, is_next, half_angle_deg, predicted_rate, predicted_low, predicted_high.
    """

    foot: Foot
    aim: pl.DataFrame
    windows: pl.DataFrame

    @property
    def has_wedge(self) -> bool:
        """Whether bias and spread are known well enough to be drawn."""
        return bool(self.aim.height and self.aim["spread_deg"][0])


def aim_at_stages(database: Database, scope: Scope) -> list[AimAtStages]:
    """The aim of both feet of a player, left first, at the stage each works at now and the next one up.

    Raises RequestError when the scope names no squad or no player.
    """
    if scope.squad is None or scope.player is None:
        raise RequestError("Say which player.")
    ladder = ladder_of(database, scope.squad)
    board = readiness(database, scope).filter("is_current")
    found = aim(database, scope)
    answer = []
    for foot in Foot:
        name = next(iter(board.filter(foot=foot.value)["stage"]), ladder.stages[0].name)
        now = ladder.stage_named(name) or ladder.stages[0]
        stages = [one for one in (now, ladder.stage_after(now)) if one]
        windows = pl.DataFrame(
            [_window(database, scope, foot, one, is_next=place > 0) for place, one in enumerate(stages)],
            schema=_SCHEMA,
            orient="row",
        )
        answer.append(AimAtStages(foot=foot, aim=found.filter(foot=foot.value), windows=windows))
    return answer


_SCHEMA: dict[str, pl.DataType | type[pl.DataType]] = {
    "stage": pl.String,
    "is_next": pl.Boolean,
    "half_angle_deg": pl.Float64,
    "predicted_rate": pl.Float64,
    "predicted_low": pl.Float64,
    "predicted_high": pl.Float64,
}


def _window(database: Database, scope: Scope, foot: Foot, stage: Stage, *, is_next: bool) -> tuple[object, ...]:
    there = aim(database, scope, target_width_m=stage.target.width_m, distance_m=stage.distance_m)
    row = there.filter(foot=foot.value).select("predicted_rate", "predicted_low", "predicted_high")
    predicted = row.row(0) if row.height else (None, None, None)
    return (stage.name, is_next, stage.angular_width_deg / 2, *predicted)
