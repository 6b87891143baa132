"""A practice on paper: the rows a coach fills in at the touchline, and the same rows typed in afterwards."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import polars as pl

from tracker.domain.identity import uuid7
from tracker.domain.ladder import Ladder, Stage
from tracker.domain.practice import Practice
from tracker.domain.squad import Player, Squad
from tracker.domain.strike import Strike
from tracker.domain.vocabulary import Foot, Miss, Outcome, Source
from tracker.errors import RequestError
from tracker.review.club import ladder_of, players
from tracker.review.logbook import MOST_ATTEMPTS_A_SET, moment_in
from tracker.review.readiness import readiness
from tracker.review.scope import Scope
from tracker.store import strikes as stored_strikes
from tracker.store.database import Database

MISS_LETTERS = {"l": Miss.LEFT, "r": Miss.RIGHT, "o": Miss.OVER, "s": Miss.SHORT}
"""How the side of a miss is written on the sheet and typed in."""


@dataclass(frozen=True, kw_only=True, slots=True)
class SheetRow:
    """One player's row: at which stage each foot works, which says how many sets of how many strikes there are."""

    player: Player
    stages: dict[Foot, Stage]


@dataclass(frozen=True, kw_only=True, slots=True)
class PracticeSheet:
    """The sheet of one practice: active players in the order of shirts."""

    squad: Squad
    day: date
    ladder: Ladder
    rows: list[SheetRow]

    @property
    def stages(self) -> list[Stage]:
        """The stages on the sheet, in the order of the ladder."""
        used = {stage.name for row in self.rows for stage in row.stages.values()}
        return [stage for stage in self.ladder.stages if stage.name in used]


@dataclass(frozen=True, kw_only=True, slots=True)
class PaperFoot:
    """What a row says of one foot: on target in each set (None for a set left empty), and the sides of misses."""

    foot: Foot
    on_target: tuple[int | None, ...]
    misses: tuple[Miss, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class PaperRow:
    """A filled-in row; ``check_sum`` is what was written as the sum of all that was on target, or None."""

    row: SheetRow
    feet: tuple[PaperFoot, ...]
    check_sum: int | None

    @property
    def is_empty(self) -> bool:
        """Whether nothing was struck."""
        return all(count is None for foot in self.feet for count in foot.on_target)


def practice_sheet(database: Database, squad: Squad, day: date) -> PracticeSheet:
    """The sheet for a day, each foot at the stage it works on now (at the first stage without strikes)."""
    ladder = ladder_of(database, squad)
    current = readiness(database, Scope(squad=squad)).filter("is_current")
    now = {(row["player"], row["foot"]): row["stage"] for row in current.iter_rows(named=True)}
    rows = [
        SheetRow(
            player=player,
            stages={
                foot: ladder.stage_named(now.get((player.display_name, foot.value), "")) or ladder.stages[0]
                for foot in Foot
            },
        )
        for player in players(database, squad)
        if player.active
    ]
    if not rows:
        raise RequestError(f"Squad {squad.name} has no active players to put on a sheet.")
    return PracticeSheet(squad=squad, day=day, ladder=ladder, rows=rows)


def misses_in(text: str) -> tuple[Miss, ...]:
    """The sides of misses typed as letters, such as "llr": left, right, over, short. Raises RequestError.

    >>> [miss.value for miss in misses_in("L lo")]
    ['left', 'left', 'over']
    """
    letters = "".join(text.split()).lower()
    unknown = [letter for letter in letters if letter not in MISS_LETTERS]
    if unknown:
        raise RequestError(f"{text!r}: the sides of misses are l, r, o, s (left, right, over, short).")
    return tuple(MISS_LETTERS[letter] for letter in letters)


def faults_of(paper: PaperRow) -> list[str]:
    """What cannot be in a row, in words; empty when it adds up."""
    name, found = paper.row.player.display_name, []
    for foot in paper.feet:
        sizes = paper.row.stages[foot.foot].set_sizes
        struck = [(count, size) for count, size in zip(foot.on_target, sizes, strict=True) if count is not None]
        found += [
            f"{name}, {foot.foot.value} foot: {count} on target in a set of {size} cannot be."
            for count, size in struck
            if not 0 <= count <= min(size, MOST_ATTEMPTS_A_SET)
        ]
        missed = sum(size - count for count, size in struck)
        if len(foot.misses) > missed:
            found.append(f"{name}, {foot.foot.value} foot: {len(foot.misses)} misses noted, but only {missed} missed.")
    counted = sum(count for foot in paper.feet for count in foot.on_target if count is not None)
    if paper.check_sum is not None and paper.check_sum != counted:
        found.append(f"{name}: the sets add up to {counted} on target, but the sheet says {paper.check_sum}.")
    return found


def transcribe(database: Database, practice: Practice, rows: Sequence[PaperRow], *, logger: str | None = None) -> int:
    """Stores the rows of a sheet, all or none, and returns how many strikes that were; empty rows are left out.

    The strikes of a set share one instant: their order is not known. A miss whose side was noted is that of any strike
    of the foot. Raises RequestError where a row does not add up, or where a player's sheet of this practice was typed
    in before.
    """
    filled = [one for one in rows if not one.is_empty]
    faults = [fault for one in filled for fault in faults_of(one)]
    if faults:
        raise RequestError(f"{' '.join(faults)} Nothing was stored.")
    before = _typed_in(database, practice)
    again = [name for one in filled if (name := one.row.player.display_name) in before]
    if again:
        raise RequestError(
            f"The sheet of this practice was typed in before for {', '.join(again)}. Nothing was stored. "
            "Undo those sets first, or leave these rows empty."
        )
    strikes = [strike for one in filled for foot in one.feet for strike in _strikes(practice, one, foot, logger)]
    if strikes:
        with database.transaction() as transaction:
            stored_strikes.append_strikes(transaction, stored_strikes.frame_of_strikes(strikes))
    return len(strikes)


def _typed_in(database: Database, practice: Practice) -> set[str]:
    """The players with strikes from paper in a practice."""
    logged = stored_strikes.sets_of_practice(database, practice.practice_id, most=100_000)
    return set(logged.filter(pl.col("source").cast(pl.String) == Source.PAPER.value)["player"])


def _strikes(practice: Practice, paper: PaperRow, foot: PaperFoot, logger: str | None) -> list[Strike]:
    stage, struck_at, sides = paper.row.stages[foot.foot], moment_in(practice), list(foot.misses)
    made = []
    for on_target, size in zip(foot.on_target, stage.set_sizes, strict=True):
        if on_target is None:
            continue
        set_id = uuid7()
        for number in range(size):
            is_hit = number < on_target
            made.append(
                Strike(
                    strike_id=uuid7(),
                    practice_id=practice.practice_id,
                    player_id=paper.row.player.player_id,
                    stage=stage.name,
                    foot=foot.foot,
                    surface=None,
                    outcome=Outcome.ON_TARGET if is_hit else Outcome.OFF_TARGET,
                    miss=None if is_hit or not sides else sides.pop(0),
                    distance_m=stage.distance_m,
                    target_width_m=stage.target.width_m,
                    struck_at=struck_at,
                    set_id=set_id,
                    source=Source.PAPER,
                    logger=logger,
                )
            )
    return made
