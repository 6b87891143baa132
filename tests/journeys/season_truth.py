"""The tool's answers beside the truth: how often intervals hold it, and how often a call was wrong."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from scipy.stats import binomtest
from simulated_squad import SimulatedSquad

from tracker.domain.ladder import Stage
from tracker.domain.vocabulary import Foot

Rows = Sequence[Mapping[str, Any]]
UNLIKELY = 0.01
FEWEST_ATTEMPTS = 20
"""Cells with fewer strikes are not held against the truth: nothing is claimed of them."""


@dataclass(frozen=True, kw_only=True)
class Call:
    """The tool said ready, and the coach moved the foot on."""

    player: str
    foot: Foot
    stage: Stage
    practice: int
    true_rate: float

    @property
    def is_false(self) -> bool:
        """Whether the foot was not there yet."""
        return self.true_rate <= self.stage.p_not_yet


@dataclass(frozen=True, kw_only=True)
class Held:
    """One line of the table: of ``of`` cases, ``count`` are so; at least or at most ``promise`` (a share) should be."""

    what: str
    count: int
    of: int
    promise: float | None
    at_least: bool = True

    @property
    def share(self) -> float | None:
        """``count`` of ``of``; None without a case."""
        return self.count / self.of if self.of else None

    @property
    def is_kept(self) -> bool:
        """Whether the promise is kept: broken is what a kept promise would show less than once in a hundred seasons."""
        if self.promise is None or not self.of:
            return True
        beyond = "less" if self.at_least else "greater"
        return bool(binomtest(self.count, self.of, self.promise, alternative=beyond).pvalue >= UNLIKELY)

    @property
    def line(self) -> str:
        """The line as printed."""
        share = "–" if self.share is None else f"{self.share:.3f}"
        promise = "" if self.promise is None else f"{'at least' if self.at_least else 'at most'} {self.promise:g}"
        return (
            f"{self.what:<64} {self.count:>5} of {self.of:<5} {share:>6}  {promise:<14} {'' if self.is_kept else '!'}"
        )


def rates_held(squad: SimulatedSquad, accuracy: Rows) -> Held:
    """Intervals of ``accuracy --by player,foot,stage`` that hold the true rate."""
    true = squad.true_rates()
    cells = [row for row in accuracy if row["attempts"] >= FEWEST_ATTEMPTS]
    inside = [row["low"] <= true[row["player"], row["foot"], row["stage"]] <= row["high"] for row in cells]
    return Held(what="rates: the interval holds the true rate", count=sum(inside), of=len(inside), promise=0.95)


def counts_equal(squad: SimulatedSquad, accuracy: Rows) -> bool:
    """Whether every strike that was tapped, called out or typed is there once, as it was."""
    stored = {(row["player"], row["foot"], row["stage"]): (row["on_target"], row["attempts"]) for row in accuracy}
    return stored == squad.counts()


def aim_held(squad: SimulatedSquad, aim: Rows) -> list[Held]:
    """Intervals of ``aim --by player,foot`` that hold the true bias and the true spread."""
    rows = [row for row in aim if row["bias_low"] is not None and row["spread_high"] is not None]
    true = [squad.true_aim(row["player"], Foot(row["foot"]), at=row["of_stage"]) for row in rows]
    both = list(zip(rows, true, strict=True))
    bias = [row["bias_low"] <= value <= row["bias_high"] for row, (value, _) in both]
    spread = [row["spread_low"] <= value <= row["spread_high"] for row, (_, value) in both]
    return [
        Held(what="aim: the interval holds the true bias", count=sum(bias), of=len(bias), promise=0.95),
        Held(what="aim: the interval holds the true spread", count=sum(spread), of=len(spread), promise=0.95),
    ]


def changes_held(squad: SimulatedSquad, change: Rows) -> list[Held]:
    """Verdicts of ``change`` on feet that stayed as they were, and on those that learned."""
    still: list[Mapping[str, Any]] = []
    learned: list[Mapping[str, Any]] = []
    for row in change:
        true = squad.feet[row["player"], Foot(row["foot"])]
        (still if true.start == true.end else learned).append(row)
    told = []
    for verdict, how in (("verdict", "of all feet"), ("alone_verdict", "of one foot alone")):
        wrong = [row for row in still if row[verdict] in ("clearly up", "clearly down")]
        up = [row for row in learned if row[verdict] == "clearly up"]
        down = [row for row in learned if row[verdict] == "clearly down"]
        told += [
            Held(
                what=f"change, asked {how}: clear where nothing changed",
                count=len(wrong),
                of=len(still),
                promise=0.05,
                at_least=False,
            ),
            Held(
                what=f"change, asked {how}: clearly up where it went up",
                count=len(up),
                of=len(learned),
                promise=None,
            ),
            Held(
                what=f"change, asked {how}: clearly down where it went up",
                count=len(down),
                of=len(learned),
                promise=0.0,
                at_least=False,
            ),
        ]
    return told


def calls_held(squad: SimulatedSquad, calls: Sequence[Call]) -> list[Held]:
    """Calls of ready that were wrong; and feet that are past ready where they work and were not called."""
    last = squad.practices - 1
    not_called = [
        key
        for key, stage in squad.works_at.items()
        if squad.feet[key].rate(stage, squad.progress(last)) >= stage.p_ready and _strikes_at(squad, *key, stage) >= 100
    ]
    reached = len(calls) + len(not_called)
    return [
        Held(
            what="ready: called although not there yet",
            count=sum(one.is_false for one in calls),
            of=len(calls),
            promise=0.10,
            at_least=False,
        ),
        Held(
            what="ready: not called within 100 strikes although past ready",
            count=len(not_called),
            of=reached,
            promise=0.25,
            at_least=False,
        ),
    ]


def _strikes_at(squad: SimulatedSquad, player: str, foot: Foot, stage: Stage) -> int:
    return sum(len(one.angles) for one in squad.struck if (one.player, one.foot, one.stage) == (player, foot, stage))
