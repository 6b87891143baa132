"""What a coach reads first about the ladder: what each foot should do now, one advice a foot, with its figures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Any

import polars as pl

from tracker.domain.vocabulary import Foot, ReadinessStatus
from tracker.report import readiness_words, wording
from tracker.report.glossary import foot_word
from tracker.report.language import _


@dataclass(frozen=True, kw_only=True, slots=True)
class SuggestedMove:
    """A foot the tool would move: to which stage, and the sentence that says why."""

    player: str
    foot: Foot
    stage: str
    is_on: bool
    keeps: bool
    words: str


def suggested_moves(board: pl.DataFrame) -> list[SuggestedMove]:
    """The moves a frame of ``review.readiness`` suggests, on before back, each in the order of the board; a foot that
    moves on and fell back at an earlier stage keeps that in the warm-up.
    """
    moves = [
        SuggestedMove(
            player=one.row["player"],
            foot=Foot(one.row["foot"]),
            stage=one.row["suggested_stage"],
            is_on=one.action is _Action.MOVE_ON,
            keeps=bool(one.again),
            words=_("{player}, {foot}: {stage} → {next_stage}").format(
                player=one.row["player"],
                foot=foot_word(Foot(one.row["foot"])),
                stage=one.row["stage"],
                next_stage=one.row["suggested_stage"],
            )
            + _kept_words(one),
        )
        for one in _advice(board)
        if one.action in (_Action.MOVE_ON, _Action.GO_BACK)
    ]
    return sorted(moves, key=lambda one: not one.is_on)


def move_on_wins_words() -> str:
    """Which advice holds for a foot that is ready where it practises and fell back at an earlier stage."""
    return _(
        "Where a foot is ready at its stage and fell back at an earlier one, moving on wins: the earlier stage becomes "
        "its first set."
    )


def now_words(board: pl.DataFrame) -> str:
    """How many feet are ready to move on, and how many fell back; who they are stands in ``now_table``."""
    found = _advice(board)
    acts = [one.action for one in found]
    return _(
        "Ready to move on: {ready}. Fell back: {now} where they practise now, {earlier} at earlier stages."
    ).format(
        ready=wording.counted(acts.count(_Action.MOVE_ON), "foot", "feet"),
        now=wording.counted(acts.count(_Action.GO_BACK) + acts.count(_Action.STAY_DOWN), "foot", "feet"),
        earlier=wording.counted(sum(bool(one.again) for one in found), "foot", "feet"),
    )


def now_table(board: pl.DataFrame) -> pl.DataFrame:
    """One row per foot that should do something, with one advice: Foot, What now, In figures."""
    rows = [
        (f"{one.row['player']}, {foot_word(Foot(one.row['foot']))}", _advice_words(one), _figures(one))
        for one in _advice(board)
    ]
    heads = (_("Foot"), _("What now"), _("In figures"))
    return pl.DataFrame(rows, schema=dict.fromkeys(heads, pl.String), orient="row")


def figures_words() -> str:
    """What the score and its line in ``now_table`` mean."""
    return _(
        "The score climbs with every hit and falls with every miss. Once it has reached its line the foot is ready, "
        "even if the score drops later. The fall is the same for misses: at its line the foot fell back."
    )


class _Action(Enum):
    MOVE_ON = 1
    GO_BACK = 2
    STAY_DOWN = 3
    STAY = 4
    AT_THE_TOP = 5


@dataclass(frozen=True, kw_only=True, slots=True)
class _Advice:
    """What one foot should do: the row of the stage it practises now, and rows of earlier stages to practise again."""

    action: _Action
    row: Mapping[str, Any]
    again: Sequence[Mapping[str, Any]]


def _advice(board: pl.DataFrame) -> list[_Advice]:
    """The advice for every foot that should do something, what asks for a decision first."""
    found = []
    for feet in board.partition_by("player", "foot", maintain_order=True):
        rows = feet.to_dicts()
        now = next((row for row in rows if row["is_current"]), None)
        if now is None:
            continue
        back = [row for row in rows if row["status"] == ReadinessStatus.REVISIT.value and not row["is_current"]]
        action = _action(now)
        # A foot that goes back practises the stage it fell back to anyway.
        again = [row for row in back if action is not _Action.GO_BACK or row["stage"] != now["suggested_stage"]]
        if action is not _Action.STAY or again:
            found.append(_Advice(action=action, row=now, again=again))
    return sorted(found, key=lambda one: one.action.value)


def _action(now: Mapping[str, Any]) -> _Action:
    moves = now["suggested_stage"] != now["stage"]
    if now["status"] == ReadinessStatus.READY.value:
        return _Action.MOVE_ON if moves else _Action.AT_THE_TOP
    if now["status"] == ReadinessStatus.REVISIT.value:
        return _Action.GO_BACK if moves else _Action.STAY_DOWN
    return _Action.STAY


def _advice_words(one: _Advice) -> str:
    number = one.row["stage_position"]
    return {
        _Action.MOVE_ON: _("Move on from {stage} ({number}) to {next}"),
        _Action.GO_BACK: _("Go back from {stage} ({number}) to {next}"),
        _Action.STAY_DOWN: _("Fell back at {stage} ({number}), the first stage: practise it again"),
        _Action.STAY: _("Stay at {stage} ({number})"),
        _Action.AT_THE_TOP: _("Ready at {stage} ({number}), the last stage: nothing to move on to"),
    }[one.action].format(stage=one.row["stage"], number=number, next=one.row["suggested_stage"]) + _kept_words(one)


def _kept_words(one: _Advice) -> str:
    if not one.again:
        return ""
    stages = ", ".join(f"{row['stage']} ({row['stage_position']})" for row in one.again)
    return _("; keep in the warm-up: {stages}").format(stages=stages)


def _figures(one: _Advice) -> str:
    """When the score reached the ready line, and where it is now; the same of the fall where the foot fell back."""
    found = []
    if one.action in (_Action.MOVE_ON, _Action.AT_THE_TOP):
        score, line = readiness_words.score_and_line(one.row["score"], one.row["ready_line"])
        found.append(
            _("reached line {line} on {day}, score now {score}").format(
                line=line, day=wording.date_words(one.row["became_ready_at"]), score=score
            )
        )
    fallen = [one.row] if one.action in (_Action.GO_BACK, _Action.STAY_DOWN) else []
    for row in (*fallen, *one.again):
        fall, line = readiness_words.score_and_line(row["falling_score"], row["revisit_line"])
        found.append(
            _("at stage {number} the fall reached line {line}, now {fall}").format(
                number=row["stage_position"], fall=fall, line=line
            )
        )
    return "; ".join(found)
