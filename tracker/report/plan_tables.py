"""The tables of a practice plan, and of what became of it."""

from __future__ import annotations

from collections.abc import Sequence

import polars as pl

from tracker.domain.block_choice import BlockReview
from tracker.domain.practice_plan import Part, PlayerWork, PracticePlan
from tracker.domain.vocabulary import Foot, LengthUnit
from tracker.report import plan_sentences, plan_words
from tracker.report.glossary import foot_word, foot_words
from tracker.report.language import _, ngettext
from tracker.report.wording import date_words, short_date_words


def timetable_table(plan: PracticePlan) -> pl.DataFrame:
    """Minutes, Part, What."""
    rows = [
        (
            f"{part.starts_at}–{part.starts_at + part.minutes}",
            plan_words.activity_word(part.activity),
            plan_sentences.part_words(part),
        )
        for part in plan.parts
    ]
    return _words(rows, _("Minutes"), _("Part"), _("What"))


def lanes_table(part: Part, *, order: Sequence[str]) -> pl.DataFrame:
    """Lane, Stage, Players in the order of shirts."""
    rows = [
        (
            str(lane.number),
            lane.stage,
            plan_sentences.listed(plan_sentences.in_order([one.player for one in lane.players], order)),
        )
        for lane in part.lanes
    ]
    return _words(rows, _("Lane"), _("Stage"), _("Players"))


def work_table(part: Part, *, order: Sequence[str], unit: LengthUnit) -> pl.DataFrame:
    """Player, Lane, Left foot, Right foot: sets and distance, in the order of shirts."""
    work = {one.player: (lane.number, one) for lane in part.lanes for one in lane.players}
    rows = [
        (name, str(work[name][0]), *(_sets(work[name][1], foot, unit) for foot in Foot))
        for name in plan_sentences.in_order(list(work), order)
    ]
    return _words(rows, _("Player"), _("Lane"), *(foot_words(foot) for foot in Foot))


def _sets(work: PlayerWork, foot: Foot, unit: LengthUnit) -> str:
    return plan_sentences.work_words(next((one for one in work.feet if one.foot is foot), None), unit)


def turns_table(plan: PracticePlan, *, order: Sequence[str]) -> pl.DataFrame:
    """Minute, Lane, Players, Logger."""
    rows = [
        (
            plan_sentences.minutes_words(turn.starts_at, turn.minutes),
            str(turn.lane),
            plan_sentences.listed(plan_sentences.in_order(turn.players, order)),
            str(turn.logger),
        )
        for turn in plan.focal_turns
    ]
    return _words(rows, _("When"), _("Lane"), _("Players"), _("Logger"))


def expected_table(plan: PracticePlan, *, order: Sequence[str]) -> pl.DataFrame:
    """Player, Left foot, Right foot: strikes to expect, and how many of them are watched."""
    expected = {(one.player, one.foot): one for one in plan.expected_strikes}
    names = plan_sentences.in_order(list(dict.fromkeys(player for player, _foot in expected)), order)
    rows = [(name, *(plan_sentences.strikes_words(expected[name, foot]) for foot in Foot)) for name in names]
    return _words(rows, _("Player"), *(foot_words(foot) for foot in Foot))


def weeks_table(weeks: pl.DataFrame) -> pl.DataFrame:
    """Week, From, Other foot, Stages (feet), Strikes a player, Look back, of ``plan.season_block.block_weeks``."""
    rows = [
        (
            str(row["week"]),
            short_date_words(row["starts_on"]),
            _("over") if row["is_past"] else row["stages"],
            _("at least half") if row["is_other_foot"] else _("at least a quarter"),
            "–" if row["is_past"] else str(row["strikes"]),
            review_words(BlockReview(row["review"])) if row["review"] else "",
        )
        for row in weeks.iter_rows(named=True)
    ]
    heads = (_("Week"), _("From"), _("Stages (feet at each)"), _("Other foot"), _("Strikes a player"), _("Look back"))
    return _words(rows, *heads)


def review_words(review: BlockReview) -> str:
    """What is looked back on."""
    return {
        BlockReview.HALF: _("Half of the block: who moves on, who repeats, and whether two observers still agree."),
        BlockReview.PASSED_AGAIN: _("Look again at the stages passed: ten strikes a foot."),
        BlockReview.END: _("End of the block: readiness, each foot against the start, and a talk with the players."),
    }[review]


def against_table(frame: pl.DataFrame) -> pl.DataFrame:
    """Player, Foot, Stage, Planned, Logged, of ``review.plan_against_practice``."""
    rows = [
        (
            row["player"],
            foot_word(Foot(row["foot"])),
            row["stage"] or _("no stage"),
            str(row["planned"] or "–"),
            str(row["logged"] or "–"),
        )
        for row in frame.iter_rows(named=True)
    ]
    return _words(rows, _("Player"), _("Foot"), _("Stage"), _("Planned"), _("Logged"))


def against_words(frame: pl.DataFrame) -> str:
    """What became of a plan in a sentence."""
    planned, logged = int(frame["planned"].sum()), int(frame["logged"].sum())
    return ngettext(
        "{planned} strike was planned, {logged} were logged.",
        "{planned} strikes were planned, {logged} were logged.",
        planned,
    ).format(planned=planned, logged=logged)


def season_against_table(frame: pl.DataFrame) -> pl.DataFrame:
    """Practice, Planned, Logged, As planned, Stages, of ``review.plan_against_season``, the latest first."""
    rows = [
        (
            f"{date_words(row['held_on'])} {row['label']}".strip(),
            str(row["planned"]),
            str(row["logged"]),
            _("{hits} of 10").format(hits=round(10 * row["share"])),
            _("{worked} of {planned}").format(worked=row["stages_worked"], planned=row["stages_planned"]),
        )
        for row in frame.reverse().iter_rows(named=True)
    ]
    heads = (_("Practice"), _("Planned"), _("Logged"), _("Logged as planned"), _("Stages worked"))
    return _words(rows, *heads)


def weekly_table(frame: pl.DataFrame, *, most_weeks: int = 6) -> pl.DataFrame:
    """Strikes a week of each player, the latest weeks, of ``review.weekly_strikes``; a dash for none."""
    weeks = sorted(set(frame["week"].to_list()))[-most_weeks:]
    count = {(row["player"], row["week"]): row["strikes"] for row in frame.iter_rows(named=True)}
    names = list(dict.fromkeys(frame["player"]))
    rows = [(name, *(str(count.get((name, week), "–")) for week in weeks)) for name in names]
    return _words(rows, _("Player"), *(short_date_words(week) for week in weeks))


def _words(rows: Sequence[tuple[str, ...]], *heads: str) -> pl.DataFrame:
    return pl.DataFrame(rows, schema=dict.fromkeys(heads, pl.String), orient="row")
