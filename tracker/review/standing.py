"""How the coach's placements cut a player's strikes at a stage into stretches, and where each foot works now."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import UTC, datetime
from enum import Enum
from uuid import UUID

import polars as pl

from tracker.domain.ladder import Ladder
from tracker.domain.practice import Placement
from tracker.domain.squad import Player
from tracker.domain.vocabulary import Foot

LONG_AGO = datetime(1900, 1, 1, tzinfo=UTC)


class Relation(Enum):
    """Where a foot was placed, seen from a stage."""

    UNPLACED = 0
    BELOW = 1
    HERE = 2
    PASSED = 3


@dataclass(frozen=True, kw_only=True, slots=True)
class Stretch:
    """A time in which a foot's relation to a stage stayed the same."""

    player_id: UUID
    foot: Foot
    stage: str
    starts_at: datetime
    relation: Relation


def stretches(ladder: Ladder, players: list[Player], placements: list[Placement]) -> list[Stretch]:
    """Every player's foot at every stage, cut where a placement changed its relation or named the stage again.

    The first stretch begins long ago; a placement at a stage that is no longer in the ladder says nothing here.
    """
    made: dict[tuple[UUID, Foot], list[tuple[datetime, int]]] = defaultdict(list)
    for placement in placements:
        stage = ladder.stage_named(placement.stage)
        if stage is not None:
            made[placement.player_id, placement.foot].append((placement.placed_at, stage.position))
    answer: list[Stretch] = []
    for player in players:
        for foot in Foot:
            for stage in ladder.stages:
                relation = Relation.UNPLACED
                key = {"player_id": player.player_id, "foot": foot, "stage": stage.name}
                answer.append(Stretch(**key, starts_at=LONG_AGO, relation=relation))  # type: ignore[arg-type]
                for placed_at, position in made[player.player_id, foot]:
                    after = _relation(position, stage.position)
                    if after is not relation or after is Relation.HERE:
                        relation = after
                        answer.append(Stretch(**key, starts_at=placed_at, relation=relation))  # type: ignore[arg-type]
    return answer


def _relation(placed: int, stage: int) -> Relation:
    if placed == stage:
        return Relation.HERE
    return Relation.PASSED if placed > stage else Relation.BELOW


def frame_of_stretches(stretches: list[Stretch]) -> pl.DataFrame:
    """One row per stretch: player_id, foot, stage, starts_at, is_here, is_passed, sorted by starts_at."""
    rows = [
        (
            str(one.player_id),
            one.foot.value,
            one.stage,
            one.starts_at,
            one.relation is Relation.HERE,
            one.relation is Relation.PASSED,
        )
        for one in stretches
    ]
    schema: dict[str, pl.DataType | type[pl.DataType]] = {
        "player_id": pl.String,
        "foot": pl.String,
        "stage": pl.String,
        "starts_at": pl.Datetime("us", "UTC"),
        "is_here": pl.Boolean,
        "is_passed": pl.Boolean,
    }
    return pl.DataFrame(rows, schema=schema, orient="row").sort("starts_at", maintain_order=True)
