"""The lines a squad's scores are held against, and all else that a score depends on besides strikes."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from tracker.domain.ladder import Ladder
from tracker.domain.practice import Placement
from tracker.domain.squad import Player, Squad
from tracker.domain.vocabulary import Foot
from tracker.review.cells import Correlations, correlations, correlations_of_squads
from tracker.review.club import ladders_of
from tracker.review.scope import Scope
from tracker.stats.ready_line import ReadyLine, RevisitLine, ready_line, revisit_line, too_hard_rate
from tracker.store.database import Database
from tracker.store.practices import placements
from tracker.store.squads import players


@dataclass(frozen=True, kw_only=True, slots=True)
class Lines:
    """The lines of one foot at one stage: ready, skill gone after moving on, and far too hard after moving here."""

    ready: ReadyLine
    gone: RevisitLine
    too_hard: RevisitLine
    correlation_source: str


@dataclass(frozen=True, kw_only=True, slots=True)
class SquadRules:
    """What the strikes of a squad's players are scored by; ``lines`` by foot and stage."""

    squad: Squad
    ladder: Ladder
    members: tuple[Player, ...]
    placements: tuple[Placement, ...]
    lines: dict[tuple[str, str], Lines]


def squad_rules(database: Database, scope: Scope, squads: Sequence[Squad], *, cluster: bool) -> list[SquadRules]:
    """The rules of each squad, for the players the scope names."""
    known = [correlations(database, scope)] if scope.squad else correlations_of_squads(database, scope, squads)
    ladders = ladders_of(database, squads)
    members = defaultdict(list)
    for player in players(database, squad_id=scope.squad_id):
        members[player.squad_id].append(player)
    made = placements(database, squad_id=scope.squad_id)
    return [
        SquadRules(
            squad=squad,
            ladder=(ladder := ladders[squad.squad_id]),
            members=(its_own := tuple(one for one in members[squad.squad_id] if scope.player in (None, one))),
            placements=_placements_of(its_own, made),
            lines=_lines(ladder, of_squad, cluster=cluster),
        )
        for squad, of_squad in zip(squads, known, strict=True)
    ]


def _placements_of(members: Sequence[Player], made: Sequence[Placement]) -> tuple[Placement, ...]:
    ids = {one.player_id for one in members}
    return tuple(one for one in made if one.player_id in ids)


def _lines(ladder: Ladder, known: Correlations, *, cluster: bool) -> dict[tuple[str, str], Lines]:
    """The lines by foot and stage, with the squad's own correlation where it is known, else the ladder's."""
    place = {pair: number for number, pair in enumerate(zip(known.foot, known.stage, strict=True))}
    answer = {}
    for stage in ladder.stages:
        for foot in Foot:
            number = place.get((foot.value, stage.name))
            correlation, strikes = ladder.correlation, float(sum(stage.set_sizes))
            is_estimated = number is not None and bool(known.is_estimated[number])
            if number is not None and is_estimated:
                correlation, strikes = float(known.correlation[number]), float(known.strikes_a_practice[number])
            answer[foot.value, stage.name] = _lines_of(
                stage.p_not_yet,
                stage.p_ready,
                ladder.false_ready_risk,
                ladder.horizon_strikes,
                # Rounded up to whole hundredths and fives, so that lines do not creep with every strike.
                math.ceil(correlation * 100) / 100 if cluster else 0.0,
                min(max(5 * math.ceil(strikes / 5), 5), 30),
                ("estimated" if is_estimated else "default") if cluster else "none",
            )
    return answer


@cache
def _lines_of(
    p_not_yet: float,
    p_ready: float,
    risk: float,
    horizon: int,
    correlation: float,
    strikes_a_practice: int,
    correlation_source: str,
) -> Lines:
    rule = {
        "risk": risk,
        "horizon": horizon,
        "correlation": correlation,
        "strikes_a_practice": strikes_a_practice,
    }
    return Lines(
        ready=ready_line(p_not_yet, p_ready, **rule),  # type: ignore[arg-type]
        gone=revisit_line(p_not_yet, p_ready, **rule),  # type: ignore[arg-type]
        too_hard=revisit_line(too_hard_rate(p_not_yet, p_ready), p_not_yet, **rule),  # type: ignore[arg-type]
        correlation_source=correlation_source,
    )
