"""What a coach reads about the ladder: who waits for what, what suits the group, and what was decided."""

from __future__ import annotations

from collections.abc import Sequence

import polars as pl

from tracker.domain.ladder import Stage
from tracker.domain.practice import Placement
from tracker.domain.vocabulary import Foot, LengthUnit, ReadinessStatus
from tracker.report import glossary, readiness_words, wording
from tracker.report.glossary import foot_word, side_foot
from tracker.report.language import _
from tracker.report.season_words import ended, listed
from tracker.review.agreement_with_coach import Decision, SinceThen
from tracker.review.group import GroupMove, GroupView


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
        first = _("{done} of {group} are ready with both feet at {stage}, the last stage: keep it fresh.")
    elif view.move is GroupMove.MOVE and (view.not_yet or view.one_foot):
        first = _(
            "{done} of {group} are done with {stage} with both feet: move the group to {next}; "
            "the others repeat {stage} at {where}."
        )
    elif view.move is GroupMove.MOVE:
        first = _("All {group} are done with {stage} with both feet: move the group to {next}.")
    else:
        first = _("{done} of {group} are done with {stage} ({where}) with both feet: stay there with the group.")
    next_stage = view.next_stage.name if view.next_stage else stage.name
    counts = {"done": len(view.done), "group": group, "stage": stage.name, "where": where, "next": next_stage}
    return [first.format(**counts), *_group_reasons(view, stage)]


def _group_reasons(view: GroupView, stage: Stage) -> list[str]:
    here, feet = view.feet_at(stage), view.feet
    most = (
        _("Most feet practise {stage} now ({here} of {feet}), so that is the stage looked at.")
        if 2 * here > feet
        else _(
            "More feet practise {stage} now than any other stage ({here} of {feet}), so that is the stage looked at."
        )
    )
    lines = [most.format(stage=stage.name, here=here, feet=feet)]
    if view.one_foot:
        waiting = [f"{name} ({foot_word(foot)})" for name, foot in view.one_foot]
        lines.append(ended(_("One foot still to come: {names}").format(names=listed(waiting))))
    if view.not_yet:
        lines.append(ended(_("Both feet still to come: {names}").format(names=listed(view.not_yet))))
    if view.move is not GroupMove.TOP:
        lines.append(
            _("A group moves together once two thirds ({needed} of {group}) are done with both feet.").format(
                needed=view.needed, group=view.group
            )
        )
    return [*lines, done_words()]


def done_words() -> str:
    """What *done with a stage* means, by the signs of the board."""
    return _(
        "Done with a stage: {ready} in a thick frame, {passed} (passed) or {skipped} (skipped) on the board."
    ).format(
        ready=glossary.status_sign(ReadinessStatus.READY),
        passed=glossary.PASSED_SIGN,
        skipped=glossary.SKIPPED_SIGN,
    )


def group_table(view: GroupView) -> pl.DataFrame:
    """Who is done with each stage, with both feet or with one: Stage, With both feet, Left foot only, Right foot only.

    A player stands in one column at most.
    """
    rows = [
        (f"{row['position']}. {row['stage']}", *(_names(row[who]) for who in ("both", "left_only", "right_only")))
        for row in view.stages.iter_rows(named=True)
    ]
    heads = (_("Done with the stage"), _("With both feet"), _("Left foot only"), _("Right foot only"))
    return pl.DataFrame(rows, schema=dict.fromkeys(heads, pl.String), orient="row")


def stage_counts_table(view: GroupView) -> pl.DataFrame:
    """How many feet practise each stage, and how many of the squad are done with it per foot."""
    return view.stages.select(
        pl.format("{}. {}", "position", "stage").alias(_("Stage")),
        pl.col("working_left").alias(_("Left feet here")),
        pl.col("working_right").alias(_("Right feet here")),
        pl.col("done_left").alias(_("Done, left")),
        pl.col("done_right").alias(_("Done, right")),
        pl.col("done_both").alias(_("Done, both")),
    )


def agreement_lines(decisions: pl.DataFrame) -> list[str]:
    """How often the coach and the tool agreed, and what became of those moved early."""
    counted = {one: decisions.filter(decision=one.value).height for one in Decision}
    judged = sum(counted.values()) - counted[Decision.NO_SUGGESTION]
    if not judged:
        return [_("No decision with a suggestion beside it yet.")]
    lines = [
        _(
            "{decisions} with a suggestion beside them: {agreed} as the tool suggested, {earlier} at a higher stage, "
            "{lower} at a lower one."
        ).format(
            decisions=wording.counted(judged, "decision"),
            agreed=counted[Decision.AS_SUGGESTED],
            earlier=counted[Decision.EARLIER],
            lower=counted[Decision.LATER],
        )
    ]
    for decision, start in (
        (Decision.EARLIER, _("Placed higher than suggested, and since then: {outcomes}.")),
        (Decision.AS_SUGGESTED, _("Placed as suggested, and since then: {outcomes}.")),
    ):
        outcomes = decisions.filter(decision=decision.value)["since_then"].to_list()
        if outcomes:
            lines.append(start.format(outcomes=_since_then_counts(outcomes)))
    return lines


def decisions_table(decisions: pl.DataFrame) -> pl.DataFrame:
    """A frame of ``review.agreement_with_coach`` in words: Date, Foot, Placed at, Beside the tool, Since then, Note."""
    rows = [
        (
            wording.date_words(row["placed_at"]),
            f"{row['player']}, {foot_word(Foot(row['foot']))}",
            row["stage"],
            decision_words(Decision(row["decision"])),
            since_then_words(SinceThen(row["since_then"])),
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


def since_then_words(since_then: SinceThen) -> str:
    """What became of a decision."""
    return {
        SinceThen.MOVED_ON: _("moved on since"),
        SinceThen.MOVED_BACK: _("moved back since"),
        SinceThen.PLACED_AGAIN: _("placed there again"),
        SinceThen.READY: _("ready there"),
        SinceThen.WORKING: _("at work there"),
        SinceThen.GATHERING: _("few strikes there yet"),
        SinceThen.REVISIT: _("fell back there"),
    }[since_then]


def _since_then_counts(outcomes: Sequence[str]) -> str:
    found = ((one, outcomes.count(one.value)) for one in SinceThen)
    return ", ".join(f"{count} {since_then_words(one)}" for one, count in found if count)


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


def caution_lines(stage: Stage) -> list[str]:
    """What to mind at a stage; a sentence of the ladders that ship in the reader's language where it is translated."""
    return [_(line) for line in stage.cautions]
