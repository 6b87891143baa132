"""Why a foot has its status at a stage, in a sentence or two."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import polars as pl

from tracker.domain.vocabulary import ReadinessStatus
from tracker.report.glossary import TOO_FEW_BELOW
from tracker.report.language import _, whole
from tracker.report.wording import chance_words, counted, date_words, rate_words

FARTHEST_FORECAST = 100
"""Strikes to ready beyond which no number is named: it would be a guess."""


def score_words(score: float, ready_line: float) -> str:
    """A readiness score against its line, rounded so that a score under the line never reads as at it.

    >>> score_words(4.08, 4.12), score_words(4.2, 4.12)
    ('score 4.0 of 4.2', 'score 4.2 of 4.2')
    """
    shown, line = score_and_line(score, ready_line)
    return _("score {score} of {line}").format(score=shown, line=line)


def score_and_line(score: float, line: float) -> tuple[str, str]:
    """A score and its line, each to a tenth, rounded apart.

    >>> score_and_line(4.08, 4.12)
    ('4.0', '4.2')
    """
    return f"{math.floor(score * 10) / 10:.1f}", f"{math.ceil(line * 10) / 10:.1f}"


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
        return _("Too few strikes to say: none at this stage yet; {fewest} are the least.").format(fewest=TOO_FEW_BELOW)
    return _("Too few strikes to say: {strikes} so far; {fewest} are the least.").format(
        strikes=counted(row["attempts"], "strike"), fewest=TOO_FEW_BELOW
    )


def _working_reason(row: Mapping[str, Any]) -> str:
    score = score_words(row["score"], row["ready_line"])
    strikes, practices = counted(row["attempts"], "strike"), counted(row["practices"], "practice")
    if row["score"] >= row["ready_line"]:
        return _(
            "Working: {score} after {strikes}, so the ready line is reached, but by strikes of one practice. "
            "Ready needs two practices: look again next time."
        ).format(score=score, strikes=strikes)
    return _("Working: {score} after {strikes} on {practices}; {to_come}.").format(
        score=score, strikes=strikes, practices=practices, to_come=_still_to_come(row["expected_strikes_to_ready"])
    )


def _still_to_come(expected_strikes: float | None) -> str:
    if expected_strikes is None or not math.isfinite(expected_strikes):
        return _("at this rate the ready line is still a long way off")
    if expected_strikes > FARTHEST_FORECAST:
        return _("more than {strikes} more strikes at this rate").format(strikes=FARTHEST_FORECAST)
    return _("about {strikes} at this rate").format(strikes=counted(max(1, round(expected_strikes)), "more strike"))


def _ready_reason(row: Mapping[str, Any]) -> str:
    if row["is_passed"] and row["became_ready_at"] is not None:
        return _("Passed: ready since {day}, and moved on.").format(day=date_words(row["became_ready_at"]))
    if row["became_ready_at"] is None:
        return _("Passed: the coach moved this foot on from here.")
    return _(
        "Ready since {day}: a player who is not yet there would get this far within {horizon} strikes only {chance}."
    ).format(
        day=date_words(row["became_ready_at"]),
        horizon=whole(row["horizon"]),
        chance=chance_words(row["false_ready_risk"]),
    )


def _revisit_reason(row: Mapping[str, Any]) -> str:
    count = rate_words(row["on_target"], row["attempts"])
    if row["is_passed"]:
        return _(
            "Revisit: since this foot moved on, its strikes here fell back ({count} on target). "
            "A set or two at this stage is worth the time."
        ).format(count=count)
    return _(
        "Revisit: since this foot was placed here, {count} were on target, well under what the stage asks. "
        "The stage before suits it better for now."
    ).format(count=count)
