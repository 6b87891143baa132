"""Which lane each logger watches when: focal turns, so that nobody logs only what catches the eye.

In a turn one logger watches one lane, whatever happens there, and logs nothing outside it (Altmann 1974, Behaviour
49:227: focal sampling).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from tracker.domain.practice_plan import FocalTurn, LaneWork, Part
from tracker.plan.assignment import TURN_MIN
from tracker.plan.request import PlanRequest


def focal_turns(request: PlanRequest, finishing: Sequence[Part], *, due: set[str]) -> tuple[FocalTurn, ...]:
    """Turns of five minutes, settled before anybody strikes: the lanes with most players who are due first, then those
    not watched yet today, longest unseen, and least known."""
    turns: list[FocalTurn] = []
    seen: Counter[str] = Counter()
    for block, part in enumerate(finishing, start=1):
        for turn in range(part.minutes // TURN_MIN):
            free = list(part.lanes)
            for logger in range(1, min(request.loggers, len(part.lanes)) + 1):
                lane = max(free, key=lambda one: _wanted(one, request, seen, due))
                free.remove(lane)
                names = tuple(one.player for one in lane.players)
                seen.update(names)
                turns.append(
                    FocalTurn(
                        logger=logger,
                        block=block,
                        starts_at=part.starts_at + turn * TURN_MIN,
                        minutes=TURN_MIN,
                        lane=lane.number,
                        players=names,
                    )
                )
    return tuple(turns)


def _wanted(lane: LaneWork, request: PlanRequest, seen: Counter[str], due: set[str]) -> tuple[float, ...]:
    """How much a lane should be watched next; the larger of two such tuples first."""
    here = [player for player in request.players if any(one.player == player.name for one in lane.players)]
    unseen = [player for player in here if not seen[player.name]]
    return (
        sum(player.name in due for player in unseen),
        -min(seen[player.name] for player in here),
        max((player.days_since_observed for player in unseen), default=-1),
        -min(min(player.left.attempts, player.right.attempts) for player in here),
        -lane.number,
    )
