"""The words a person reads about numbers: the only place with such prose.

Counts first ("14 of 20"), then the likely range ("likely between 5 and 9 of 10"); never a decimal, a p-value or a rank.
The words are for a coach; a player's foot is *preferred* or *other*.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from tracker.domain.ladder import Stage
from tracker.domain.target import METRES_PER_YARD, Target
from tracker.domain.vocabulary import Foot, LengthUnit, Miss, Outcome, ReadinessStatus, Surface
from tracker.report.glossary import (
    TOO_FEW_BELOW,
    confidence_words,
    foot_word,
    outcome_words,
    status_word,
    surface_words,
    too_few,
)
from tracker.report.language import _, long_date, ngettext, pgettext, short_date, whole
from tracker.review.scope import Scope


def counted(number: int, thing: str, things: str | None = None) -> str:
    """A number and its noun.

    >>> counted(1, "strike"), counted(1200, "strike"), counted(2, "set of 10", "sets of 10")
    ('1 strike', '1,200 strikes', '2 sets of 10')
    """
    singular, plural = f"{{number}} {thing}", f"{{number}} {things or thing + 's'}"
    return ngettext(singular, plural, number).format(number=whole(number))


def rate_words(on_target: int, attempts: int) -> str:
    """A rate as a natural frequency.

    >>> rate_words(14, 20), rate_words(0, 0)
    ('14 of 20', 'no strikes yet')
    """
    if not attempts:
        return _("no strikes yet")
    return _("{on_target} of {attempts}").format(on_target=whole(on_target), attempts=whole(attempts))


def interval_words(low: float, high: float) -> str:
    """A likely range of a rate, 0..1, in whole strikes of ten.

    >>> interval_words(0.481, 0.855), interval_words(0.62, 0.64), interval_words(0.0, 1.0)
    ('likely between 5 and 9 of 10', 'likely about 6 of 10', 'anywhere from 0 to 10 of 10')
    """
    least, most = nearest_of_ten(low), nearest_of_ten(high)
    if (least, most) == (0, 10):
        return _("anywhere from 0 to 10 of 10")
    if least == most:
        return _("likely about {of_ten} of 10").format(of_ten=least)
    return _("likely between {least} and {most} of 10").format(least=least, most=most)


def of_ten_words(low: float, high: float) -> str:
    """A likely range of a rate, 0..1, for a table whose heading says that it is of ten.

    >>> of_ten_words(0.481, 0.855), of_ten_words(0.62, 0.64)
    ('5 to 9', 'about 6')
    """
    least, most = nearest_of_ten(low), nearest_of_ten(high)
    if least == most:
        return _("about {number}").format(number=least)
    return _("{least} to {most}").format(least=least, most=most)


def standing_words(*, on_target: int, attempts: int, low: float, high: float, practices: int) -> str:
    """One foot's accuracy in a sentence: count, likely range, how sure.

    >>> standing_words(on_target=14, attempts=20, low=0.481, high=0.855, practices=3)
    '14 of 20 on target, likely between 5 and 9 of 10 (getting clearer).'
    >>> standing_words(on_target=3, attempts=4, low=0.3, high=0.95, practices=1)
    '3 of 4 on target: too few to say.'
    """
    if attempts < TOO_FEW_BELOW:
        if not attempts:
            return _("No strikes yet.")
        return _("{count} on target: {too_few}.").format(count=rate_words(on_target, attempts), too_few=too_few())
    return _("{count} on target, {range} ({sure}).").format(
        count=rate_words(on_target, attempts),
        range=interval_words(low, high),
        sure=confidence_words(attempts, practices),
    )


def both_feet_words(row: Mapping[str, Any]) -> str:
    """Both feet's rates at the same stage and distance, left foot first, for one row of ``review.gap_over_season``.

    >>> both_feet_words({"preferred_foot": "right", "preferred_like": 0.66, "other_like": 0.54})
    'left 5, right 7 of 10'
    """
    if row["preferred_like"] is None:
        return _("never at the same stage and distance")
    sides = ("other", "preferred") if row["preferred_foot"] == Foot.RIGHT.value else ("preferred", "other")
    left, right = (nearest_of_ten(row[f"{side}_like"]) for side in sides)
    return _("left {left}, right {right} of 10").format(left=left, right=right)


def correlation_note(attempts: int, effective_attempts: float) -> str:
    """Why a range is wider than the count alone would give; empty when it is not.

    >>> correlation_note(60, 41.2), correlation_note(12, 12.0)
    ('Strikes of one day hang together: these 60 tell as much as 41 separate ones.', '')
    """
    worth = round(effective_attempts)
    if worth >= attempts:
        return ""
    return _("Strikes of one day hang together: these {attempts} tell as much as {worth} separate ones.").format(
        attempts=whole(attempts), worth=whole(worth)
    )


def chance_words(chance: float) -> str:
    """A small chance, 0..1, as times out of a round number.

    >>> chance_words(0.10), chance_words(0.0333), chance_words(0.0)
    ('1 time in 10', '1 time in 30', 'never')
    """
    return _("1 time in {times}").format(times=whole(round(1 / chance))) if chance > 0 else _("never")


def date_words(day: date | datetime) -> str:
    """A day in words; an instant is told by its local day.

    >>> date_words(date(2026, 3, 12))
    '12 March 2026'
    """
    return long_date(day.astimezone().date() if isinstance(day, datetime) else day)


def short_date_words(day: date) -> str:
    """A day in few letters, for axes.

    >>> short_date_words(date(2026, 3, 12))
    '12 Mar'
    """
    return short_date(day)


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


def what_happened(row: Mapping[str, Any]) -> str:
    """What a row of ``review.logbook.logged`` says happened: one outcome, or the count of a called set."""
    if len(row["strike_ids"]) > 1:
        return _("set of {attempts}, {on_target} on target").format(**row)
    return outcome_words(Outcome(row["outcome"]), Miss(row["miss"]) if row["miss"] else None)


def logged_words(
    *, player: str, foot: Foot, what: str, stage: str | None, distance: str | None, struck_at: datetime
) -> str:
    """One logged strike or set in a line, such as "Ana, left: on target · Rolling ball, 11 yd · 17:42"."""
    where = ", ".join(part for part in (stage, distance) if part)
    return " · ".join(part for part in (f"{player}, {foot_word(foot)}: {what}", where, clock_words(struck_at)) if part)


def context_words(stage: Stage | None, surface: Surface | None, distance_m: float | None, unit: LengthUnit) -> str:
    """What the strikes logged now have in common, such as "Rolling ball, 11 yd, inside"."""
    metres = distance_m if distance_m is not None or stage is None else stage.distance_m
    parts = (
        stage.name if stage else _("No stage"),
        length_words(metres, unit) if metres is not None else None,
        surface_words(surface) if surface else None,
    )
    return ", ".join(part for part in parts if part)


def sets_stored_words(*, sets: int, strikes: int) -> str:
    """What became of called-out sets.

    >>> sets_stored_words(sets=2, strikes=20), sets_stored_words(sets=0, strikes=0)
    ('Stored: 2 sets, 20 strikes.', 'Every field is empty, so nothing was stored.')
    """
    if not sets:
        return _("Every field is empty, so nothing was stored.")
    return _("Stored: {sets}, {strikes}.").format(sets=counted(sets, "set"), strikes=counted(strikes, "strike"))


def target_words(target: Target, unit: LengthUnit) -> str:
    """A target and its size, inside edge to inside edge."""
    width = length_words(target.width_m, unit)
    if target.height_m is None:
        return _("gate {width}").format(width=width)
    return _("goal {width} × {height}").format(width=width, height=length_words(target.height_m, unit))


def share_words(share: float) -> str:
    """A rate that a stage names, 0..1, of the smallest round number that tells it.

    >>> share_words(0.7), share_words(0.55)
    ('7 of 10', '11 of 20')
    """
    of = next((of for of in (10, 20) if math.isclose(share * of, round(share * of))), 100)
    return rate_words(round(share * of), of)


def of_a_hundred_words(share: float) -> str:
    """A chance, 0..1, as players of a hundred.

    >>> of_a_hundred_words(0.102), of_a_hundred_words(0.002), of_a_hundred_words(0.999), of_a_hundred_words(0.0)
    ('10 of 100', 'fewer than 1 of 100', 'more than 99 of 100', 'none')
    """
    if share <= 0:
        return _("none")
    of = round(100 * share)
    if of == 0:
        return _("fewer than 1 of 100")
    return _("more than 99 of 100") if of == 100 and share < 1 else rate_words(of, 100)


def suggestion_words(stage: str | None, status: ReadinessStatus | None) -> str:
    """What the tool said at the time of a decision."""
    return f"{stage} ({status_word(status)})" if stage and status else _("nothing yet")


def filter_words(scope: Scope, unit: LengthUnit) -> str:
    """What a scope leaves out, beyond the squad and the player; empty when it leaves nothing out."""
    nearest, farthest = (
        None if metres is None else length_words(metres, unit) for metres in (scope.nearest_m, scope.farthest_m)
    )
    distances: str | None = None
    if nearest and farthest:
        distances = _("from {nearest} to {farthest}").format(nearest=nearest, farthest=farthest)
    elif nearest:
        distances = _("from {nearest} on").format(nearest=nearest)
    elif farthest:
        distances = _("up to {farthest}").format(farthest=farthest)
    parts = (
        _("season {season}").format(season=scope.season.name) if scope.season else None,
        scope.stage,
        surface_words(scope.surface) if scope.surface else None,
        distances,
        pgettext("days", "since {day}").format(day=date_words(scope.first_day)) if scope.first_day else None,
        pgettext("days", "until {day}").format(day=date_words(scope.last_day)) if scope.last_day else None,
    )
    return " · ".join(part for part in parts if part)


def nearest_of_ten(rate: float) -> int:
    """A rate, 0..1, as whole strikes of ten, halves up."""
    return math.floor(10 * rate + 0.5)
