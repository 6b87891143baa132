"""The sentence beside a figure that would mislead alone: why it differs, and what it cannot tell."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import polars as pl

from tracker.domain.vocabulary import LengthUnit
from tracker.report.language import _, whole
from tracker.report.wording import counted, length_words
from tracker.review.ready_rule import ReadyCalls
from tracker.stats.agreement import Trust
from tracker.stats.aim import AimCase
from tracker.stats.change import FEWEST_PRACTICES, ChangeVerdict

FARTHER_BY_M = 0.75
"""Mean distances of two feet less apart than this count as alike."""
ENOUGH_TWICE = 40
"""Strikes logged twice that make an agreement check (common practice, no source)."""

_CLEAR = (ChangeVerdict.UP, ChangeVerdict.DOWN)


def with_gap_notes(gaps: pl.DataFrame, *, unit: LengthUnit = LengthUnit.METRES) -> pl.DataFrame:
    """A frame of ``review.gap`` with a column *note*: why the raw gap tells another story, or why there is none."""
    return _with_sentences(gaps, "note", lambda row: gap_note(row, unit=unit))


def gap_note(row: Mapping[str, Any], *, unit: LengthUnit = LengthUnit.METRES) -> str:
    """The note on one row of ``review.gap``; empty when the raw gap tells the same."""
    if row["gap"] is None:
        if not row["preferred_attempts"] or not row["other_attempts"]:
            return ""
        return _("The feet never struck at the same stage, distance and surface, so like cannot be compared with like.")
    if not row["disagrees"]:
        return ""
    raw, like = _ahead(row["raw_gap"]), _ahead(row["gap"])
    if row["low"] > 0 or row["high"] < 0:
        found = _("At the same stage, distance and surface {like}, clearly. All strikes together hide it: {raw}.")
    else:
        found = _("All strikes together look clear: {raw}. At the same stage, distance and surface it is not: {like}.")
    return f"{found.format(like=like, raw=raw)} {_why_unlike(row, unit=unit)}"


def with_change_notes(changes: pl.DataFrame) -> pl.DataFrame:
    """A frame of ``review.change`` with a column *note*: why raw rates tell another story, or why no verdict stands."""
    return _with_sentences(changes, "note", change_note)


def change_note(row: Mapping[str, Any]) -> str:
    """The note on one row of ``review.change``; empty when there is nothing to explain."""
    verdict = ChangeVerdict(row["verdict"])
    if verdict is ChangeVerdict.TOO_FEW_PRACTICES:
        practices = counted(row["practices"], "practice")
        return _("A verdict needs {fewest} practices on different days; so far it has {practices}.").format(
            fewest=FEWEST_PRACTICES, practices=practices
        )
    if verdict is ChangeVerdict.NOT_SEPARABLE:
        return _("Stage or distance changed along with time, so better and easier cannot be told apart.")
    sentences = []
    if row["disagrees"] and row["raw_change"] is not None:
        if row["change"] > row["raw_change"]:
            found = _("Raw, the rate {raw}; the strikes became harder meanwhile (stage, distance).")
        else:
            found = _("Raw, the rate {raw}; the strikes became easier meanwhile (stage, distance).")
        sentences.append(found.format(raw=_moved(row["raw_change"])))
        sentences.append(_("At the same stage and distance it {moved}.").format(moved=_moved(row["change"])))
    if ChangeVerdict(row["alone_verdict"]) in _CLEAR and verdict not in _CLEAR:
        sentences.append(_("Clear on its own, but among so many feet chance alone may bring one like it."))
    return " ".join(sentences)


def with_aim_notes(aims: pl.DataFrame) -> pl.DataFrame:
    """A frame of ``review.aim`` with a column *note*: what the strikes cannot tell, or the side they lean to."""
    return _with_sentences(aims, "note", aim_note)


def aim_note(row: Mapping[str, Any]) -> str:
    """The note on one row of ``review.aim``."""
    lean = ""
    if row["bias_high"] is not None and row["bias_high"] < 0:
        lean = _("Leans to the left.")
    if row["bias_low"] is not None and row["bias_low"] > 0:
        lean = _("Leans to the right.")
    return " ".join(part for part in (_case_note(AimCase(row["case"])), lean) if part)


def with_trust_notes(agreement: pl.DataFrame) -> pl.DataFrame:
    """A frame of ``review.agreement`` with a column *note*: whether its counts may be trusted."""
    return _with_sentences(agreement, "note", trust_note)


def trust_note(row: Mapping[str, Any]) -> str:
    """Whether counts may be trusted, for the row of ``review.agreement``."""
    if not row["strikes_compared"]:
        return _(
            "No strike of this practice was logged by two people, so there is nothing to compare. "
            "Let two of them log the same pair for {strikes} strikes."
        ).format(strikes=ENOUGH_TWICE)
    sentence = {
        Trust.TRUSTWORTHY: _("The observers agree well enough: the counts can be trusted."),
        Trust.NOT_YET: _(
            "Kappa is below 0.6: the counts are not yet trustworthy. Agree on what counts as on target, "
            "and compare again."
        ),
        Trust.UNDECIDED: _("Both wrote down one outcome throughout, so agreement beyond chance cannot be told."),
    }[Trust(row["trust"])]
    few = row["strikes_compared"] < ENOUGH_TWICE
    more = _("{strikes} seen twice would tell more.").format(strikes=counted(ENOUGH_TWICE, "strike"))
    return f"{sentence} {more}" if few else sentence


def ready_calls_words(calls: ReadyCalls) -> str:
    """How many ready calls of a squad to expect wrong.

    >>> ready_calls_words(ReadyCalls(ready=9, judged=40, expected_wrong=3.4, risk=0.1))
    '9 of 40 scores are at ready. Expect at most about 3 of these calls to be wrong.'
    """
    judged = counted(calls.judged, "score")
    if not calls.ready:
        return _("None of {scores} is at ready.").format(scores=judged)
    found = _("{ready} of {scores} are at ready.").format(ready=whole(calls.ready), scores=judged)
    wrong = round(calls.expected_wrong)
    if not wrong:
        return f"{found} {_('Expect hardly any of these calls to be wrong.')}"
    expected = _("Expect at most about {wrong} of these calls to be wrong.").format(wrong=whole(wrong))
    return f"{found} {expected}"


def _case_note(case: AimCase) -> str:
    return {
        AimCase.BIAS_AND_SPREAD: "",
        AimCase.ONE_SIDE: _("All misses whose side is known are on one side, so the bias is uncertain."),
        AimCase.SPREAD_ONLY: _("No miss has a side: the bias is taken as 0."),
        AimCase.ALL_HIT: _("Every strike hit: the spread has only an upper bound, and the bias is not known."),
        AimCase.NONE_HIT: _("No strike hit: the spread has only a lower bound, and the bias is not known."),
        AimCase.NO_STRIKES: _("No strikes to go by."),
    }[case]


def _with_sentences(frame: pl.DataFrame, name: str, sentence: Callable[[Mapping[str, Any]], str]) -> pl.DataFrame:
    sentences = [sentence(row) for row in frame.iter_rows(named=True)]
    return frame.with_columns(pl.Series(name, sentences, dtype=pl.String))


def _ahead(gap: float) -> str:
    """How far the preferred foot is ahead, in strikes of ten."""
    of_ten = round(10 * abs(gap))
    if not of_ten:
        return _("the feet are alike")
    if gap > 0:
        return _("the preferred foot is ahead by {of_ten} of 10").format(of_ten=of_ten)
    return _("the other foot is ahead by {of_ten} of 10").format(of_ten=of_ten)


def _moved(change: float) -> str:
    """How a rate moved, in strikes of ten."""
    of_ten = round(10 * abs(change))
    if not of_ten:
        return _("hardly moved")
    if change > 0:
        return _("rose by {of_ten} of 10").format(of_ten=of_ten)
    return _("fell by {of_ten} of 10").format(of_ten=of_ten)


def _why_unlike(row: Mapping[str, Any], *, unit: LengthUnit) -> str:
    preferred, other = row["preferred_distance_m"], row["other_distance_m"]
    if preferred is None or other is None or abs(preferred - other) < FARTHER_BY_M:
        return _("The feet struck at different stages or with different surfaces.")
    distances = {"other": length_words(other, unit), "preferred": length_words(preferred, unit)}
    if other < preferred:
        return _("The other foot struck from nearer on average: {other} against {preferred}.").format(**distances)
    return _("The other foot struck from farther away on average: {other} against {preferred}.").format(**distances)
