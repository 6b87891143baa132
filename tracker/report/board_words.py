"""The words beside the ladder board: its key, how to read it, and how many of its ready calls to expect wrong."""

from __future__ import annotations

from dataclasses import dataclass

from tracker.domain.ladder import Ladder
from tracker.domain.vocabulary import BallArrival, ReadinessStatus
from tracker.report import chart_style, explanations, glossary
from tracker.report.language import _, ngettext, whole
from tracker.review.ready_rule import ReadyCalls


@dataclass(frozen=True, kw_only=True, slots=True)
class BoardSign:
    """A look a box of the ladder board can have: its sign, its colours, the word for it and what that means."""

    sign: str
    fill: str
    ink: str
    word: str
    means: str
    is_framed: bool = False


def board_key() -> list[BoardSign]:
    """Every look of a box, what asks for a decision first."""
    order = (ReadinessStatus.READY, ReadinessStatus.REVISIT, ReadinessStatus.WORKING, ReadinessStatus.GATHERING)
    signs = [
        BoardSign(
            sign=glossary.status_sign(status),
            fill=chart_style.STATUS_FILL[status],
            ink=chart_style.PAPER if status is ReadinessStatus.READY else chart_style.INK,
            word=glossary.status_word(status),
            means=glossary.status_means(status),
        )
        for status in order
    ]
    others = (
        (glossary.status_sign(ReadinessStatus.READY), chart_style.CALM_READY_FILL, glossary.CALM_READY),
        (glossary.PASSED_SIGN, chart_style.PASSED_FILL, glossary.PASSED),
        (glossary.SKIPPED_SIGN, chart_style.PASSED_FILL, glossary.SKIPPED),
        ("", chart_style.PAPER, glossary.NO_STRIKES),
        ("", chart_style.PAPER, glossary.JUST_MOVED),
    )
    return signs + [
        BoardSign(
            sign=sign,
            fill=fill,
            ink=chart_style.INK,
            word=_(term.word),
            means=_(term.means),
            is_framed=term is glossary.JUST_MOVED,
        )
        for sign, fill, term in others
    ]


def board_notes(ladder: Ladder) -> list[str]:
    """How to read the board, why a game stands apart, and why volleys come first."""
    notes = [_(explanations.HOW_TO_READ_THE_BOARD)]
    if any(stage.ball_arrival is BallArrival.GAME for stage in ladder.stages):
        notes.append(_(explanations.GAME_APART))
    if ladder.stages[0].ball_arrival is BallArrival.SERVED:
        notes.append(_(explanations.VOLLEYS_FIRST))
    return notes


def ready_boxes_words(calls: ReadyCalls) -> str:
    """How many of the boxes that show *ready* to expect wrong, said so that a reader can count them on the board."""
    sign = glossary.status_sign(ReadinessStatus.READY)
    if not calls.ready:
        return _("No box of the board shows {sign}.").format(sign=sign)
    found = ngettext(
        "{ready} box of the board shows {sign} (ready).", "{ready} boxes of the board show {sign} (ready).", calls.ready
    ).format(ready=whole(calls.ready), sign=sign)
    return f"{found} {_wrong_words(calls)}"


def moves_on_words(calls: ReadyCalls) -> str:
    """How many of the calls to move on to expect wrong; empty without such a call."""
    if not calls.ready:
        return ""
    found = ngettext("{ready} foot may move on.", "{ready} feet may move on.", calls.ready)
    return f"{found.format(ready=whole(calls.ready))} {_wrong_words(calls)}"


def _wrong_words(calls: ReadyCalls) -> str:
    wrong = round(calls.expected_wrong)
    if not wrong:
        return _("Hardly any of these calls should be wrong.")
    return _("Up to about {wrong} of these {ready} calls may be wrong.").format(
        wrong=whole(wrong), ready=whole(calls.ready)
    )
