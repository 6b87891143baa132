"""The words a person reads about numbers: the only place with such prose.

Counts first ("14 of 20"), then the likely range ("likely between 5 and 9 of 10"); never a decimal, a p-value or a rank.
The words are for a coach; a player's foot is *preferred* or *other*.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

import polars as pl

from tracker.domain.ladder import Stage
from tracker.domain.target import METRES_PER_YARD, Target
from tracker.domain.vocabulary import (
    Foot,
    LengthUnit,
    Miss,
    Outcome,
    PreferredFoot,
    ReadinessStatus,
    Surface,
)

TOO_FEW_BELOW, FIRST_LOOK_BELOW, CLEARER_BELOW, STEADY_PRACTICES = 10, 20, 50, 3
"""Strikes below which a rate is not spoken of, is a first look, gets clearer; practices a steady picture needs."""

FARTHEST_FORECAST = 100
"""Strikes to ready beyond which no number is named: it would be a guess."""

TOO_FEW = "too few to say"
_MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


def counted(number: int, thing: str, things: str | None = None) -> str:
    """A number and its noun.

    >>> counted(1, "strike"), counted(1200, "strike"), counted(2, "set of 10", "sets of 10")
    ('1 strike', '1,200 strikes', '2 sets of 10')
    """
    return f"{number:,} {thing if number == 1 else things or thing + 's'}"


def rate_words(on_target: int, attempts: int) -> str:
    """A rate as a natural frequency.

    >>> rate_words(14, 20), rate_words(0, 0)
    ('14 of 20', 'no strikes yet')
    """
    return f"{on_target:,} of {attempts:,}" if attempts else "no strikes yet"


def interval_words(low: float, high: float) -> str:
    """A likely range of a rate, 0..1, in whole strikes of ten.

    >>> interval_words(0.481, 0.855), interval_words(0.62, 0.64), interval_words(0.0, 1.0)
    ('likely between 5 and 9 of 10', 'likely about 6 of 10', 'anywhere from 0 to 10 of 10')
    """
    least, most = _of_ten(low), _of_ten(high)
    if (least, most) == (0, 10):
        return "anywhere from 0 to 10 of 10"
    return f"likely about {least} of 10" if least == most else f"likely between {least} and {most} of 10"


def of_ten_words(low: float, high: float) -> str:
    """A likely range of a rate, 0..1, for a table whose heading says that it is of ten.

    >>> of_ten_words(0.481, 0.855), of_ten_words(0.62, 0.64)
    ('5 to 9', 'about 6')
    """
    least, most = _of_ten(low), _of_ten(high)
    return f"about {least}" if least == most else f"{least} to {most}"


def confidence_words(attempts: int, practices: int) -> str:
    """How sure a picture of so many strikes on so many practices can be.

    >>> [confidence_words(n, 4) for n in (9, 10, 20, 50)]
    ['too few to say', 'first look', 'getting clearer', 'steady picture']
    >>> confidence_words(80, 2)
    'getting clearer'
    """
    if attempts < TOO_FEW_BELOW:
        return TOO_FEW
    if attempts < FIRST_LOOK_BELOW:
        return "first look"
    return "getting clearer" if attempts < CLEARER_BELOW or practices < STEADY_PRACTICES else "steady picture"


def standing_words(*, on_target: int, attempts: int, low: float, high: float, practices: int) -> str:
    """One foot's accuracy in a sentence: count, likely range, how sure.

    >>> standing_words(on_target=14, attempts=20, low=0.481, high=0.855, practices=3)
    '14 of 20 on target, likely between 5 and 9 of 10 (getting clearer).'
    >>> standing_words(on_target=3, attempts=4, low=0.3, high=0.95, practices=1)
    '3 of 4 on target: too few to say.'
    """
    if attempts < TOO_FEW_BELOW:
        return f"{rate_words(on_target, attempts)} on target: {TOO_FEW}." if attempts else "No strikes yet."
    sure = confidence_words(attempts, practices)
    return f"{rate_words(on_target, attempts)} on target, {interval_words(low, high)} ({sure})."


def correlation_note(attempts: int, effective_attempts: float) -> str:
    """Why a range is wider than the count alone would give; empty when it is not.

    >>> correlation_note(60, 41.2), correlation_note(12, 12.0)
    ('Strikes of one day hang together: these 60 tell as much as 41 separate ones.', '')
    """
    worth = round(effective_attempts)
    if worth >= attempts:
        return ""
    return f"Strikes of one day hang together: these {attempts:,} tell as much as {worth:,} separate ones."


def chance_words(chance: float) -> str:
    """A small chance, 0..1, as times out of a round number.

    >>> chance_words(0.10), chance_words(0.0333), chance_words(0.0)
    ('1 time in 10', '1 time in 30', 'never')
    """
    return f"1 time in {round(1 / chance)}" if chance > 0 else "never"


def date_words(day: date | datetime) -> str:
    """A day in words; an instant is told by its local day.

    >>> date_words(date(2026, 3, 12))
    '12 March 2026'
    """
    local = day.astimezone().date() if isinstance(day, datetime) else day
    return f"{local.day} {_MONTHS[local.month - 1]} {local.year}"


def short_date_words(day: date) -> str:
    """A day in few letters, for axes.

    >>> short_date_words(date(2026, 3, 12))
    '12 Mar'
    """
    return f"{day.day} {_MONTHS[day.month - 1][:3]}"


def clock_words(instant: datetime) -> str:
    """The local clock time of an instant, such as 17:42."""
    return f"{instant.astimezone():%H:%M}"


def length_words(metres: float, unit: LengthUnit) -> str:
    """A length in the reader's unit.

    >>> length_words(10.0584, LengthUnit.YARDS), length_words(7.3152, LengthUnit.METRES)
    ('11 yd', '7.3 m')
    """
    return f"{in_unit(metres, unit):g} {unit.value}"


def in_unit(metres: float, unit: LengthUnit) -> float:
    """A length in the reader's unit, rounded to one decimal."""
    return round(metres / METRES_PER_YARD if unit is LengthUnit.YARDS else metres, 1)


def in_metres(length: float, unit: LengthUnit) -> float:
    """A length typed in the reader's unit, in metres."""
    return length * METRES_PER_YARD if unit is LengthUnit.YARDS else length


def unit_words(unit: LengthUnit) -> str:
    """The name of a unit."""
    return "yards" if unit is LengthUnit.YARDS else "metres"


def foot_words(foot: Foot, preferred: PreferredFoot = PreferredFoot.UNKNOWN) -> str:
    """A foot, and whether the player says they prefer it.

    >>> foot_words(Foot.LEFT, PreferredFoot.LEFT), foot_words(Foot.RIGHT, PreferredFoot.LEFT), foot_words(Foot.LEFT)
    ('Left foot (preferred)', 'Right foot (other)', 'Left foot')
    """
    side = f"{foot.value.capitalize()} foot"
    if preferred in (PreferredFoot.BOTH, PreferredFoot.UNKNOWN):
        return side
    return f"{side} ({'preferred' if preferred.value == foot.value else 'other'})"


def preferred_words(preferred: PreferredFoot) -> str:
    """What a player says about their feet."""
    return {PreferredFoot.BOTH: "both feet alike", PreferredFoot.UNKNOWN: "not said"}.get(preferred, preferred.value)


def outcome_words(outcome: Outcome, miss: Miss | None = None) -> str:
    """An outcome with the side of a miss.

    >>> outcome_words(Outcome.OFF_TARGET, Miss.OVER), outcome_words(Outcome.ON_TARGET)
    ('off target, over', 'on target')
    """
    return f"{outcome.value}, {miss.value}" if miss else outcome.value


def what_happened(row: Mapping[str, Any]) -> str:
    """What a row of ``review.logbook.logged`` says happened: one outcome, or the count of a called set."""
    if len(row["strike_ids"]) > 1:
        return f"set of {row['attempts']}, {row['on_target']} on target"
    return outcome_words(Outcome(row["outcome"]), Miss(row["miss"]) if row["miss"] else None)


def logged_words(
    *, player: str, foot: Foot, what: str, stage: str | None, distance: str | None, struck_at: datetime
) -> str:
    """One logged strike or set in a line, such as "Ana, left: on target · Rolling ball, 11 yd · 17:42"."""
    where = ", ".join(part for part in (stage, distance) if part)
    return " · ".join(part for part in (f"{player}, {foot.value}: {what}", where, clock_words(struck_at)) if part)


def context_words(stage: Stage | None, surface: Surface | None, distance_m: float | None, unit: LengthUnit) -> str:
    """What the strikes logged now have in common, such as "Rolling ball, 11 yd, inside"."""
    metres = distance_m if distance_m is not None or stage is None else stage.distance_m
    parts = (
        stage.name if stage else "No stage",
        length_words(metres, unit) if metres is not None else None,
        surface.value if surface else None,
    )
    return ", ".join(part for part in parts if part)


def sets_stored_words(*, sets: int, strikes: int) -> str:
    """What became of called-out sets.

    >>> sets_stored_words(sets=2, strikes=20), sets_stored_words(sets=0, strikes=0)
    ('Stored: 2 sets, 20 strikes.', 'Every field is empty, so nothing was stored.')
    """
    if not sets:
        return "Every field is empty, so nothing was stored."
    return f"Stored: {counted(sets, 'set')}, {counted(strikes, 'strike')}."


def target_words(target: Target, unit: LengthUnit) -> str:
    """A target and its size, inside edge to inside edge."""
    width = length_words(target.width_m, unit)
    return f"gate {width}" if target.height_m is None else f"goal {width} × {length_words(target.height_m, unit)}"


def share_words(share: float) -> str:
    """A rate that a stage names, 0..1, of the smallest round number that tells it.

    >>> share_words(0.7), share_words(0.55)
    ('7 of 10', '11 of 20')
    """
    of = next((of for of in (10, 20) if math.isclose(share * of, round(share * of))), 100)
    return f"{round(share * of)} of {of}"


def of_a_hundred_words(share: float) -> str:
    """A chance, 0..1, as players of a hundred.

    >>> of_a_hundred_words(0.102), of_a_hundred_words(0.002), of_a_hundred_words(0.999), of_a_hundred_words(0.0)
    ('10 of 100', 'fewer than 1 of 100', 'more than 99 of 100', 'none')
    """
    if share <= 0:
        return "none"
    of = round(100 * share)
    if of == 0:
        return "fewer than 1 of 100"
    return "more than 99 of 100" if of == 100 and share < 1 else f"{of} of 100"


def suggestion_words(stage: str | None, status: ReadinessStatus | None) -> str:
    """What the tool said at the time of a decision."""
    return f"{stage} ({status.value})" if stage and status else "nothing yet"


def score_words(score: float, ready_line: float) -> str:
    """A readiness score against its line, rounded so that a score under the line never reads as at it.

    >>> score_words(4.08, 4.12), score_words(4.2, 4.12)
    ('score 4.0 of 4.2', 'score 4.2 of 4.2')
    """
    return f"score {math.floor(score * 10) / 10:.1f} of {math.ceil(ready_line * 10) / 10:.1f}"


def readiness_reason(row: Mapping[str, Any]) -> str:
    """Why a player's foot has its status at a stage, for one row of ``review.readiness``: one or two sentences."""
    reason = {
        ReadinessStatus.GATHERING: _gathering_reason,
        ReadinessStatus.WORKING: _working_reason,
        ReadinessStatus.READY: _ready_reason,
        ReadinessStatus.REVISIT: _revisit_reason,
    }[ReadinessStatus(row["status"])]
    return reason(row)


def with_reasons(board: pl.DataFrame) -> pl.DataFrame:
    """A frame of ``review.readiness`` with a column *reason* added."""
    reasons = [readiness_reason(row) for row in board.iter_rows(named=True)]
    return board.with_columns(pl.Series("reason", reasons, dtype=pl.String))


def _gathering_reason(row: Mapping[str, Any]) -> str:
    if not row["attempts"]:
        return f"Gathering: no strikes at this stage yet; {TOO_FEW_BELOW} are the least."
    return f"Gathering: {counted(row['attempts'], 'strike')} so far; {TOO_FEW_BELOW} are the least."


def _working_reason(row: Mapping[str, Any]) -> str:
    score = score_words(row["score"], row["ready_line"])
    strikes, practices = counted(row["attempts"], "strike"), counted(row["practices"], "practice")
    if row["score"] >= row["ready_line"]:
        return (
            f"Working: {score} after {strikes}, so the ready line is reached, "
            "but by strikes of one practice. Ready needs two practices: look again next time."
        )
    return f"Working: {score} after {strikes} on {practices}; {_still_to_come(row['expected_strikes_to_ready'])}."


def _still_to_come(expected_strikes: float | None) -> str:
    if expected_strikes is None or not math.isfinite(expected_strikes):
        return "at this rate the ready line is still a long way off"
    if expected_strikes > FARTHEST_FORECAST:
        return f"more than {FARTHEST_FORECAST} more strikes at this rate"
    return f"about {counted(max(1, round(expected_strikes)), 'more strike')} at this rate"


def _ready_reason(row: Mapping[str, Any]) -> str:
    if row["became_ready_at"] is None:
        return "Ready: the coach moved this foot on from here."
    return (
        f"Ready since {date_words(row['became_ready_at'])}: a player who is not yet there would get this far "
        f"within {row['horizon']:,} strikes only {chance_words(row['false_ready_risk'])}."
    )


def _revisit_reason(row: Mapping[str, Any]) -> str:
    count = rate_words(row["on_target"], row["attempts"])
    if row["is_passed"]:
        return (
            f"Revisit: since this foot moved on, its strikes here fell back ({count} on target). "
            "A set or two at this stage is worth the time."
        )
    return (
        f"Revisit: since this foot was placed here, {count} were on target, well under what the stage asks. "
        "The stage before suits it better for now."
    )


def _of_ten(rate: float) -> int:
    return math.floor(10 * rate + 0.5)
