"""What a coach reads about the ladder: who is ready, who waits for what, who should revisit, and what was decided."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import polars as pl

from tracker.domain.ladder import Ladder
from tracker.domain.practice import Placement
from tracker.domain.vocabulary import Foot, LengthUnit, ReadinessStatus
from tracker.report import wording
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
    rows = wording.with_reasons(board.filter("is_current")).filter(pl.col("suggested_stage") != pl.col("stage"))
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


def ready_words(board: pl.DataFrame) -> str:
    """Who is ready to move on, with which feet."""
    current = board.filter("is_current")
    has_way_on = pl.col("suggested_stage") != pl.col("stage")
    ready = current.filter((pl.col("status") == ReadinessStatus.READY.value) & has_way_on)
    return ended(_("Ready to move on: {names}").format(names=listed(_with_feet(ready))))


def revisit_words(board: pl.DataFrame) -> list[str]:
    """Who falls back: where a foot works now, and at stages it had passed."""
    back = board.filter(pl.col("status") == ReadinessStatus.REVISIT.value)
    return [
        ended(sentence.format(names=listed(_with_feet(rows))))
        for sentence, rows in (
            (_("Fell back where they work now: {names}"), back.filter("is_current")),
            (_("Fell back after moving on: {names}"), back.filter("is_passed")),
        )
    ]


def revisit_table(board: pl.DataFrame) -> pl.DataFrame:
    """Every stage at which a foot falls back, and why."""
    rows = wording.with_reasons(board.filter(pl.col("status") == ReadinessStatus.REVISIT.value))
    return rows.select(
        pl.format("{}, {}", "player", _side()).alias(_("Foot")),
        pl.format("{}. {}", "stage", "reason").alias(_("Worth another visit")),
    )


def waiting_table(board: pl.DataFrame) -> pl.DataFrame:
    """Who waits for what: every foot that is neither ready nor falling back, and what is still to come."""
    waits = (ReadinessStatus.WORKING.value, ReadinessStatus.GATHERING.value)
    rows = wording.with_reasons(board.filter(pl.col("is_current") & pl.col("status").is_in(waits)))
    return rows.select(
        pl.format("{}, {}", "player", _side()).alias(_("Foot")),
        pl.format("{}. {}", "stage", "reason").alias(_("Waits for")),
    )


def group_words(view: GroupView, *, unit: LengthUnit) -> list[str]:
    """What the group view suggests for the next practice, then its reasons."""
    if view.stage is None or view.move is GroupMove.TOO_FEW:
        return [_("Nobody has strikes at a stage yet, so there is nothing to suggest.")]
    stage, ready, group = view.stage, len(view.ready), view.group
    others = bool(view.not_yet or view.one_foot)
    where = wording.length_words(stage.distance_m, unit)
    counts = {"ready": ready, "group": group, "stage": stage.name, "where": where}
    if view.move is GroupMove.TOP:
        first = _("{ready} of {group} are ready on both feet at {stage}, the top of the ladder: keep it fresh.")
    elif view.move is GroupMove.MOVE and others:
        first = _(
            "{ready} of {group} are ready on both feet: move the group to {next}; the others repeat {stage} at {where}."
        )
    elif view.move is GroupMove.MOVE:
        first = _("All {group} are ready on both feet: move the group to {next}.")
    else:
        first = _("{ready} of {group} are ready on both feet at {stage} ({where}): stay there with the group.")
    lines = [first.format(**counts, next=view.next_stage.name if view.next_stage else stage.name)]
    lines.append(_("Most feet work at {stage} now, so that is the stage looked at.").format(stage=stage.name))
    if view.ready:
        lines.append(ended(_("Ready on both feet: {names}").format(names=listed(view.ready))))
    if view.one_foot:
        waiting = [f"{name} ({foot_word(foot)})" for name, foot in view.one_foot]
        lines.append(ended(_("Wait for one foot: {names}").format(names=listed(waiting))))
    if view.not_yet:
        lines.append(ended(_("Wait for both feet: {names}").format(names=listed(view.not_yet))))
    if view.move is not GroupMove.TOP:
        lines.append(_("A group moves together once two of three are ready on both feet."))
    return lines


def group_table(view: GroupView, *, ladder: Ladder) -> pl.DataFrame:
    """Who is ready for each stage, which is whoever is through the stage before: with both feet, with one."""
    names = {stage.name: stage for stage in ladder.stages}
    rows = [
        (
            after.name,
            _names(row["both"]),
            _names(
                [
                    f"{name} ({foot_word(foot)})"
                    for foot, only in ((Foot.LEFT, "left_only"), (Foot.RIGHT, "right_only"))
                    for name in row[only]
                ]
            ),
        )
        for row in view.stages.iter_rows(named=True)
        if (after := ladder.stage_after(names[row["stage"]]))
    ]
    heads = (_("Ready for"), _("Both feet"), _("One foot only"))
    return pl.DataFrame(rows, schema=dict.fromkeys(heads, pl.String), orient="row")


def stage_counts_table(view: GroupView) -> pl.DataFrame:
    """How many feet work at each stage, and how many of the squad are through it per foot."""
    return view.stages.select(
        pl.format("{}. {}", "position", "stage").alias(_("Stage")),
        pl.col("working_left").alias(_("Left feet here")),
        pl.col("working_right").alias(_("Right feet here")),
        pl.col("ready_left").alias(_("Through, left")),
        pl.col("ready_right").alias(_("Through, right")),
        pl.col("ready_both").alias(_("Through, both")),
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


def _with_feet(rows: pl.DataFrame) -> list[str]:
    """Names, with the foot where it is only one."""
    names: dict[str, list[Foot]] = {}
    for row in rows.iter_rows(named=True):
        names.setdefault(row["player"], []).append(Foot(row["foot"]))
    both = _("both feet")
    return [f"{name} ({both if len(feet) == len(Foot) else foot_word(feet[0])})" for name, feet in names.items()]


def _names(names: Sequence[str]) -> str:
    return ", ".join(names) if names else "–"


def _side() -> pl.Expr:
    return pl.col("foot").cast(pl.String).replace_strict({foot.value: foot_word(foot) for foot in Foot})


def placed_words(player: str, foot: Foot, stage: str) -> str:
    """What a decision brings."""
    return _("{player}, {foot}, works at {stage} from now on.").format(player=player, foot=side_foot(foot), stage=stage)


def placement_words(player: str, placement: Placement) -> str:
    """A decision in a line, such as "12 Mar: Ana, left, at Rolling ball"."""
    return _("{day}: {player}, {foot}, at {stage}").format(
        day=wording.short_date_words(placement.placed_at.astimezone().date()),
        player=player,
        foot=foot_word(placement.foot),
        stage=placement.stage,
    )
