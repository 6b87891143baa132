"""What a player and their parents read about the ladder: where each foot stands, what comes next, and why."""

from __future__ import annotations

from collections.abc import Sequence

from tracker.domain.ladder import Ladder, Stage
from tracker.report import glossary, wording
from tracker.report.language import _
from tracker.review.season_report import FootSeason, PassedStage, SeasonReport, Standing


def stage_words(foot: FootSeason, ladder: Ladder) -> str:
    """The stage a foot works at, how far up that is, and whether it is ready to move on from there."""
    if foot.standing_at(foot.stage) is Standing.READY:
        sentence = _("Ready to move on from stage {number} of {stages}, {stage}.")
    else:
        sentence = _("At stage {number} of {stages}, {stage}.")
    return sentence.format(number=foot.stage.position, stages=len(ladder.stages), stage=foot.stage.name)


def stages_note() -> str:
    """What a stage is, and what it takes to pass one."""
    return _(
        "A stage is a drill; most are harder than the one before. A foot is ready to move on when two practices or "
        "more show that it hits often enough. Then your coach decides."
    )


def standing_words(foot: FootSeason, stage: Stage) -> str:
    """Where a foot stands at a stage of the ladder."""
    standing = foot.standing_at(stage)
    if standing in (Standing.READY, Standing.WORKING) and foot.ready_on:
        since = (
            _("now here, ready to move on since {day}")
            if standing is Standing.READY
            else _("now here, often enough on target since {day}")
        )
        return since.format(day=wording.date_words(foot.ready_on))
    passed = next((one for one in foot.passed if one.stage == stage.name), None)
    began_above = passed is None and stage.position < foot.began_at
    before = _("you began further up") if began_above else passed_words(passed)
    return {
        Standing.BEGAN_ABOVE: before,
        Standing.PASSED: before,
        Standing.TO_FIRM_UP: _("{passed}; to make firm").format(passed=before),
        Standing.WORKING: _("now here"),
        Standing.READY: _("now here, ready to move on"),
        Standing.TO_COME: _("to come"),
    }[standing]


def passed_words(passed: PassedStage | None) -> str:
    """When a foot passed a stage, or that the coach moved it on before the strikes showed it."""
    if passed is None:
        return _("passed before this season")
    sentence = _("{day}, moved on by your coach") if passed.by_coach else _("passed {day}")
    return sentence.format(day=wording.date_words(passed.passed_on))


def firm_note(report: SeasonReport) -> str:
    """What *to make firm* means, where it is said of a stage."""
    if not any(foot.standing_at(one) is Standing.TO_FIRM_UP for foot in report.feet for one in report.ladder.stages):
        return ""
    return _(
        "“To make firm”: for a while fewer strikes were on target there or one stage further up. That happens; a short "
        "return makes it firm."
    )


def next_step(foot: FootSeason) -> str:
    """What to work on next with a foot: on, back for a while, or more of the same."""
    if foot.next_stage.position > foot.stage.position:
        step = _("on to {stage}")
    elif foot.next_stage.position < foot.stage.position:
        step = _("back to {stage} for a while")
    else:
        step = _("more of {stage}")
    return step.format(stage=foot.next_stage.name)


def next_sentence(report: SeasonReport) -> str:
    """What is next, each foot named."""
    left, right = (next_step(foot) for foot in report.feet)
    if left == right:
        return _("Next, both feet: {step}.").format(step=left)
    return _("Next, left foot: {left}. Right foot: {right}.").format(left=left, right=right)


def next_by_stage(report: SeasonReport) -> list[tuple[str, Sequence[FootSeason]]]:
    """What to work on next in words, and the feet it is said of: two feet with one next stage are told of together."""
    left, right = report.feet
    both = [f"{glossary.foot_words(foot.foot)}: {next_step(foot)}" for foot in report.feet]
    if left.next_stage != right.next_stage:
        return [(both[0], [left]), (both[1], [right])]
    if next_step(left) == next_step(right):
        return [(_("Both feet: {step}").format(step=next_step(left)), report.feet)]
    return [(". ".join(both), report.feet)]


def reason_words(foot: FootSeason) -> str:
    """Why a foot goes back a stage, and what to come back to now and then; empty where neither is so."""
    if foot.next_stage.position < foot.stage.position:
        return _(
            "{stage} is a big step: for a while few strikes there were on target. A short return makes it firm."
        ).format(stage=foot.stage.name)
    return " ".join(
        _("Now and then a set of {stage} makes it firm.").format(stage=one.stage)
        for one in foot.passed
        if one.stage in foot.slipped
    )
