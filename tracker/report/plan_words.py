"""The words of a practice plan on paper and on screen.

What the plan says in a sentence of its own (its remarks, what a part is, a federation's heading rule) is English as it
was made; cautions, equipment and changes are told in the reader's language.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

import polars as pl

from tracker.domain.cautions import (
    GOALS,
    GROWTH,
    HEAT,
    LANES,
    LIGHTNING,
    MARKERS,
    PAIN,
    WARM_UP,
    Caution,
    CautionKind,
)
from tracker.domain.practice_plan import Activity, FocalTurn, FootWork
from tracker.domain.setup import Lane
from tracker.domain.setup_changes import ANCHOR_NOTE, BALLS_A_LANE, FLAG_NOTE, EquipmentItem
from tracker.domain.vocabulary import LengthUnit
from tracker.report.glossary import foot_word
from tracker.report.language import _, whole
from tracker.report.wording import counted, date_words, length_words, rate_words

HALF = 0.5


def activity_word(activity: Activity) -> str:
    """What a part of a practice is for."""
    return {
        Activity.WARM_UP: _("Warm-up"),
        Activity.FINISHING: _("Finishing"),
        Activity.GAME: _("Small game"),
    }[activity]


def caution_word(kind: CautionKind) -> str:
    """What a caution is about."""
    return {
        CautionKind.WARM_UP: _("Warm-up"),
        CautionKind.HEADING: _("Heading"),
        CautionKind.GOALS: _("Goals"),
        CautionKind.LANES: _("Lanes"),
        CautionKind.WEATHER: _("Weather"),
        CautionKind.PAIN: _("Pain"),
        CautionKind.GROWTH: _("Growth"),
    }[kind]


def caution_words(caution: Caution) -> str:
    """A caution in a sentence or two; what a federation says about heading stays in its own words."""
    return {
        WARM_UP: _(WARM_UP.text),
        GOALS: _(GOALS.text),
        LANES: _(LANES.text),
        MARKERS: _(MARKERS.text),
        LIGHTNING: _(LIGHTNING.text),
        HEAT: _(HEAT.text),
        PAIN: _(PAIN.text),
        GROWTH: _(GROWTH.text),
    }.get(caution, caution.text.removeprefix("Heading, ").removeprefix("Heading: "))


def equipment_words(item: EquipmentItem) -> str:
    """Something to bring: how many, and what to mind."""
    name = {
        "goals": _("goals"),
        "flags": _("flags"),
        "flat cones": _("flat cones"),
        "balls": _("balls"),
        "bibs": _("bibs"),
    }.get(item.name, item.name)
    note = {
        ANCHOR_NOTE: _(ANCHOR_NOTE),
        FLAG_NOTE: _(FLAG_NOTE),
        "the four corners, and two ball spots a lane": _("the four corners, and two ball spots a lane"),
        f"{BALLS_A_LANE} a lane": _("{balls} a lane").format(balls=BALLS_A_LANE),
        "for the game": _("for the game"),
    }.get(item.note, item.note)
    thing = f"{item.count} {name}"
    return f"{thing}: {note}" if note else thing


def lanes_words(numbers: Sequence[int]) -> str:
    """Lanes by number, within a sentence.

    >>> lanes_words([2]), lanes_words([1, 2, 3])
    ('lane 2', 'lanes 1, 2, 3')
    """
    listed = ", ".join(map(str, numbers))
    return (_("lane {lanes}") if len(numbers) == 1 else _("lanes {lanes}")).format(lanes=listed)


def moves_words(before: Sequence[Lane], now: Sequence[Lane]) -> tuple[str, str]:
    """What is moved before a part and what stays, by the lanes as they are laid out; before the first part all is
    put up."""
    if not before:
        return _("Put up: the corners, the goals, {lanes}.").format(lanes=lanes_words([one.number for one in now])), ""
    places = {one.number: _place(one) for one in before}
    kept = [one.number for one in now if places.get(one.number) == _place(one)]
    moved = [one.number for one in now if one.number not in kept]
    away = sorted({one.number for one in before} - {one.number for one in now})
    if not moved and not away:
        return _("Nothing moves."), ""
    moves = [_("Moves: {lanes}.").format(lanes=lanes_words(moved))] if moved else []
    moves += [_("Away: {lanes}.").format(lanes=lanes_words(away))] if away else []
    stays = _("Stays: the corners, the goals, {lanes}.") if kept else _("Stays: the corners, the goals.")
    return " ".join(moves), stays.format(lanes=lanes_words(kept))


def _place(lane: Lane) -> tuple[object, ...]:
    return lane.kind, lane.spot, lane.posts, lane.flag


def sets_words(sets: Sequence[int]) -> str:
    """The sets of one foot in order.

    >>> sets_words((10, 5)), sets_words((10, 5, 5, 5))
    ('10, 5', '10, 3 × 5')
    """
    runs = [(size, len(list(run))) for size, run in groupby(sets)]
    return ", ".join(f"{size}" if many == 1 else f"{many} × {size}" for size, many in runs)


def foot_work_words(work: FootWork, *, lane_distance_m: float | None, unit: LengthUnit) -> str:
    """What one foot does in a lane; the distance only where it is not the lane's."""
    sets = _("{foot} {sets}").format(foot=foot_word(work.foot), sets=sets_words(work.sets))
    if lane_distance_m is not None and abs(work.distance_m - lane_distance_m) < 0.05:
        return sets
    return _("{sets} from {distance}").format(sets=sets, distance=length_words(work.distance_m, unit))


def turns_words(turns: Sequence[FocalTurn]) -> list[str]:
    """Who watches which lane when, one line for the turns that begin together."""
    return [
        _("Minute {start} to {end}: {watching}").format(
            start=starts_at,
            end=starts_at + turn[0].minutes,
            watching="; ".join(
                _("logger {logger} lane {lane}").format(logger=one.logger, lane=one.lane) for one in turn
            ),
        )
        for starts_at, group in groupby(sorted(turns, key=lambda one: (one.starts_at, one.logger)), _start)
        if (turn := list(group))
    ]


def planned_words(planned: pl.DataFrame) -> list[str]:
    """A season's practices with a plan beside what was logged, from a frame of ``review.plan_against_season``."""
    held = planned.filter(pl.col("logged") > 0)
    strikes = int(held["planned"].sum())
    if not strikes:
        return [_("No practice with a plan has strikes logged, so there is nothing to compare.")]
    lines = [
        _("{practices} with a plan: {planned} planned, {logged} logged.").format(
            practices=counted(held.height, "practice"),
            planned=counted(strikes, "strike"),
            logged=whole(int(held["logged"].sum())),
        ),
        _("Logged as planned, by player, foot and stage: {count}.").format(
            count=rate_words(round((held["share"] * held["planned"]).sum()), strikes)
        ),
        _("Stages planned that were worked at: {count}.").format(
            count=rate_words(int(held["stages_worked"].sum()), int(held["stages_planned"].sum()))
        ),
    ]
    far = [date_words(day) for day in held.filter(pl.col("share") < HALF)["held_on"]]
    if far:
        lines.append(_("Under half as planned: {days}.").format(days=", ".join(far)))
    return [*lines, _("Fewer than planned may mean that nobody wrote them down.")]


def _start(turn: FocalTurn) -> int:
    return turn.starts_at
