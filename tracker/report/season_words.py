"""What a coach reads about a season: whether a foot changed, how far it reaches, who has few strikes."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

import polars as pl

from tracker.domain.vocabulary import Foot, LengthUnit, PreferredFoot
from tracker.report import glossary, wording
from tracker.report.glossary import foot_word
from tracker.report.language import _, month_name
from tracker.report.notes import aim_note, change_note
from tracker.review.aim_at_stages import AimAtStages
from tracker.review.gap_over_season import SeasonPart
from tracker.review.month_coverage import FEWEST_A_MONTH, MonthCoverage
from tracker.review.reach import FARTHEST_M, NEAREST_M, Reach
from tracker.stats.change import ChangeVerdict


def listed(names: Sequence[str]) -> str:
    """Names in a row, or that there are none."""
    return ", ".join(names) if names else _("nobody")


def ended(sentence: str) -> str:
    """The sentence with one full stop, also after a name that ends in one.

    >>> ended("Ready: Noor H."), ended("Ready: Noor")
    ('Ready: Noor H.', 'Ready: Noor.')
    """
    return sentence if sentence.endswith(".") else f"{sentence}."


def month_words(month: str) -> str:
    """A month such as "2026-05" in words.

    >>> month_words("2026-05")
    'May 2026'
    """
    year, number = month.split("-")
    return f"{month_name(int(number))} {year}"


def tenths(rate: float) -> int:
    """A rate, 0..1, in whole strikes of ten."""
    return math.floor(10 * rate + 0.5)


def of_ten(rate: float) -> str:
    """A rate, 0..1, as a whole number of ten.

    >>> of_ten(0.64), of_ten(0.65)
    ('6 of 10', '7 of 10')
    """
    return _("{number} of 10").format(number=tenths(rate))


def change_words(row: Mapping[str, Any]) -> str:
    """One row of ``review.change`` in a sentence: verdict, start and end of ten, likely range of the change."""
    verdict = ChangeVerdict(row["verdict"])
    if verdict in (ChangeVerdict.TOO_FEW_PRACTICES, ChangeVerdict.NOT_SEPARABLE) or row["start_rate"] is None:
        return _("No verdict yet.") + f" {change_note(row)}".rstrip()
    found = {
        ChangeVerdict.UP: _("Clearly up: from {start} to {end} at the same stage and distance ({range})."),
        ChangeVerdict.DOWN: _("Clearly down: from {start} to {end} at the same stage and distance ({range})."),
        ChangeVerdict.NO_CLEAR_CHANGE: _(
            "No clear change: from {start} to {end} at the same stage and distance ({range})."
        ),
    }[verdict]
    return found.format(
        start=of_ten(row["start_rate"]), end=of_ten(row["end_rate"]), range=change_range_words(row["low"], row["high"])
    )


def change_range_words(low: float, high: float) -> str:
    """The likely range of a change, −1..1, in strikes of ten.

    >>> change_range_words(-0.14, 0.33), change_range_words(0.12, 0.33)
    ('likely between 1 fewer and 3 more of 10', 'likely between 1 and 3 more of 10')
    """
    fewer, more = tenths(abs(low)), tenths(abs(high))
    if low >= 0:
        return _("likely between {least} and {most} more of 10").format(least=fewer, most=more)
    if high <= 0:
        return _("likely between {least} and {most} fewer of 10").format(least=more, most=fewer)
    return _("likely between {fewer} fewer and {more} more of 10").format(fewer=fewer, more=more)


def changed_words(changes: pl.DataFrame) -> list[str]:
    """Whose foot clearly went up or down over the season, from a frame of ``review.change``; counts first."""
    feet = {
        verdict: [
            _("{player} ({foot})").format(player=row["player"], foot=foot_word(Foot(row["foot"])))
            for row in changes.filter(verdict=verdict.value).iter_rows(named=True)
        ]
        for verdict in ChangeVerdict
    }
    lines = [ended(_("Clearly up at the same stage and distance: {feet}").format(feet=listed(feet[ChangeVerdict.UP])))]
    if feet[ChangeVerdict.DOWN]:
        down = listed(feet[ChangeVerdict.DOWN])
        lines.append(ended(_("Clearly down at the same stage and distance: {feet}").format(feet=down)))
    alike = len(feet[ChangeVerdict.NO_CLEAR_CHANGE])
    lines.append(_("No clear change: {feet}.").format(feet=wording.counted(alike, "foot", "feet")))
    return lines


def reach_words(reach: Reach, *, unit: LengthUnit) -> str:
    """From how far a foot still hits so many of ten, in one or two sentences."""
    share = wording.share_words(reach.share)
    if reach.target_width_m is None or reach.curve.is_empty():
        return _("From how far it hits {share}: too few strikes of known distance to say.").format(share=share)
    target = whole_length(reach.target_width_m, unit)
    if reach.reach_m is None:
        nearest, farthest = (whole_length(end, unit) for end in (NEAREST_M, FARTHEST_M))
        sentence = (
            _("Hits {share} from farther than {farthest}, by its aim (target {target} wide).")
            if reach.curve["rate"].to_list()[-1] >= reach.share
            else _("Hits {share} only from nearer than {nearest}, by its aim (target {target} wide).")
        )
        return sentence.format(share=share, target=target, nearest=nearest, farthest=farthest)
    sentence = _("Still hits {share} from about {reach}{range}; target {target} wide.").format(
        share=share, reach=whole_length(reach.reach_m, unit), target=target, range=_reach_range(reach, unit)
    )
    if reach.is_beyond and reach.nearest_m is not None and reach.farthest_m is not None:
        nearest, farthest = (whole_length(end, unit) for end in (reach.nearest_m, reach.farthest_m))
        span = (
            nearest if nearest == farthest else _("{nearest} to {farthest}").format(nearest=nearest, farthest=farthest)
        )
        sentence += " " + _("A forecast: so far it struck from {span}.").format(span=span)
    return sentence


def whole_length(metres: float, unit: LengthUnit) -> str:
    """A length in whole yards or metres, for figures that are not known any better.

    >>> whole_length(8.75, LengthUnit.YARDS)
    '10 yd'
    """
    return f"{round(wording.in_unit(metres, unit))} {unit.value}"


def _reach_range(reach: Reach, unit: LengthUnit) -> str:
    if reach.reach_low_m is None or reach.reach_high_m is None:
        return ""
    low, high = (whole_length(end, unit) for end in (reach.reach_low_m, reach.reach_high_m))
    return _(" (likely {low} to {high})").format(low=low, high=high)


def aim_words(found: AimAtStages, *, preferred: PreferredFoot = PreferredFoot.UNKNOWN) -> str:
    """The aim of a foot in a sentence: lean, spread, and what it promises now."""
    foot = glossary.foot_words(found.foot, preferred)
    if not found.has_wedge:
        note = aim_note(found.aim.row(0, named=True)) if found.aim.height else _("No strikes to go by.")
        return f"{foot}: {note}"
    row = found.aim.row(0, named=True)
    lean = round(row["bias_deg"] or 0.0)
    side = (
        _("aims at the middle")
        if not lean
        else _("aims {degrees}° to the left").format(degrees=-lean)
        if lean < 0
        else _("aims {degrees}° to the right").format(degrees=lean)
    )
    return _("{foot}: {side}, two of three strikes within {spread}° of that").format(
        foot=foot, side=side, spread=round(row["spread_deg"])
    )


def few_strikes_words(coverage: MonthCoverage) -> list[str]:
    """Who has few strikes with which foot in the month, one sentence a foot."""
    if coverage.month is None:
        return [_("No practice yet, so nothing to count.")]
    return [
        sentence.format(fewest=FEWEST_A_MONTH, month=month_words(coverage.month), names=listed(coverage.few(foot)))
        for foot, sentence in (
            (Foot.LEFT, _("Under {fewest} left-foot strikes in {month}: {names}")),
            (Foot.RIGHT, _("Under {fewest} right-foot strikes in {month}: {names}")),
        )
    ]


def first_set_words(row: Mapping[str, Any]) -> str:
    """One row of ``review.first_sets`` in a sentence."""
    first, later = of_ten(row["first_rate"]), of_ten(row["later_rate"])
    if row["high"] < 0:
        found = _("First sets are clearly the poorer ones: {first}, later sets {later}.")
    elif row["low"] > 0:
        found = _("First sets are clearly the better ones: {first}, later sets {later}.")
    else:
        found = _("First sets {first}, later sets {later}: no clear difference.")
    return found.format(first=first, later=later)


def ahead_words(row: Mapping[str, Any]) -> str:
    """Which foot is ahead at the same stage and distance, and by how much, for one row of ``review.gap``."""
    if row["gap"] is None:
        return _("cannot be compared")
    size = tenths(abs(row["gap"]))
    if not size:
        return _("feet alike")
    ahead = _("preferred foot ahead by {size} of 10") if row["gap"] > 0 else _("other foot ahead by {size} of 10")
    return ahead.format(size=size)


def gap_words(row: Mapping[str, Any]) -> str:
    """The gap of one row of ``review.gap`` in words: who is ahead, with its likely range."""
    ahead = ahead_words(row)
    if row["gap"] is None:
        return ahead
    low, high = tenths(abs(row["low"])), tenths(abs(row["high"]))
    if row["low"] >= 0:
        return _("{ahead}, likely {low} to {high}").format(ahead=ahead, low=low, high=high)
    if row["high"] <= 0:
        return _("{ahead}, likely {low} to {high}").format(ahead=ahead, low=high, high=low)
    return _("{ahead}; likely from other ahead by {low} to preferred ahead by {high}").format(
        ahead=ahead, low=low, high=high
    )


def part_words(part: SeasonPart) -> str:
    """A part of a season."""
    return {
        SeasonPart.START: _("Start"),
        SeasonPart.MIDDLE: _("Middle"),
        SeasonPart.END: _("End"),
    }[part]


def side_count(row: Mapping[str, Any], side: str) -> str:
    """The count of one side (preferred or other) of a row of ``review.gap_over_season``."""
    if not row[f"{side}_attempts"]:
        return _("no strikes yet")
    return wording.rate_words(int(row[f"{side}_on_target"]), int(row[f"{side}_attempts"]))


def no_gap_words(preferred: PreferredFoot) -> str:
    """Why there is no start and end of a gap to show."""
    if preferred in (PreferredFoot.BOTH, PreferredFoot.UNKNOWN):
        return _("This player names no preferred foot (Setup page), so there is no other foot to compare.")
    return _("A start and an end need strikes with both feet on three days of practice or more.")
