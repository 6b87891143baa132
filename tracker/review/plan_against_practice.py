"""What was planned, and what happened: strikes and stages of one practice, and of every practice with a plan."""

from __future__ import annotations

from datetime import date, datetime

import polars as pl

from tracker.domain.practice import Practice
from tracker.domain.squad import Squad
from tracker.review.scope import Scope
from tracker.store import practices as stored_practices
from tracker.store.database import Database
from tracker.store.plans import planned_and_logged


def plan_against_practice(database: Database, practice: Practice) -> pl.DataFrame:
    """One row per player, foot and stage that was planned or logged, in the order of shirts: player, foot, stage,
    planned, watched (of the planned), logged. Empty without a plan.

    Only strikes that were logged are known: fewer than planned may mean that nobody wrote them down.
    """
    found = planned_and_logged(database, practice_id=practice.practice_id)
    return found.select("player", pl.col("foot").cast(pl.String), "stage", "planned", "watched", "logged")


def plan_against_season(database: Database, scope: Scope) -> pl.DataFrame:
    """One row per practice with a plan, by date: held_on, label, planned, logged, share (logged as planned of what was
    planned, 0..1), stages_planned, stages_worked (of the planned), other_stages (worked without a plan).

    A strike counts for ``share`` only with the player, foot and stage it was planned for. Practices to come, and those
    nobody logged, have a share of 0.
    """
    days = scope.strikes
    found = planned_and_logged(database, squad_id=scope.squad_id, first_day=days.first_day, last_day=days.last_day)
    as_planned = pl.min_horizontal("planned", "logged").sum()
    is_planned, is_logged = pl.col("planned") > 0, pl.col("logged") > 0
    stage = pl.col("stage")
    planned_stages = stage.filter(is_planned)
    return (
        found.group_by("practice_id", "held_on", "label", maintain_order=True)
        .agg(
            pl.col("planned", "logged").sum(),
            (as_planned / pl.col("planned").sum()).alias("share"),
            planned_stages.n_unique().cast(pl.Int64).alias("stages_planned"),
            stage.filter(is_logged & stage.is_in(planned_stages.implode()))
            .n_unique()
            .cast(pl.Int64)
            .alias("stages_worked"),
            stage.filter(is_logged & stage.is_not_null() & ~stage.is_in(planned_stages.implode()))
            .n_unique()
            .cast(pl.Int64)
            .alias("other_stages"),
        )
        .drop("practice_id")
    )


def practices_with_plan(database: Database, squad: Squad, *, until: date | None = None) -> list[Practice]:
    """The practices of a squad with a plan, the latest first; those after ``until``, or else today, left out."""
    last_day = until or datetime.now().astimezone().date()
    planned = set(planned_and_logged(database, squad_id=squad.squad_id)["practice_id"].cast(pl.String))
    return [
        one
        for one in stored_practices.practices(database, squad_id=squad.squad_id)
        if str(one.practice_id) in planned and one.held_on <= last_day
    ]
