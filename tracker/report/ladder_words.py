"""What a coach reads about the ladder: who is ready, who waits for what, who should revisit, and what was decided."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

import polars as pl

from tracker.domain.ladder import Ladder
from tracker.domain.practice import Placement
from tracker.domain.vocabulary import Foot, LengthUnit, ReadinessStatus
from tracker.report import glossary, readiness_words, wording
from tracker.report.glossary import foot_word, side_foot
from tracker.report.language import _
from tracker.report.season_words import ended, listed
from tracker.review.agreement_with_coach import Decision, Outcome
from tracker.review.group import GroupMove, GroupView


@dataclass(frozen=True, kw_only=True, slots=True)
class SuggestedMove:
    """A foot the tool would move: to which stage, and the sentence that says why."""

    player: str
    foot: Foot
    stage: str
    is_on: bool
    words: str


def suggested_moves(board: pl.DataFrame) -> list[SuggestedMove]:
    """The moves a frame of ``review.readiness`` suggests, on before back, each in the order of the board."""
    rows = readiness_words.with_reasons(board.filter("is_current")).filter(pl.col("suggested_stage") != pl.col("stage"))
    moves = [
        SuggestedMove(
            player=row["player"],
            foot=Foot(row["foot"]),
            stage=row["suggested_stage"],
            is_on=row["status"] == ReadinessStatus.READY.value,
            words=_("{player}, {foot}: {stage} → {next_stage}").format(
                player=row["player"],
                foot=foot_word(Foot(row["foot"])),
                stage=row["stage"],
                next_stage=row["suggested_stage"],
            ),
        )
        for row in rows.iter_rows(named=True)
    ]
    return sorted(moves, key=lambda one: not one.is_on)


def now_words(board: pl.DataFrame) -> str:
    """How many feet are ready to move on, and how many fell back; who they are stands in ``now_table``."""
    feet = {what: rows.height for what, rows in _by_action(board).items()}
    return _(
        "Ready to move on: {ready}. Fell back: {now} at the stage practised now, {passed} at stages already passed."
    ).format(
        ready=wording.counted(feet[_Action.MOVE_ON], "foot", "feet"),
        now=feet[_Action.GO_BACK] + feet[_Action.STAY_DOWN],
        passed=feet[_Action.AGAIN],
    )


def now_table(board: pl.DataFrame) -> pl.DataFrame:
    """Who should do what now, by stage and foot: What now, Left foot, Right foot. Only what somebody should do."""
    rows = [
        (
            _action_words(action).format(stage=stage, number=number),
            *(_names(here.filter(foot=foot.value)["player"].to_list()) for foot in Foot),
        )
        for action, found in _by_action(board).items()
        for (number, stage), here in found.sort("stage_position", maintain_order=True).group_by(
            "stage_position", "stage", maintain_order=True
        )
    ]
    heads = (_("What now"), *(glossary.foot_words(foot) for foot in Foot))
    return pl.DataFrame(rows, schema=dict.fromkeys(heads, pl.String), orient="row")


class _Action(Enum):
    MOVE_ON = 1
    AT_THE_TOP = 2
    GO_BACK = 3
    STAY_DOWN = 4
    AGAIN = 5


def _by_action(board: pl.DataFrame) -> dict[_Action, pl.DataFrame]:
    """The rows of the board that ask for something. A passed stage and the one practised now are both looked at."""
    status, moves = pl.col("status"), pl.col("suggested_stage") != pl.col("stage")
    ready, back = status == ReadinessStatus.READY.value, status == ReadinessStatus.REVISIT.value
    now = pl.col("is_current")
    return {
        _Action.MOVE_ON: board.filter(now & ready & moves),
        _Action.AT_THE_TOP: board.filter(now & ready & ~moves),
        _Action.GO_BACK: board.filter(now & back & moves),
        _Action.STAY_DOWN: board.filter(now & back & ~moves),
        _Action.AGAIN: board.filter(back & ~now),
    }


def _action_words(action: _Action) -> str:
    return {
        _Action.MOVE_ON: _("Ready to move on from {stage} ({number})"),
        _Action.AT_THE_TOP: _("Ready at {stage} ({number}), the last stage: nothing to move on to"),
        _Action.GO_BACK: _("Fell back at {stage} ({number}), practised now: go back a stage"),
        _Action.STAY_DOWN: _("Fell back at {stage} ({number}), the first stage: practise it again"),
        _Action.AGAIN: _("Fell back at {stage} ({number}), already passed: practise it again"),
    }[action]


def revisit_table(board: pl.DataFrame) -> pl.DataFrame:
    """Every stage at which a foot fell back, and why."""
    rows = readiness_words.with_reasons(board.filter(pl.col("status") == ReadinessStatus.REVISIT.value))
    return rows.select(
        pl.format("{}, {}", "player", _side()).alias(_("Foot")),
        pl.format("{}. {}", "stage", "reason").alias(_("Where it fell back")),
    )


def waiting_table(board: pl.DataFrame) -> pl.DataFrame:
    """Who waits for what: every foot that is neither ready nor falling back, and what is still to come."""
    waits = (ReadinessStatus.WORKING.value, ReadinessStatus.GATHERING.value)
    rows = readiness_words.with_reasons(board.filter(pl.col("is_current") & pl.col("status").is_in(waits)))
    return rows.select(
        pl.format("{}, {}", "player", _side()).alias(_("Foot")),
        pl.format("{}. {}", "stage", "reason").alias(_("Waits for")),
    )


def group_words(view: GroupView, *, unit: LengthUnit) -> list[str]:
    """What the group view suggests for the next practice, then its reasons."""
    if view.stage is None or view.move is GroupMove.TOO_FEW:
        return [_("Nobody has strikes at a stage yet, so there is nothing to suggest.")]
    stage, group = view.stage, view.group
    where = wording.length_words(stage.distance_m, unit)
    if view.move is GroupMove.TOP:
        first = _("{passed} of {group} are ready with both feet at {stage}, the last stage: keep it fresh.")
    elif view.move is GroupMove.MOVE and (view.not_yet or view.one_foot):
        first = _(
            "{passed} of {group} have passed {stage} with both feet: move the group to {next}; "
            "the others repeat {stage} at {where}."
        )
    elif view.move is GroupMove.MOVE:
        first = _("All {group} have passed {stage} with both feet: move the group to {next}.")
    else:
        first = _("{passed} of {group} have passed {stage} ({where}) with both feet: stay there with the group.")
    next_stage = view.next_stage.name if view.next_stage else stage.name
    counts = {"passed": len(view.passed), "group": group, "stage": stage.name, "where": where, "next": next_stage}
    lines = [first.format(**counts)]
    lines.append(_("Most feet practise {stage} now, so that is the stage looked at.").format(stage=stage.name))
    if view.passed:
        lines.append(ended(_("Have passed it with both feet: {names}").format(names=listed(view.passed))))
    if view.one_foot:
        waiting = [f"{name} ({foot_word(foot)})" for name, foot in view.one_foot]
        lines.append(ended(_("One foot still to come: {names}").format(names=listed(waiting))))
    if view.not_yet:
        lines.append(ended(_("Both feet still to come: {names}").format(names=listed(view.not_yet))))
    if view.move is not GroupMove.TOP:
        lines.append(
            _("A group moves together once two thirds ({needed} of {group}) have passed with both feet.").format(
                needed=view.needed, group=group
            )
        )
    lines.append(_("Passed: ready there, or moved on from there, and not fallen back since."))
    return lines


def group_table(view: GroupView, *, ladder: Ladder) -> pl.DataFrame:
    """Who has passed each stage, with both feet or with one, and which stage that opens."""
    names = {stage.name: stage for stage in ladder.stages}
    rows = []
    for row in view.stages.iter_rows(named=True):
        after = ladder.stage_after(names[row["stage"]])
        one_only = ((foot, row[f"{foot.value}_only"]) for foot in Foot)
        rows.append(
            (
                row["stage"],
                after.name if after else _("last stage"),
                _names(row["both"]),
                _names([f"{name} ({foot_word(foot)})" for foot, only in one_only for name in only]),
            )
        )
    heads = (_("Stage passed"), _("Comes next"), _("With both feet"), _("With this foot only"))
    return pl.DataFrame(rows, schema=dict.fromkeys(heads, pl.String), orient="row")


def stage_counts_table(view: GroupView) -> pl.DataFrame:
    """How many feet practise each stage, and how many of the squad have passed it per foot."""
    return view.stages.select(
        pl.format("{}. {}", "position", "stage").alias(_("Stage")),
        pl.col("working_left").alias(_("Left feet here")),
        pl.col("working_right").alias(_("Right feet here")),
        pl.col("passed_left").alias(_("Passed, left")),
        pl.col("passed_right").alias(_("Passed, right")),
        pl.col("passed_both").alias(_("Passed, both")),
    )


def agreement_lines(decisions: pl.DataFrame) -> list[str]:
    """How often the coach and the tool agreed, and what became of those moved early."""
    counted = {one: decisions.filter(decision=one.value).height for one in Decision}
    judged = sum(counted.values()) - counted[Decision.NO_SUGGESTION]
    if not judged:
        return [_("No decision with a suggestion beside it yet.")]
    lines = [
        _("{decisions}: as suggested {agreed}, earlier {earlier}, lower {lower}.").format(
            decisions=wording.counted(judged, "decision"),
            agreed=counted[Decision.AS_SUGGESTED],
            earlier=counted[Decision.EARLIER],
            lower=counted[Decision.LATER],
        )
    ]
    for decision, start in (
        (Decision.EARLIER, _("Moved earlier than suggested: {outcomes}.")),
        (Decision.AS_SUGGESTED, _("Moved as suggested: {outcomes}.")),
    ):
        outcomes = decisions.filter(decision=decision.value)["outcome"].to_list()
        if outcomes:
            lines.append(start.format(outcomes=_outcome_counts(outcomes)))
    return lines


def decisions_table(decisions: pl.DataFrame) -> pl.DataFrame:
    """A frame of ``review.agreement_with_coach`` in words: Date, Foot, Placed at, Beside the tool, Since then, Note."""
    rows = [
        (
            wording.date_words(row["placed_at"]),
            f"{row['player']}, {foot_word(Foot(row['foot']))}",
            row["stage"],
            decision_words(Decision(row["decision"])),
            outcome_words(Outcome(row["outcome"])),
            row["note"] or "",
        )
        for row in decisions.iter_rows(named=True)
    ]
    heads = (_("Date"), _("Foot"), _("Placed at"), _("Beside the tool"), _("Since then"), _("Note"))
    return pl.DataFrame(rows, schema=dict.fromkeys(heads, pl.String), orient="row")


def decision_words(decision: Decision) -> str:
    """A decision beside the tool's suggestion."""
    return {
        Decision.AS_SUGGESTED: _("as suggested"),
        Decision.EARLIER: _("earlier than suggested"),
        Decision.LATER: _("lower than suggested"),
        Decision.NO_SUGGESTION: _("no suggestion yet"),
    }[decision]


def outcome_words(outcome: Outcome) -> str:
    """What became of a decision."""
    return {
        Outcome.MOVED_ON: _("moved on since"),
        Outcome.MOVED_BACK: _("moved back since"),
        Outcome.PLACED_AGAIN: _("placed there again"),
        Outcome.READY: _("ready there"),
        Outcome.WORKING: _("at work there"),
        Outcome.GATHERING: _("few strikes there yet"),
        Outcome.REVISIT: _("fell back there"),
    }[outcome]


def _outcome_counts(outcomes: Sequence[str]) -> str:
    found = ((one, outcomes.count(one.value)) for one in Outcome)
    return ", ".join(f"{count} {outcome_words(one)}" for one, count in found if count)


def _names(names: Sequence[str]) -> str:
    return ", ".join(names) if names else "–"


def _side() -> pl.Expr:
    return pl.col("foot").cast(pl.String).replace_strict({foot.value: foot_word(foot) for foot in Foot})


def placed_words(player: str, foot: Foot, stage: str) -> str:
    """What a decision brings."""
    return _("{player}, {foot}, practises {stage} from now on.").format(
        player=player, foot=side_foot(foot), stage=stage
    )


def placement_words(player: str, placement: Placement) -> str:
    """A decision in a line, such as "12 Mar: Ana, left, at Rolling ball"."""
    return _("{day}: {player}, {foot}, at {stage}").format(
        day=wording.short_date_words(placement.placed_at.astimezone().date()),
        player=player,
        foot=foot_word(placement.foot),
        stage=placement.stage,
    )
