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

from tracker.domain.vocabulary import Foot, PreferredFoot
from tracker.report import glossary, wording
from tracker.report.glossary import side_foot
from tracker.report.language import _, ngettext, whole
from tracker.report.standing_words import next_sentence
from tracker.review.gap_over_season import CatchingUp, catching_up
from tracker.review.season_report import FootSeason, SeasonReport, Standing
from tracker.stats.change import ChangeVerdict

DOTS = 20
"""Strikes a row of dots stands for."""


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


def is_told(foot: FootSeason) -> bool:
    """Whether a foot has strikes and practices enough for a start, a now and an aim; else its strikes are only counted.

    These are the counts from which the tool speaks of a steady picture.
    """
    return foot.attempts >= glossary.CLEARER_BELOW and foot.practices >= glossary.STEADY_PRACTICES


def is_enough(report: SeasonReport) -> bool:
    """Whether more than a count can be told of either foot."""
    return any(is_told(foot) for foot in report.feet)


def foot_name(foot: Foot, preferred: PreferredFoot) -> str:
    """A foot by its side, and whether it is the player's favourite."""
    side = glossary.foot_words(foot)
    return _("{foot} (your favourite)").format(foot=side) if preferred.foot is foot else side


def season_sentences(report: SeasonReport) -> list[str]:
    """The season in three sentences: what was done, what came of it, what is next."""
    if not report.attempts:
        return [
            _("No strikes of yours are written down yet."),
            _("Come along, strike with both feet, and we will know more."),
        ]
    if not is_enough(report):
        came = _("That is too few to say how you strike, so here we only count.")
        return [f"{_done(report)} {_('A good start!')}", came, next_sentence(report)]
    return [f"{_done(report)} {_('Well worked!')}", _what_came(report), next_sentence(report)]


def _done(report: SeasonReport) -> str:
    sentence = (
        _("You came to {practices} and took {strikes}, with both feet.")
        if all(foot.attempts for foot in report.feet)
        else _("You came to {practices} and took {strikes}.")
    )
    return sentence.format(
        practices=wording.counted(report.practices, "practice"), strikes=wording.counted(report.attempts, "strike")
    )


def _what_came(report: SeasonReport) -> str:
    up = _with_verdict(report, ChangeVerdict.UP)
    down = _with_verdict(report, ChangeVerdict.DOWN)
    ready = [foot for foot in report.feet if foot.standing_at(foot.stage) is Standing.READY]
    moves = sum(len(foot.passed) for foot in report.feet)
    if len(up) == len(Foot):
        return _("Both feet clearly hit more often now: your practice helps.")
    if up:
        return _("Your {foot} clearly hits more often now: your practice helps.").format(foot=side_foot(up[0].foot))
    if ready:
        return _("Your {foot} is ready to move on from {stage}: your practice helps.").format(
            foot=side_foot(ready[0].foot), stage=ready[0].stage.name
        )
    if down:
        return _("Your {foot} hit more at the start, so keep practising with it.").format(foot=side_foot(down[0].foot))
    if moves:
        return ngettext(
            "You moved up a stage {times} time this season: your practice helps.",
            "You moved up a stage {times} times this season: your practice helps.",
            moves,
        ).format(times=moves)
    return _("We cannot yet say what changed from start to end.")


def _with_verdict(report: SeasonReport, verdict: ChangeVerdict) -> list[FootSeason]:
    return [foot for foot in report.feet if verdict_of(foot) is verdict]


def verdict_of(foot: FootSeason) -> ChangeVerdict:
    """What may be said of a foot's season."""
    if foot.change is None or not is_told(foot):
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
    """What may be said of a foot from start to now, in the reader's words; the counts stand beside it."""
    if foot.change is None or foot.change["start_rate"] is None or not is_told(foot):
        return _("Too few strikes so far to compare a start with now.")
    start, now = (of_twenty(foot.change[f"{end}_rate"]) for end in ("start", "end"))
    found = {
        ChangeVerdict.UP: _("Clearly more than at the start: your practice helps."),
        ChangeVerdict.DOWN: _("Fewer than at the start. Keep practising with this foot."),
    }.get(verdict_of(foot), _looks_like(start, now))
    return f"{found} {_change_range(foot.change)}" if reader is Reader.OLDER else found


def _looks_like(start: int, now: int) -> str:
    """Two counts that no verdict tells apart."""
    if now == start:
        return _("As many as at the start.")
    return (
        _("It looks like more than at the start, but strikes vary from day to day, so we cannot be sure.")
        if now > start
        else _("It looks like fewer than at the start, but strikes vary from day to day, so we cannot be sure.")
    )


def _change_range(row: Mapping[str, Any]) -> str:
    low, high = (math.floor(DOTS * abs(row[end]) + 0.5) for end in ("low", "high"))
    if row["low"] >= 0:
        return _("The real change likely lies between {low} and {high} more.").format(low=low, high=high)
    if row["high"] <= 0:
        return _("The real change likely lies between {high} and {low} fewer.").format(low=low, high=high)
    return _("The real change likely lies between {low} fewer and {high} more.").format(low=low, high=high)


def practised_words(foot: FootSeason) -> str:
    """One foot's strikes, practices and strikes on target of the whole season, whatever the difficulty."""
    if not foot.attempts:
        return _("No strikes yet.")
    return _("{on_target} of {strikes} on target, in {practices}.").format(
        on_target=whole(foot.on_target),
        strikes=wording.counted(foot.attempts, "strike"),
        practices=wording.counted(foot.practices, "practice"),
    )


def kept_words(report: SeasonReport, preferred: PreferredFoot) -> list[tuple[str, str]]:
    """Kept skill, the first set of the day beside the later ones: foot and words, one line where both are alike."""
    left, right = (_kept(foot) for foot in report.feet)
    if left == right:
        return [(_("Both feet"), left)]
    return [(foot_name(foot.foot, preferred), words) for foot, words in zip(report.feet, (left, right), strict=True)]


def _kept(foot: FootSeason) -> str:
    row = foot.first_sets
    if row is None or not is_told(foot):
        return _("Too few sets so far to compare.")
    if row["low"] > 0:
        return _("Your first set of the day is clearly ahead of the later ones.")
    if row["high"] < 0:
        return _("Your later sets go better. A few strikes to warm up help.")
    return _("No clear difference between your first set of the day and the later ones.")


def gap_sentence(report: SeasonReport) -> str:
    """How far the feet are apart at the same stage and distance, and whether the other one is catching up.

    In words alone: the counts of each foot are those beside the marks, of the stages that it works at.
    """
    preferred = report.player.preferred_foot
    if preferred.foot is None:
        return _("No one foot is named as your favourite, so the feet are not compared.")
    parts = report.gap_parts
    if not is_enough(report) or parts.height < 2 or parts["gap"][-1] is None:
        return _("Too few strikes so far to compare the feet.")
    last = parts.row(-1, named=True)
    feet = {"foot": side_foot(preferred.foot), "other": side_foot(preferred.foot.opposite)}
    ahead = (
        _("Lately, from the same place and at the same drill, your {foot} hits more often than your {other}.")
        if last["low"] > 0
        else _("Lately, from the same place and at the same drill, your {other} hits more often than your {foot}.")
        if last["high"] < 0
        else _("Lately, from the same place and at the same drill, neither foot is clearly ahead.")
    )
    found = {
        CatchingUp.YES: _("Your {other} is catching up: its practice helps."),
        CatchingUp.FALLING_BEHIND: _("Your {foot} gained more this season. More turns for your {other} will help."),
        CatchingUp.NO_CLEAR_CHANGE: _(
            "Strikes vary from day to day, so we cannot say whether they are getting closer."
        ),
        CatchingUp.CANNOT_SAY: "",
    }[catching_up(parts)]
    note = _("The marks above are of each foot’s own drills, so the two feet’s marks can differ.")
    return f"{ahead} {found} {note}".replace("  ", " ").format(**feet)


def aim_sentence(foot: FootSeason) -> str:
    """Where a foot's strikes go, in a short sentence that agrees with its picture."""
    if not foot.aim.has_wedge or not is_told(foot):
        return _("The misses noted so far do not show where your strikes go.")
    row = foot.aim.aim.row(0, named=True)
    lean = round(row["bias_deg"] or 0.0)
    if not lean:
        return _("Your strikes go to the middle.")
    is_clear = row["bias_low"] is not None and (row["bias_low"] > 0 or row["bias_high"] < 0)
    if is_clear:
        return _("Your strikes lean to the left.") if lean < 0 else _("Your strikes lean to the right.")
    return (
        _("Close to the middle, perhaps a little to the left.")
        if lean < 0
        else _("Close to the middle, perhaps a little to the right.")
    )


def fan_note() -> str:
    """How to read the aim fans."""
    return _(
        "Seen from above: the ball is at the bottom, the black bar is the target. Two of three strikes go into the "
        "coloured part. Strikes over or short are left out."
    )


def target_note(stage: str) -> str:
    """Which stage the target and the strikes of an aim fan are of."""
    return _("Drawn with the target of {stage}.").format(stage=stage)


def how_to_read(*, is_enough: bool = True) -> list[str]:
    """How to read the numbers, in four lines; with few strikes only from how many on there is more to tell."""
    nobody = _("We compare you with nobody but yourself. Nobody is ranked.")
    if not is_enough:
        more = _("Once a foot has {fewest} strikes in {practices} practices, we can tell you more.")
        return [more.format(fewest=glossary.CLEARER_BELOW, practices=glossary.STEADY_PRACTICES), nobody]
    return [
        _("“13 of 20” means: of every 20 strikes, 13 on target."),
        _(
            "Start and now: how each foot struck at your first practice and at your last, "
            "made comparable over its own drills."
        ),
        _("“Likely 11 to 15”: we cannot know exactly. Your real level is very likely between these two (the line)."),
        nobody,
    ]
