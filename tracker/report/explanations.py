"""The longer words of the dashboard: what its terms mean, and what became of a file."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
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


class Certainty(StrEnum):
    """What can be asked about how sure a figure is: the question, as a heading."""

    RANGE = "What is a likely range?"
    DAYS = "Why do days matter?"
    LIKE = "Why like with like?"
    CHANGE = "When is a change clear?"
    READY = "What does ready promise?"
    OBSERVERS = "Are the counts themselves right?"
    NOT_CLAIMED = "What is not claimed"


CERTAINTY: Mapping[Certainty, tuple[str, ...]] = {
    Certainty.RANGE: (
        "14 of 20 on target is a count, and certain. How the same player would do over very many strikes is not: "
        "likely between 5 and 9 of 10.",
        "Likely means that ranges made in this way hold the real rate about 19 times in 20.",
        "More strikes make it narrower, slowly: 10 strikes leave a range about 5 of 10 wide, 20 strikes 4, "
        "50 strikes 3, 100 strikes 2. Under 10 strikes nothing is said.",
        LUCK,
    ),
    Certainty.DAYS: (
        "Strikes of one day share form, wind and instruction. Ten more today tell less than ten on another day: "
        "60 strikes on 4 days may tell as much as 35 separate ones. Ranges are wider to allow for that.",
        "How alike the strikes of a day are is worked out from your own squad. Until there are enough practices, "
        "a cautious figure stands in.",
    ),
    Certainty.LIKE: (
        "A player who moves up a stage hits less often and may have become better all the same. The other foot is "
        "often used from nearer and looks better than it is.",
        "So the two feet are compared at the same stage, distance and surface, and a season is judged at like "
        "difficulty. Where the plain rates tell another story, both stand side by side, with the reason.",
    ),
    Certainty.CHANGE: (
        "A change is called clear only when its likely range leaves out no change at all. With fewer than three "
        "practices there is no verdict.",
        "Of many feet looked at together a few stand out by chance. The more are looked at, the more one must show.",
    ),
    Certainty.READY: (
        "A score climbs with every hit, falls with every miss, and never goes below 0. Ready means that it reached "
        "its line, with strikes of two practices or more.",
        "The line is computed, not chosen: of 10 players who are not there yet at most 1 is called ready within 100 "
        "strikes, however often you look. Of 10 who are there, about 9 are.",
        "So a ready call can be wrong; the Squad page says how many of its calls to expect wrong. The tool suggests, "
        "the coach decides, and both are kept.",
    ),
    Certainty.OBSERVERS: (
        "A rate is only as good as the counting. Let two people log the same pair for 40 strikes now and then. "
        "Where they agree little more than chance would, the counts are not yet trustworthy: settle what counts as "
        "on target first.",
    ),
    Certainty.NOT_CLAIMED: (
        "No order of players. In a squad of 16 with 20 strikes each, the player who counts best is truly the best "
        "only about 1 time in 3.",
        "No talent and no future: a rate is about these strikes, at this stage, on these days.",
        "No cause: better after a drill is not better because of it.",
        "No match: a gate on a quiet pitch is not a game. And good strikes at the end of a practice are not yet kept; "
        "the first set of the next one tells.",
    ),
}
"""The answers, in plain words; each sentence a coach can say to a parent."""


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
