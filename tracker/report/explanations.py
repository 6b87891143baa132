"""The longer words of the dashboard: what its terms mean, and what became of a file."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from typing import TYPE_CHECKING

from tracker.domain.vocabulary import ExportWhat
from tracker.report.language import N_, _, ngettext, whole
from tracker.report.wording import counted

if TYPE_CHECKING:
    from tracker.review.exchange import ImportSummary

STAND_BEHIND = N_("Stand behind or beside the striker: left is then on your left.")
LIKE_WITH_LIKE = N_(
    "Stages differ in difficulty, so a player who moves up looks less accurate. "
    "Pick one stage to compare like with like."
)
COUNTS_AS_MEANS = N_(
    "Counts as: strikes of one day hang together (same form, wind and instruction), so they tell less than as many "
    "strikes of many days. The likely range allows for that."
)
LADDER_MEANS = N_(
    "Angle: how wide the target looks from where the ball is struck; the smaller, the harder. "
    "Not yet: the rate of a player who should stay; Ready: the rate of one who should move on."
)
HOW_TO_READ_THE_BOARD = N_(
    "A row is a player. Every stage has two boxes: the left one, with a blue edge, is the left foot; the right one, "
    "with an orange edge, the right foot."
)
GAME_APART = N_(
    "A game stands apart: it may be played whatever stage a foot practises, so its box may fill early. "
    "Only a thick frame there means that a foot has come so far."
)
TWO_KINDS_OF_FEW = N_(
    "Under 20 strikes a month a change can hardly be seen. Under 10 in all nothing is said about a rate or a stage."
)
VOLLEYS_FIRST = N_(
    "Stages stand in the order in which they are coached, not from easy to hard. "
    "Volleys between partners come first: they teach a locked ankle."
)
EXPORT_HOLDS_NAMES = N_("The file holds the players' names. Keep it as safe as the records themselves.")
LUCK = N_("Luck alone moves 20 strikes by about 4 either way, so look at the range, not only at the count.")


class Certainty(StrEnum):
    """What can be asked about how sure a figure is: the question, as a heading."""

    RANGE = N_("What is a likely range?")
    DAYS = N_("Why do days matter?")
    LIKE = N_("Why like with like?")
    CHANGE = N_("When is a change clear?")
    READY = N_("What does ready promise?")
    OBSERVERS = N_("Are the counts themselves right?")
    NOT_CLAIMED = N_("What is not claimed")


CERTAINTY: Mapping[Certainty, tuple[str, ...]] = {
    Certainty.RANGE: (
        N_(
            "14 of 20 on target is a count, and certain. How the same player would do over very many strikes is not: "
            "likely between 5 and 9 of 10."
        ),
        N_("Likely means that ranges made in this way hold the real rate about 19 times in 20."),
        N_(
            "More strikes make it narrower, slowly: 10 strikes leave a range about 5 of 10 wide, 20 strikes 4, "
            "50 strikes 3, 100 strikes 2. Under 10 strikes nothing is said."
        ),
        LUCK,
    ),
    Certainty.DAYS: (
        N_(
            "Strikes of one day share form, wind and instruction. Ten more today tell less than ten on another day: "
            "60 strikes on 4 days may tell as much as 35 separate ones. Ranges are wider to allow for that."
        ),
        N_(
            "How alike the strikes of a day are is worked out from your own squad. Until there are enough practices, "
            "a cautious figure stands in."
        ),
    ),
    Certainty.LIKE: (
        N_(
            "A player who moves up a stage hits less often and may have become better all the same. The other foot is "
            "often used from nearer and looks better than it is."
        ),
        N_(
            "So the two feet are compared at the same stage, distance and surface, and a season at the same stage and "
            "distance. Where the plain rates tell another story, both stand side by side, with the reason."
        ),
    ),
    Certainty.CHANGE: (
        N_(
            "A change is called clear only when its likely range leaves out no change at all. With fewer than three "
            "practices there is no verdict."
        ),
        N_(
            "Of many feet looked at together a few stand out by chance. The more are looked at, the more one must show."
        ),
    ),
    Certainty.READY: (
        N_(
            "A score climbs with every hit, falls with every miss, and never goes below 0. Ready means that it reached "
            "its line, with strikes of two practices or more."
        ),
        N_(
            "The line is computed, not chosen: of 10 players who are not there yet at most 1 is called ready within "
            "100 strikes, however often you look. Of 10 who are there, about 9 are."
        ),
        N_(
            "So a ready call can be wrong; the Ladder page says how many of its calls to expect wrong. The tool "
            "suggests, the coach decides, and both are kept."
        ),
    ),
    Certainty.OBSERVERS: (
        N_(
            "A rate is only as good as the counting. Let two people log the same pair for 40 strikes now and then. "
            "Where they agree little more than chance would, the counts are not yet trustworthy: settle what counts as "
            "on target first."
        ),
    ),
    Certainty.NOT_CLAIMED: (
        N_(
            "No order of players. In a squad of 16 with 20 strikes each, the player who counts best is truly the best "
            "only about 1 time in 3."
        ),
        N_("No talent and no future: a rate is about these strikes, at this stage, on these days."),
        N_("No cause: better after a drill is not better because of it."),
        N_(
            "No match: a gate on a quiet pitch is not a game. And good strikes at the end of a practice are not yet "
            "kept; the first set of the next one tells."
        ),
    ),
}
"""The answers, in plain words; each sentence a coach can say to a parent."""


def export_words(what: ExportWhat) -> str:
    """What an export holds."""
    return {
        ExportWhat.STRIKES: _("Strikes of this squad, one row each"),
        ExportWhat.TALLIES: _("Tallies of this squad: counts per player, foot, stage and practice"),
        ExportWhat.ALL: _("Everything of every squad, to move to another computer (zip)"),
    }[what]


def import_lines(summary: ImportSummary) -> tuple[str, ...]:
    """What a file brought, or would bring, in sentences."""
    counts = {"stored": counted(summary.stored, "strike"), "there": counted(summary.already_there, "strike")}
    if summary.dry_run:
        first = _("Checked, nothing stored: {stored} would be new, {there} are there already.")
    else:
        first = _("Stored: {stored} new; {there} were there already.")
    lines = (
        first.format(**counts),
        _("New players: {names}.").format(names=", ".join(summary.new_players)) if summary.new_players else "",
        _("Columns not used: {names}.").format(names=", ".join(summary.unknown_columns))
        if summary.unknown_columns
        else "",
        _(
            "Stages this ladder does not have: {names}. Their strikes count in rates, but not towards being ready."
        ).format(names=", ".join(summary.unknown_stages))
        if summary.unknown_stages
        else "",
        _("{rows} left out; the reasons are below.").format(rows=counted(summary.rejected, "row"))
        if summary.rejected
        else "",
    )
    return tuple(line for line in lines if line)


def rejected_lines(*, read: int, rejected: int) -> tuple[str, ...]:
    """Why nothing of a file was stored.

    >>> rejected_lines(read=40, rejected=1)[0]
    '1 of 40 rows is wrong, so nothing was stored.'
    """
    return (
        ngettext(
            "{rejected} of {read} rows is wrong, so nothing was stored.",
            "{rejected} of {read} rows are wrong, so nothing was stored.",
            rejected,
        ).format(rejected=whole(rejected), read=whole(read)),
        _("Mend the file and check it again, or tick the box to leave the wrong rows out."),
    )
