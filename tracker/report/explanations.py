"""The longer words of the dashboard: what its terms mean, and what became of a file."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from tracker.domain.vocabulary import ExportWhat, ReadinessStatus
from tracker.report.wording import TOO_FEW, TOO_FEW_BELOW, counted

if TYPE_CHECKING:
    from tracker.review.exchange import ImportSummary

STAND_BEHIND = "Stand behind or beside the striker: left is then on your left."
LIKE_WITH_LIKE = (
    "Stages differ in difficulty, so a player who moves up looks less accurate. "
    "Pick one stage to compare like with like."
)
COUNTS_AS_MEANS = (
    "Counts as: strikes of one day hang together (same form, wind and instruction), so they tell less than as many "
    "strikes of many days. The likely range allows for that."
)
LADDER_MEANS = (
    "Angle: how wide the target looks from where the ball is struck; the smaller, the harder. "
    "Not yet: the rate of a player who should stay; Ready: the rate of one who should move on."
)
EXPORT_HOLDS_NAMES = "The file holds the players' names. Keep it as safe as the records themselves."
LUCK = "Luck alone moves 20 strikes by about 4 either way, so look at the range, not only at the count."

STATUS_MEANS: Mapping[ReadinessStatus, str] = {
    ReadinessStatus.GATHERING: f"fewer than {TOO_FEW_BELOW} strikes at this stage: {TOO_FEW}",
    ReadinessStatus.WORKING: "at work on this stage; the score has not reached the ready line",
    ReadinessStatus.READY: "the score reached the ready line on two practices or more, or the coach moved this foot on",
    ReadinessStatus.REVISIT: "the strikes here fell back for good: worth another visit",
}


def status_key() -> str:
    """What each status means, in one paragraph."""
    return " ".join(f"{status.value.capitalize()}: {means}." for status, means in STATUS_MEANS.items())


def export_words(what: ExportWhat) -> str:
    """What an export holds."""
    return {
        ExportWhat.STRIKES: "Strikes of this squad, one row each",
        ExportWhat.TALLIES: "Tallies of this squad: counts per player, foot, stage and practice",
        ExportWhat.ALL: "Everything of every squad, to move to another computer (zip)",
    }[what]


def import_lines(summary: ImportSummary) -> tuple[str, ...]:
    """What a file brought, or would bring, in sentences."""
    stored, there = counted(summary.stored, "strike"), counted(summary.already_there, "strike")
    if summary.dry_run:
        first = f"Checked, nothing stored: {stored} would be new, {there} are there already."
    else:
        first = f"Stored: {stored} new; {there} were there already."
    lines = (
        first,
        f"New players: {', '.join(summary.new_players)}." if summary.new_players else "",
        f"Columns not used: {', '.join(summary.unknown_columns)}." if summary.unknown_columns else "",
        f"Stages this ladder does not have: {', '.join(summary.unknown_stages)}. Their strikes count in rates, "
        "but not towards being ready."
        if summary.unknown_stages
        else "",
        f"{counted(summary.rejected, 'row')} left out; the reasons are below." if summary.rejected else "",
    )
    return tuple(line for line in lines if line)


def rejected_lines(*, read: int, rejected: int) -> tuple[str, ...]:
    """Why nothing of a file was stored.

    >>> rejected_lines(read=40, rejected=1)[0]
    '1 of 40 rows is wrong, so nothing was stored.'
    """
    verb = "is" if rejected == 1 else "are"
    return (
        f"{rejected:,} of {read:,} rows {verb} wrong, so nothing was stored.",
        "Mend the file and check it again, or tick the box to leave the wrong rows out.",
    )
