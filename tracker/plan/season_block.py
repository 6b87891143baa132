"""Six to twelve weeks ahead: stages a week, the other-foot block, review dates. Worked out anew from where feet stand.

It reckons how long each question takes to answer at today's rates, and moves a foot on when it should have shown that
it is ready; it forecasts no learning. So it is a first idea, to be asked for again as readiness changes.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, replace
from datetime import date, timedelta

import polars as pl

from tracker.domain.block_choice import LONGEST_BLOCK_WEEKS, OTHER_FOOT_WEEKS, SHORTEST_BLOCK_WEEKS, BlockReview
from tracker.domain.ladder import Ladder, Stage
from tracker.domain.setup import lane_kind
from tracker.domain.vocabulary import Foot, ReadinessStatus
from tracker.errors import RequestError
from tracker.plan.choices import field_for, working_stage
from tracker.plan.lane_work import STRIKE_SECONDS
from tracker.plan.questions import rate_at, strikes_to_ready
from tracker.plan.request import FootPhase, FootStanding, PlanRequest, PresentPlayer
from tracker.plan.timetable import timetable

RECHECK_WEEKS = 4
"""A stage passed is looked at again after so many weeks. Our own choice."""
STAGES_A_WEEK = 3


@dataclass(frozen=True, kw_only=True, slots=True)
class StageInWeek:
    """A stage that feet are reckoned to work at in a week, and how many of them."""

    stage: str
    feet: int


@dataclass(frozen=True, kw_only=True, slots=True)
class BlockWeek:
    """One week: its Monday, the stages most feet work at (the most first), and what is looked back on.

    ``strikes`` are those to expect of one player with both feet in the week's practices.
    """

    number: int
    starts_on: date
    is_past: bool
    phase: FootPhase
    stages: tuple[StageInWeek, ...]
    strikes: int
    review: BlockReview | None
    sentence: str


@dataclass(frozen=True, kw_only=True, slots=True)
class SeasonBlock:
    """The weeks, and the dates on which the block is looked back on."""

    weeks: tuple[BlockWeek, ...]
    reviews: tuple[date, ...]


def season_block(
    request: PlanRequest,
    *,
    starts_on: date,
    weeks: int = OTHER_FOOT_WEEKS,
    practices_a_week: int = 2,
    other_foot_weeks: int = OTHER_FOOT_WEEKS,
) -> SeasonBlock:
    """The block from the week of ``starts_on``, for the players, minutes and equipment of a request, whose ``held_on``
    is today: weeks before it are past and carry no stages.

    Raises RequestError for fewer than 6 or more than 12 weeks, or no practice a week.
    """
    if not SHORTEST_BLOCK_WEEKS <= weeks <= LONGEST_BLOCK_WEEKS:
        raise RequestError(f"A block is {SHORTEST_BLOCK_WEEKS} to {LONGEST_BLOCK_WEEKS} weeks long, not {weeks}.")
    if not 1 <= practices_a_week <= 7:
        raise RequestError(f"A week has 1 to 7 practices, not {practices_a_week}.")
    monday = starts_on - timedelta(days=starts_on.weekday())
    this_monday = request.held_on - timedelta(days=request.held_on.weekday())
    a_week = _strikes_a_practice(request) * practices_a_week
    ladder = request.playable_ladder
    feet = {(player.name, foot): player for player in request.players for foot in Foot}
    made: list[BlockWeek] = []
    for number in range(1, weeks + 1):
        day = monday + timedelta(weeks=number - 1)
        is_past = day < this_monday
        phase = FootPhase.BLOCK if number <= other_foot_weeks else FootPhase.UPKEEP
        stages: tuple[StageInWeek, ...] = ()
        if not is_past:
            stages = _stages_of_week(feet, ladder)
            feet = {key: _a_week_on(player, key[1], ladder, phase, a_week) for key, player in feet.items()}
        made.append(_week(number, day, phase, stages, a_week, review=_review(number, weeks), is_past=is_past))
    return SeasonBlock(
        weeks=tuple(made), reviews=tuple(week.starts_on + timedelta(days=6) for week in made if week.review)
    )


def _strikes_a_practice(request: PlanRequest) -> int:
    """Strikes of one player with both feet, with as many lanes as there are pairs, gates and balls."""
    table, field = timetable(request.minutes), field_for(request)
    lanes = max(1, min(field.lanes or field.goals, request.equipment.lanes_with_balls, len(request.players) // 2))
    return table.blocks * table.block * 60 * lanes // (STRIKE_SECONDS * max(len(request.players), 1))


def _stages_of_week(feet: dict[tuple[str, Foot], PresentPlayer], ladder: Ladder) -> tuple[StageInWeek, ...]:
    count = Counter(_practised(working_stage(player, foot, ladder), ladder).name for (_, foot), player in feet.items())
    return tuple(StageInWeek(stage=name, feet=number) for name, number in count.most_common(STAGES_A_WEEK))


def _practised(stage: Stage, ladder: Ladder) -> Stage:
    """The stage itself, or for a game the one below it: a game ends every practice anyway."""
    while lane_kind(stage) is None and stage.position > 1:
        stage = ladder.stages[stage.position - 2]
    return stage


def _a_week_on(player: PresentPlayer, foot: Foot, ladder: Ladder, phase: FootPhase, a_week: int) -> PresentPlayer:
    """The player after a week's strikes with this foot: moved on when it should have reached the ready line by then."""
    stage, standing = working_stage(player, foot, ladder), player.standing(foot)
    other = phase.other_foot_share
    strikes = a_week * (other if foot is player.other_foot else 1 - other)
    needed = strikes_to_ready(player, foot, stage, ladder)
    if stage.name != standing.stage:  # it was ready, or is to revisit: it starts anew there
        standing = FootStanding(stage=stage.name, pooled_rate=rate_at(player, foot, stage, ladder))
    if needed <= strikes:
        after = replace(standing, status=ReadinessStatus.READY, attempts=standing.attempts + math.floor(strikes))
    else:
        after = replace(
            standing,
            status=ReadinessStatus.WORKING,
            attempts=standing.attempts + math.floor(strikes),
            expected_strikes_to_ready=needed - strikes,
        )
    return replace(player, left=after) if foot is Foot.LEFT else replace(player, right=after)


def _review(number: int, weeks: int) -> BlockReview | None:
    """What is looked back on at the end of a week."""
    if number == weeks:
        return BlockReview.END
    if number == weeks // 2:
        return BlockReview.HALF
    if number % RECHECK_WEEKS == 0:
        return BlockReview.PASSED_AGAIN
    return None


def _week(
    number: int,
    day: date,
    phase: FootPhase,
    stages: tuple[StageInWeek, ...],
    strikes: int,
    *,
    review: BlockReview | None,
    is_past: bool,
) -> BlockWeek:
    share = "at least half" if phase is FootPhase.BLOCK else "at least a quarter"
    listed = ", ".join(f"{one.stage} ({one.feet} {'foot' if one.feet == 1 else 'feet'})" for one in stages)
    sentence = (
        f"Week {number} is over."
        if is_past
        else f"Week {number}: {listed}. About {strikes} strikes a player, {share} of them with the other foot."
    )
    return BlockWeek(
        number=number,
        starts_on=day,
        is_past=is_past,
        phase=phase,
        stages=stages,
        strikes=strikes,
        review=review,
        sentence=sentence,
    )


def block_weeks(block: SeasonBlock) -> pl.DataFrame:
    """One row a week: week (number), starts_on, is_past, is_other_foot, stages ("name (feet)", the most first),
    strikes (to expect of one player), review (a ``BlockReview`` or null)."""
    rows = [
        (
            *(week.number, week.starts_on, week.is_past, week.phase is FootPhase.BLOCK),
            ", ".join(f"{one.stage} ({one.feet})" for one in week.stages),
            *(week.strikes, week.review.value if week.review else None),
        )
        for week in block.weeks
    ]
    schema = {
        "week": pl.Int64,
        "starts_on": pl.Date,
        "is_past": pl.Boolean,
        "is_other_foot": pl.Boolean,
        "stages": pl.String,
        "strikes": pl.Int64,
        "review": pl.String,
    }
    return pl.DataFrame(rows, schema=schema, orient="row")
