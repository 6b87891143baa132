"""Scores that go on from what was known say exactly what counting from the first strike again would say."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta

from builders import SquadBuilder
from hypothesis import given, settings
from hypothesis import strategies as st
from polars.testing import assert_frame_equal

from tracker.domain.strike import Strike
from tracker.domain.vocabulary import Foot
from tracker.review import decisions, scored
from tracker.review.logbook import undo
from tracker.review.readiness import readiness
from tracker.review.scope import Scope, stage_named
from tracker.store.database import Database

FIRST = date(2026, 1, 3)


@dataclass(frozen=True, kw_only=True, slots=True)
class Run:
    """A run of strikes of one player: on which day (of thirty), with which foot, at which stage, from how far."""

    player: str
    foot: Foot
    stage: int
    day: int
    outcomes: str
    distance_m: float | None
    at_once: bool


RUNS = st.builds(
    Run,
    player=st.sampled_from(["Ana", "Ben"]),
    foot=st.sampled_from(Foot),
    stage=st.integers(0, 2),
    day=st.integers(0, 30),
    outcomes=st.text("++++-b", min_size=1, max_size=12),
    distance_m=st.sampled_from([None, 6.0, 11.0]),
    at_once=st.booleans(),
)


def struck(squad: SquadBuilder, run: Run) -> list[Strike]:
    return squad.strikes(
        run.player,
        run.foot,
        run.outcomes,
        day=FIRST + timedelta(days=run.day),
        stage=squad.stages[run.stage],
        distance_m=run.distance_m,
        target_width_m=None if run.distance_m is None else 2.7,
        at_once=run.at_once,
    )


def anew(squad: SquadBuilder, scope: Scope) -> None:
    """The board of now, and that of a process that has seen nothing yet, are the same."""
    kept = readiness(squad.database, scope)
    scored._latest.cache_clear()
    assert_frame_equal(kept, readiness(squad.database, scope), check_exact=True)


@settings(max_examples=25, deadline=None)
@given(runs=st.lists(RUNS, min_size=2, max_size=12), in_order=st.booleans(), placed_on=st.integers(0, 30))
def test_looking_after_every_run_ends_where_one_look_at_the_end_does(
    runs: list[Run],
    in_order: bool,  # noqa: FBT001
    placed_on: int,
) -> None:
    with Database.open(None) as database:
        squad = SquadBuilder.start(database, "U12", Ana="right", Ben="left")
        squad.placed("Ana", Foot.LEFT, squad.stages[1], day=FIRST + timedelta(days=placed_on))
        for run in sorted(runs, key=lambda one: one.day) if in_order else runs:
            struck(squad, run)
            readiness(database, Scope())
            readiness(database, squad.scope)
        anew(squad, Scope())
        anew(squad, squad.scope)


def test_a_later_practice_is_read_alone(squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.LEFT, "+" * 12, day=FIRST, stage=squad.stages[0])
    readiness(squad.database, squad.scope)
    known = _kept(squad)
    squad.strikes("Ana", Foot.LEFT, "+" * 12, day=FIRST + timedelta(days=7), stage=squad.stages[0])
    later = scored._read(squad.database, squad.scope, known, known.rules, after_row=known.seen.last_row)
    assert later.strikes.sum() == 12
    anew(squad, squad.scope)


def test_a_correction_of_an_old_strike_counts(squad: SquadBuilder) -> None:
    made = squad.strikes("Ana", Foot.LEFT, "++--++", day=FIRST, stage=squad.stages[0])
    readiness(squad.database, squad.scope)
    undo(squad.database, [made[0].strike_id])
    squad.strikes("Ana", Foot.LEFT, "+", day=FIRST + timedelta(days=7), stage=squad.stages[0])
    found = readiness(squad.database, squad.scope).filter(player="Ana", foot="left", stage=squad.stages[0])
    assert found["attempts"].to_list() == [6]
    anew(squad, squad.scope)


def test_a_strike_that_arrives_late_takes_its_place_in_time(squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.LEFT, "++++", day=FIRST + timedelta(days=7), stage=squad.stages[0])
    readiness(squad.database, squad.scope)
    squad.strikes("Ana", Foot.LEFT, "---", day=FIRST, stage=squad.stages[0])
    anew(squad, squad.scope)


def test_a_placement_begins_anew(squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.LEFT, "+" * 9, day=FIRST, stage=squad.stages[0])
    readiness(squad.database, squad.scope)
    decisions.place(
        squad.database, squad.player("Ana"), foot=Foot.LEFT, stage=stage_named(squad.ladder, squad.stages[0])
    )
    anew(squad, squad.scope)


def _kept(squad: SquadBuilder) -> scored.Known:
    [known] = scored._latest(squad.database, replace(squad.scope.every_strike, squad=None), (squad.squad.squad_id,))
    return known
