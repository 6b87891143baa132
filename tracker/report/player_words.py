"""What a player and their parents read in a season report: plain words by age, praise for what was done.

Counts come first, as so many of 20. Never a rank, a mean of the squad or another child's name; never *weak*. With few
strikes the words say so and claim nothing. Sentences have at most 15 words, and the words fit a sixth-grade reader.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from enum import Enum
from typing import Any

from tracker.domain.ladder import Ladder
from tracker.domain.vocabulary import Foot, PreferredFoot
from tracker.report import glossary, wording
from tracker.report.glossary import foot_word, side_foot, too_few
from tracker.report.language import _, ngettext, whole
from tracker.report.season_words import of_ten
from tracker.review.gap_over_season import CatchingUp, catching_up
from tracker.review.season_report import FootSeason, PassedStage, SeasonReport
from tracker.stats.change import ChangeVerdict

DOTS = 20
"""Strikes a row of dots stands for."""
_CHANGED = (ChangeVerdict.UP, ChangeVerdict.DOWN)


class Reader(Enum):
    """Who the words are for, by the age at the end of the season: at most 40 words, at most 80, or with ranges."""

    YOUNG = 10
    MIDDLE = 13
    OLDER = 99

    @classmethod
    def of(cls, report: SeasonReport) -> Reader:
        """By year of birth; without one by the age band of the ladder."""
        band = [int(number) for number in re.findall(r"\d+", report.ladder.age_band)]
        born = report.player.birth_year
        age = report.season.ends_on.year - born if born else max(band, default=cls.MIDDLE.value)
        return next(one for one in cls if age <= one.value or one is cls.OLDER)


def is_enough(report: SeasonReport) -> bool:
    """Whether there are strikes enough to say anything of either foot."""
    return any(foot.attempts >= glossary.TOO_FEW_BELOW for foot in report.feet)


def season_sentences(report: SeasonReport) -> list[str]:
    """The season in three sentences: what was done, what came of it, what is next."""
    if not is_enough(report):
        return [
            _("{strikes} of yours are written down so far.").format(strikes=wording.counted(report.attempts, "strike")),
            _("That is too few to say how you strike."),
            _("Come along, strike with both feet, and we will know more."),
        ]
    return [_done(report), _what_came(report), _what_next(report)]


def _done(report: SeasonReport) -> str:
    left, right = (whole(foot.attempts) for foot in report.feet)
    practices = wording.counted(report.practices, "practice")
    return _("In {practices} you took {left} strikes with the left foot, {right} with the right.").format(
        practices=practices, left=left, right=right
    )


def _what_came(report: SeasonReport) -> str:
    verdicts = {foot.foot: verdict_of(foot) for foot in report.feet}
    up = [foot for foot in report.feet if verdicts[foot.foot] is ChangeVerdict.UP]
    down = [foot for foot in report.feet if verdicts[foot.foot] is ChangeVerdict.DOWN]
    if len(up) == len(Foot):
        return _("Both feet clearly hit more often now: your practice shows.")
    if up:
        start, now = (of_twenty(up[0].change[f"{end}_rate"]) for end in ("start", "end"))  # type: ignore[index]
        return _("Your {foot} clearly hits more often now: {now} of 20, after {start}.").format(
            foot=side_foot(up[0].foot), now=now, start=start
        )
    if down:
        return _("Your {foot} hit more at the start, so keep practising with it.").format(foot=side_foot(down[0].foot))
    if ChangeVerdict.NO_CLEAR_CHANGE in verdicts.values():
        return _("From start to end we cannot yet tell progress from luck.")
    return _("For a start and an end to compare, we need more practices.")


def _what_next(report: SeasonReport) -> str:
    passed = len(report.feet[0].passed) + len(report.feet[1].passed)
    foot = worked_on(report)[0]
    coming = {"stage": foot.next_stage.name, "foot": side_foot(foot.foot)}
    if foot.next_stage.position < foot.stage.position:
        return _("Next: back to {stage} for a while, with your {foot}.").format(**coming)
    if not passed:
        return _("Next: {stage}, with your {foot}.").format(**coming)
    return ngettext(
        "You passed {passed} stage; next comes {stage}, with your {foot}.",
        "You passed {passed} stages; next comes {stage}, with your {foot}.",
        passed,
    ).format(passed=passed, **coming)


def worked_on(report: SeasonReport) -> list[FootSeason]:
    """The feet by what to work on first: the one on the lower stage, then the other foot before the preferred."""
    preferred = report.player.preferred_foot.foot
    return sorted(report.feet, key=lambda one: (one.next_stage.position, one.foot is preferred))


def verdict_of(foot: FootSeason) -> ChangeVerdict:
    """What may be said of a foot's season."""
    if foot.change is None or foot.attempts < glossary.TOO_FEW_BELOW:
        return ChangeVerdict.TOO_FEW_PRACTICES
    return ChangeVerdict(foot.change["verdict"])


def of_twenty(rate: float) -> int:
    """A rate, 0..1, in whole strikes of 20.

    >>> of_twenty(0.72), of_twenty(0.675)
    (14, 14)
    """
    return math.floor(DOTS * rate + 0.5)


def count_words(rate: float) -> str:
    """A rate as a count of 20."""
    return _("{number} of 20").format(number=of_twenty(rate))


def dots_range(low: float, high: float) -> tuple[int, int]:
    """The likely range of a count of 20."""
    return of_twenty(low), of_twenty(high)


def likely_words(low: float, high: float) -> str:
    """That range in words."""
    least, most = dots_range(low, high)
    return _("likely {least} to {most}").format(least=least, most=most)


def change_sentence(foot: FootSeason, reader: Reader) -> str:
    """What may be said of a foot from start to end, in the reader's words."""
    verdict = verdict_of(foot)
    if foot.change is None or foot.change["start_rate"] is None or foot.attempts < glossary.TOO_FEW_BELOW:
        return _("Too few strikes or practices to compare start and end.")
    now, start = (count_words(foot.change[f"{end}_rate"]) for end in ("end", "start"))
    found = {
        ChangeVerdict.UP: _("{now}, was {start}. Clearly more: luck alone would rarely do that."),
        ChangeVerdict.DOWN: _("{now}, was {start}. Keep practising with this foot."),
    }.get(verdict, _("{now}, was {start}. Luck alone could make this difference."))
    sentence = found.format(now=now, start=start)
    if reader is Reader.OLDER:
        return f"{sentence} {_change_range(foot.change)}"
    return sentence


def _change_range(row: Mapping[str, Any]) -> str:
    low, high = (math.floor(DOTS * abs(row[end]) + 0.5) for end in ("low", "high"))
    if row["low"] >= 0:
        return _("The real change likely lies between {low} and {high} more.").format(low=low, high=high)
    if row["high"] <= 0:
        return _("The real change likely lies between {high} and {low} fewer.").format(low=low, high=high)
    return _("The real change likely lies between {low} fewer and {high} more.").format(low=low, high=high)


def whole_season_words(foot: FootSeason) -> str:
    """The count of the whole season, whatever the difficulty."""
    if foot.attempts < glossary.TOO_FEW_BELOW:
        return _("{strikes} in all: {too_few}.").format(
            strikes=wording.counted(foot.attempts, "strike"), too_few=too_few()
        )
    return _("Whole season: {count} on target.").format(count=wording.rate_words(foot.on_target, foot.attempts))


def practised_words(foot: FootSeason) -> str:
    """What practice was behind it."""
    practices = int(foot.accuracy["practices"]) if foot.accuracy else 0
    return _("{strikes} in {practices}").format(
        strikes=wording.counted(foot.attempts, "strike"), practices=wording.counted(practices, "practice")
    )


def kept_words(foot: FootSeason) -> str:
    """Kept skill: the first set of the day beside the later ones."""
    row = foot.first_sets
    if row is None or foot.attempts < glossary.TOO_FEW_BELOW:
        return _("Too few sets to compare.")
    found = _("First set of the day {first}, later sets {later}.").format(
        first=of_ten(row["first_rate"]), later=of_ten(row["later_rate"])
    )
    if row["low"] > 0:
        return f"{found} {_('The first set is clearly ahead.')}"
    if row["high"] < 0:
        return f"{found} {_('A few strikes to warm up help.')}"
    return f"{found} {_('No clear difference.')}"


def gap_sentence(report: SeasonReport) -> str:
    """How far the feet were apart at the start and at the end, at the same stage and distance."""
    preferred = report.player.preferred_foot
    if preferred in (PreferredFoot.BOTH, PreferredFoot.UNKNOWN):
        return _("No one foot is named as preferred, so no gap is told.")
    parts = report.gap_parts
    if not is_enough(report) or parts.height < 2:
        return _("Too few strikes or practices to compare the feet over the season.")
    first, last = parts.row(0, named=True), parts.row(-1, named=True)
    sentence = _("At the start: {start}. At the end: {end}.").format(
        start=wording.both_feet_words(first), end=wording.both_feet_words(last)
    )
    foot = {"foot": side_foot(Foot(first["preferred_foot"]).opposite)}
    found = {
        CatchingUp.YES: _("Your {foot} is catching up."),
        CatchingUp.FALLING_BEHIND: _("Your {foot} needs more practice."),
        CatchingUp.NO_CLEAR_CHANGE: _("Luck alone could make this difference."),
        CatchingUp.CANNOT_SAY: "",
    }[catching_up(parts)]
    return f"{sentence} {found.format(**foot)}".rstrip()


def aim_sentence(foot: FootSeason) -> str:
    """Where a foot's strikes go, in a short sentence."""
    if not foot.aim.has_wedge or foot.attempts < glossary.TOO_FEW_BELOW:
        return _("Too few strikes with a side noted to draw the aim.")
    row = foot.aim.aim.row(0, named=True)
    if row["bias_low"] is None or row["bias_high"] is None or row["bias_low"] <= 0 <= row["bias_high"]:
        return _("On the whole your strikes go to the middle.")
    return _("Your strikes lean to the left.") if row["bias_deg"] < 0 else _("Your strikes lean to the right.")


def stage_words(foot: FootSeason, ladder: Ladder) -> str:
    """The stage a foot works at now, and how far up that is."""
    return _("Now at stage {number} of {stages}: {stage}.").format(
        number=foot.stage.position, stages=len(ladder.stages), stage=foot.stage.name
    )


def stages_note(ladder: Ladder) -> str:
    """What a stage is."""
    return _("A stage is a drill. There are {stages}, most of them harder than the one before.").format(
        stages=len(ladder.stages)
    )


def gap_note() -> str:
    """Why the counts of the gap are not those of the marks."""
    return _("Here only strikes that both feet took from the same place count. So it can differ from the marks above.")


def fan_note() -> str:
    """How to read the aim fans."""
    return _(
        "From the ball at the bottom: thick bars are the targets, as wide as they look. Two of three strikes go into "
        "the dark part, 19 of 20 into the light one. Strikes over or short are left out."
    )


def passed_words(passed: PassedStage | None) -> str:
    """When a foot passed a stage, and whether the coach moved it on before the strikes showed it."""
    if passed is None:
        return "–"
    day = wording.date_words(passed.passed_on)
    return _("{day}, moved on by the coach").format(day=day) if passed.by_coach else day


def next_words(foot: FootSeason) -> str:
    """The stage to work on next with a foot."""
    if foot.next_stage.position > foot.stage.position:
        return _("{side} foot: on to {stage}").format(side=_side(foot.foot), stage=foot.next_stage.name)
    if foot.next_stage.position < foot.stage.position:
        return _("{side} foot: back to {stage} for a while").format(side=_side(foot.foot), stage=foot.next_stage.name)
    return _("{side} foot: more of {stage}").format(side=_side(foot.foot), stage=foot.next_stage.name)


def _side(foot: Foot) -> str:
    return foot_word(foot).capitalize()


def how_to_read() -> list[str]:
    """How to read the numbers, in four lines."""
    return [
        _("“13 of 20” means: of every 20 strikes, 13 on target. All your strikes count for it."),
        _("Start and now are compared at the same stage and distance, like with like."),
        _("“Likely” and the line: there your true count lies, 19 times in 20. With few strikes it is long."),
        _("We compare you with nobody but yourself. Nobody is ranked."),
    ]
