"""Cautions where they belong: on the plan, and beside the strikes of a week. Information, no diagnosis."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from tracker.domain.setup import ESTIMATE_NOTE
from tracker.domain.standards import CHECK_YOUR_FEDERATION, AgeStandard

JUMP_FACTOR, JUMP_STRIKES, WEEKS_COMPARED = 2.0, 40, 4
"""A week is unusual with at least so many times the mean of the weeks before it, and so many strikes more than that.
Our own choice: no accepted limit on kicks a session or a week was found for children."""
DEFER = "Pain that stays, swelling or a limp is for a doctor or a physiotherapist."


class CautionKind(StrEnum):
    """What a caution is about."""

    WARM_UP = "warm-up"
    HEADING = "heading"
    GOALS = "goals"
    LANES = "lanes"
    WEATHER = "weather"
    PAIN = "pain"
    GROWTH = "growth"


@dataclass(frozen=True, kw_only=True, slots=True)
class Caution:
    """One caution, and where it comes from."""

    kind: CautionKind
    text: str
    source: str


WARM_UP = Caution(
    kind=CautionKind.WARM_UP,
    text="Warm up first, then build up the power strike by strike.",
    source="Trials of structured warm-ups: Rössler et al. 2018, Sports Med 48:1493 (age 7–12); Thorborg et al. 2017, "
    "Br J Sports Med 51:562; Soligard et al. 2008, BMJ 337:a2469",
)
GOALS = Caution(
    kind=CautionKind.GOALS,
    text="Anchor every goal before the first strike, whatever its size, at the rear if possible. Nobody climbs or "
    "hangs on it. Goals not in use lie face to face and chained, or are stored.",
    source="CPSC, Guidelines for Movable Soccer Goal Safety, 1995; IFAB Law 1: goals must be firmly secured",
)
LANES = Caution(
    kind=CautionKind.LANES,
    text="All strikes go away from the middle line. Nobody stands behind a goal or a gate. Collect the balls together, "
    f"on a signal. {ESTIMATE_NOTE}",
    source="common practice; no federation's figure for lane spacing was found",
)
MARKERS = Caution(
    kind=CautionKind.LANES,
    text="Flags as tall markers, with tops that are not pointed.",
    source="IFAB Law 1 asks it of corner flags; no rule for training poles was found",
)
LIGHTNING = Caution(
    kind=CautionKind.WEATHER,
    text="Thunder or lightning: stop at the first, take shelter, and wait 30 minutes after the last.",
    source="https://www.readingsoccer.org lightning policy",
)
HEAT = Caution(
    kind=CautionKind.WEATHER,
    text="Heat: drink and shade breaks, shorter or cancelled by your federation's heat guidance for your region.",
    source="US Soccer heat guidance goes by region and by wet-bulb globe temperature",
)
PAIN = Caution(
    kind=CautionKind.PAIN,
    text=f"Pain means stop, for today. {DEFER}",
    source="common practice",
)
GROWTH = Caution(
    kind=CautionKind.GROWTH,
    text="Growing players: pain at the heel, the knee or the front of the hip when kicking or running means rest, and "
    "a doctor or a physiotherapist. One or two days a week without training.",
    source="American Academy of Pediatrics 2024, doi 10.1542/peds.2023-065129 (days off); growth-related pain in youth "
    "football: https://nih.brage.unit.no/nih-xmlui/handle/11250/3081048",
)


def heading_caution(standard: AgeStandard | None) -> Caution:
    """What the federation says about heading at this age, or that nothing was found."""
    if standard is None or standard.heading is None:
        where = f"{standard.federation.value}, {standard.age_label}" if standard else "your federation and age"
        text = f"Heading: no limit was found for {where}. Strikes here are with the feet. {CHECK_YOUR_FEDERATION}"
        return Caution(kind=CautionKind.HEADING, text=text, source="none found")
    heading = standard.heading
    matches = f" In games: {heading.matches}" if heading.matches else ""
    return Caution(
        kind=CautionKind.HEADING,
        text=f"Heading, {standard.federation.value}, {standard.age_label}: {heading.training}{matches} "
        f"{CHECK_YOUR_FEDERATION}",
        source=f"{heading.provenance.text} ({heading.provenance.dated}; seen {heading.provenance.seen_on})",
    )


def practice_cautions(standard: AgeStandard | None, *, has_goals: bool) -> tuple[Caution, ...]:
    """The cautions of a whole practice, in the order they are needed."""
    goals = (GOALS,) if has_goals else ()
    return (WARM_UP, *goals, LANES, MARKERS, heading_caution(standard), LIGHTNING, HEAT, PAIN, GROWTH)


@dataclass(frozen=True, kw_only=True, slots=True)
class WeekOfStrikes:
    """How often a player struck in the week that began on a Monday."""

    player: str
    week: date
    strikes: int


@dataclass(frozen=True, kw_only=True, slots=True)
class Jump:
    """An unusual week: its strikes, and the mean of the ``weeks_before`` it is held against."""

    player: str
    week: date
    strikes: int
    mean_before: float
    weeks_before: int


def jumps(weeks: Sequence[WeekOfStrikes]) -> list[Jump]:
    """Weeks with far more strikes than the player's weeks just before; for information only.

    A week counts against the mean of up to four weeks listed before it; a player's first week against nothing.
    """
    found = []
    by_player: dict[str, list[int]] = {}
    for one in sorted(weeks, key=lambda week: week.week):
        before = by_player.setdefault(one.player, [])
        recent = before[-WEEKS_COMPARED:]
        mean = sum(recent) / max(len(recent), 1)
        if recent and one.strikes >= JUMP_FACTOR * mean and one.strikes >= mean + JUMP_STRIKES:
            found.append(
                Jump(
                    player=one.player,
                    week=one.week,
                    strikes=one.strikes,
                    mean_before=mean,
                    weeks_before=len(recent),
                )
            )
        before.append(one.strikes)
    return found
