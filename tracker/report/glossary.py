"""The words for what the records and the statistics call things, each in one place with what it means.

Feet, surfaces, outcomes and statuses are stored as the closed sets of ``tracker.domain.vocabulary``; what a person
reads comes from here, in their language. So do the words for how sure a figure is, and for a verdict.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from tracker.domain.vocabulary import (
    BallArrival,
    Foot,
    LengthUnit,
    Miss,
    Outcome,
    PreferredFoot,
    ReadinessStatus,
    Surface,
)
from tracker.report.language import N_, _, pgettext
from tracker.stats.change import ChangeVerdict

TOO_FEW_BELOW, FIRST_LOOK_BELOW, CLEARER_BELOW, STEADY_PRACTICES = 10, 20, 50, 3
"""Strikes below which a rate is not spoken of, is a first look, gets clearer; practices a steady picture needs."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Term:
    """A word and what it means, both in English; ``_`` translates them where they are shown."""

    word: str
    means: str


STATUSES: Mapping[ReadinessStatus, Term] = {
    ReadinessStatus.GATHERING: Term(
        word=N_("too few strikes"), means=N_("fewer than {fewest} strikes at this stage, so nothing is said yet")
    ),
    ReadinessStatus.WORKING: Term(
        word=N_("working"), means=N_("has struck here; the score has not reached the ready line")
    ),
    ReadinessStatus.READY: Term(
        word=N_("ready"),
        means=N_("the score reached the ready line on two practices or more"),
    ),
    ReadinessStatus.REVISIT: Term(
        word=N_("revisit"), means=N_("the strikes here fell back: practise this stage again, or go back one")
    ),
}

PASSED = Term(
    word=N_("passed"), means=N_("practises a later stage now, and its strikes here have not fallen back since")
)
SKIPPED = Term(word=N_("skipped"), means=N_("practises a later stage now, without a strike here"))
CALM_READY = Term(
    word=N_("ready, nothing to decide"), means=N_("at the last stage, or at one this foot does not practise now")
)
NO_STRIKES = Term(word=N_("no strikes"), means=N_("not practised yet, and no strike here"))
JUST_MOVED = Term(word=N_("thick frame"), means=N_("the stage this foot practises now; empty: just moved here"))

LIKELY = Term(
    word=N_("likely"),
    means=N_("ranges made in this way hold the real rate about 19 times in 20"),
)

TOO_FEW = Term(word=N_("too few to say"), means=N_("fewer than 10 strikes"))
FIRST_LOOK = Term(word=N_("first look"), means=N_("10 to 19 strikes"))
CLEARER = Term(word=N_("getting clearer"), means=N_("20 to 49 strikes, or more of them on fewer than three practices"))
STEADY = Term(word=N_("steady picture"), means=N_("50 strikes or more, on three practices or more"))

VERDICTS: Mapping[ChangeVerdict, Term] = {
    ChangeVerdict.UP: Term(word=N_("clearly up"), means=N_("the likely range of the change lies above no change")),
    ChangeVerdict.DOWN: Term(word=N_("clearly down"), means=N_("the likely range of the change lies below no change")),
    ChangeVerdict.NO_CLEAR_CHANGE: Term(
        word=N_("no clear change"), means=N_("the likely range of the change holds no change at all")
    ),
    ChangeVerdict.TOO_FEW_PRACTICES: Term(
        word=N_("too few practices"), means=N_("a verdict needs three practices on different days")
    ),
    ChangeVerdict.NOT_SEPARABLE: Term(
        word=N_("cannot be told apart"), means=N_("stage or distance changed along with time")
    ),
}


def status_word(status: ReadinessStatus) -> str:
    """Where a foot stands at a stage, in a word."""
    return _(STATUSES[status].word)


PASSED_SIGN, SKIPPED_SIGN = "✓", "»"
"""What stands for *passed* and for *skipped* in a picture."""


def status_sign(status: ReadinessStatus) -> str:
    """The sign that stands for it in a picture: a letter, or a mark that needs no language."""
    return {
        ReadinessStatus.GATHERING: "?",
        ReadinessStatus.WORKING: pgettext("status letter", "W"),
        ReadinessStatus.READY: pgettext("status letter", "R"),
        ReadinessStatus.REVISIT: "▼",
    }[status]


def status_means(status: ReadinessStatus) -> str:
    """What that word means."""
    return _(STATUSES[status].means).format(fewest=TOO_FEW_BELOW)


def verdict_word(verdict: ChangeVerdict) -> str:
    """What a season's change came to, in words."""
    return _(VERDICTS[verdict].word)


def all_terms() -> list[tuple[str, str]]:
    """Every word of status, range, certainty and verdict with what it means, in the order a reader meets them."""
    statuses = [(status_word(status), status_means(status)) for status in ReadinessStatus]
    others = (PASSED, SKIPPED, NO_STRIKES, LIKELY, TOO_FEW, FIRST_LOOK, CLEARER, STEADY, *VERDICTS.values())
    return [*statuses, *((_(term.word), _(term.means)) for term in others)]


def too_few() -> str:
    """What stands instead of a rate under ten strikes."""
    return _(TOO_FEW.word)


def confidence_words(attempts: int, practices: int) -> str:
    """How sure a picture of so many strikes on so many practices can be.

    >>> [confidence_words(n, 4) for n in (9, 10, 20, 50)]
    ['too few to say', 'first look', 'getting clearer', 'steady picture']
    >>> confidence_words(80, 2)
    'getting clearer'
    """
    if attempts < TOO_FEW_BELOW:
        return too_few()
    if attempts < FIRST_LOOK_BELOW:
        return _(FIRST_LOOK.word)
    is_clearer = attempts < CLEARER_BELOW or practices < STEADY_PRACTICES
    return _(CLEARER.word if is_clearer else STEADY.word)


def foot_word(foot: Foot) -> str:
    """The side of a foot."""
    return {Foot.LEFT: pgettext("foot", "left"), Foot.RIGHT: pgettext("foot", "right")}[foot]


def side_foot(foot: Foot) -> str:
    """A foot by its side, within a sentence."""
    return {Foot.LEFT: _("left foot"), Foot.RIGHT: _("right foot")}[foot]


def foot_words(foot: Foot, preferred: PreferredFoot = PreferredFoot.UNKNOWN) -> str:
    """A foot, and whether the player says they prefer it.

    >>> foot_words(Foot.LEFT, PreferredFoot.LEFT), foot_words(Foot.RIGHT, PreferredFoot.LEFT), foot_words(Foot.LEFT)
    ('Left foot (preferred)', 'Right foot (other)', 'Left foot')
    """
    side = {Foot.LEFT: _("Left foot"), Foot.RIGHT: _("Right foot")}[foot]
    if preferred in (PreferredFoot.BOTH, PreferredFoot.UNKNOWN):
        return side
    kind = pgettext("foot", "preferred") if preferred.value == foot.value else pgettext("foot", "other")
    return f"{side} ({kind})"


def preferred_words(preferred: PreferredFoot) -> str:
    """What a player says about their feet."""
    return {
        PreferredFoot.LEFT: pgettext("foot", "left"),
        PreferredFoot.RIGHT: pgettext("foot", "right"),
        PreferredFoot.BOTH: _("both feet alike"),
        PreferredFoot.UNKNOWN: _("not said"),
    }[preferred]


def surface_words(surface: Surface) -> str:
    """The part of the foot that met the ball."""
    return {
        Surface.LACES: pgettext("part of the foot", "laces"),
        Surface.INSIDE: pgettext("part of the foot", "inside"),
        Surface.OUTSIDE: pgettext("part of the foot", "outside"),
        Surface.TOE: pgettext("part of the foot", "toe"),
        Surface.HEEL: pgettext("part of the foot", "heel"),
        Surface.OTHER: pgettext("part of the foot", "other"),
    }[surface]


def miss_word(miss: Miss) -> str:
    """Where an off-target strike went."""
    return {
        Miss.LEFT: pgettext("miss", "left"),
        Miss.RIGHT: pgettext("miss", "right"),
        Miss.OVER: pgettext("miss", "over"),
        Miss.SHORT: pgettext("miss", "short"),
    }[miss]


def outcome_words(outcome: Outcome, miss: Miss | None = None) -> str:
    """An outcome with the side of a miss.

    >>> outcome_words(Outcome.OFF_TARGET, Miss.OVER), outcome_words(Outcome.ON_TARGET)
    ('off target, over', 'on target')
    """
    word = {
        Outcome.ON_TARGET: _("on target"),
        Outcome.OFF_TARGET: _("off target"),
        Outcome.BLOCKED: pgettext("outcome", "blocked"),
    }[outcome]
    return f"{word}, {miss_word(miss)}" if miss else word


def arrival_word(arrival: BallArrival) -> str:
    """How the ball comes to the striker."""
    return {
        BallArrival.SERVED: pgettext("ball", "served"),
        BallArrival.STILL: pgettext("ball", "still"),
        BallArrival.ROLLING: pgettext("ball", "rolling"),
        BallArrival.CARRIED: pgettext("ball", "carried"),
        BallArrival.PASSED: pgettext("ball", "passed"),
        BallArrival.GAME: pgettext("ball", "game"),
    }[arrival]


def unit_words(unit: LengthUnit) -> str:
    """The name of a unit."""
    return _("yards") if unit is LengthUnit.YARDS else _("metres")
