"""What a coach reads about the gap between the feet of a squad: whose other foot is catching up."""

from __future__ import annotations

from collections.abc import Sequence

import polars as pl

from tracker.domain.vocabulary import Foot
from tracker.report.glossary import foot_word
from tracker.report.language import _, whole
from tracker.report.season_words import listed, tenths
from tracker.review.gap_over_season import CatchingUp


def squad_words(found: pl.DataFrame) -> str:
    """Whose other foot is catching up, for a frame of ``review.gap_over_season.squad_catching_up``."""
    names = {one: found.filter(verdict=one.value)["player"].to_list() for one in CatchingUp}
    up = names[CatchingUp.YES]
    said = _("Catching up: {up} of {players}{names}. Falling behind: {behind}. Not clear: {unclear}.").format(
        up=whole(len(up)),
        players=whole(found.height),
        names=f" ({listed(up)})" if up else "",
        behind=_counted(names[CatchingUp.FALLING_BEHIND]),
        unclear=whole(len(names[CatchingUp.NO_CLEAR_CHANGE])),
    )
    if cannot := names[CatchingUp.CANNOT_SAY]:
        said += " " + _("Cannot be compared: {count}.").format(count=_counted(cannot))
    return said


def squad_notes() -> list[str]:
    """What the other foot is, when a verdict is clear, and how many are clear by chance."""
    return [
        _(
            "Players who prefer one foot are counted; the other foot is the one they prefer less. "
            "A gap is between both feet at the same stage and distance."
        ),
        _("Not clear: the change of the gap could be luck. Of 20 players about 1 looks clear by luck alone."),
    ]


def squad_table(found: pl.DataFrame) -> pl.DataFrame:
    """One row a player: Player, Other foot, where it is at the start and at the end, Catching up?"""
    rows = [
        (
            row["player"],
            foot_word(Foot(row["preferred_foot"]).opposite),
            _gap(row["start"]),
            _gap(row["end"]),
            verdict_words(CatchingUp(row["verdict"])),
        )
        for row in found.iter_rows(named=True)
    ]
    heads = (_("Player"), _("Other foot"), _("It is at the start"), _("It is at the end"), _("Catching up?"))
    return pl.DataFrame(rows, schema=dict.fromkeys(heads, pl.String), orient="row")


def verdict_words(verdict: CatchingUp) -> str:
    """Whether the other foot is catching up, in a word or two."""
    return {
        CatchingUp.YES: _("catching up"),
        CatchingUp.FALLING_BEHIND: _("falling behind"),
        CatchingUp.NO_CLEAR_CHANGE: _("not clear"),
        CatchingUp.CANNOT_SAY: _("cannot be compared"),
    }[verdict]


def _counted(names: Sequence[str]) -> str:
    return f"{len(names)} ({listed(names)})" if names else whole(0)


def _gap(gap: float | None) -> str:
    if gap is None:
        return "–"
    size = tenths(abs(gap))
    if not size:
        return _("feet alike")
    return (_("{size} of 10 behind") if gap > 0 else _("{size} of 10 ahead")).format(size=size)
