"""How the minutes of a practice are cut: warm-up first, blocks of finishing, a game last. Common practice."""

from __future__ import annotations

from dataclasses import dataclass

from tracker.plan.request import LONGEST_PRACTICE_MIN, SHORTEST_PRACTICE_MIN, PlanImpossible

SHORTEST_WARM_UP_MIN, LONGEST_WARM_UP_MIN = 5, 15
SHORTEST_GAME_MIN = 8
CHANGE_OVER_MIN = 2
USUAL_BLOCK_MIN, MOST_BLOCKS = 11, 3
MOST_BLOCKS_OF_ONE_STAGE = 2
"""Where nobody has more than one stage to work at, the game takes the time of further blocks."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Timetable:
    """Minutes of warm-up, of each block of finishing, and of the game; two to change over before each but the first."""

    warm_up: int
    blocks: int
    block: int
    game: int

    @property
    def total(self) -> int:
        """All minutes, change-overs included."""
        return self.warm_up + self.blocks * (self.block + CHANGE_OVER_MIN) + CHANGE_OVER_MIN + self.game


def timetable(minutes: int, *, most_blocks: int = MOST_BLOCKS) -> Timetable:
    """The minutes of a practice; with fewer blocks the game is longer.

    Raises PlanImpossible when the practice is too short, or too long to plan.

    >>> timetable(75)
    Timetable(warm_up=12, blocks=3, block=13, game=16)
    """
    if not SHORTEST_PRACTICE_MIN <= minutes <= LONGEST_PRACTICE_MIN:
        raise PlanImpossible(
            f"A practice of {minutes} minutes cannot be planned: it takes {SHORTEST_PRACTICE_MIN} for a warm-up, one "
            f"block of finishing and a game, and over {LONGEST_PRACTICE_MIN} it is better to make two of it."
        )
    warm_up = min(max(SHORTEST_WARM_UP_MIN, minutes // 6), LONGEST_WARM_UP_MIN)
    game = max(SHORTEST_GAME_MIN, minutes // 5)
    left = minutes - warm_up - game - CHANGE_OVER_MIN
    usual = min(max(1, left // (USUAL_BLOCK_MIN + CHANGE_OVER_MIN)), MOST_BLOCKS)
    each = left // usual
    blocks = min(usual, most_blocks)
    return Timetable(warm_up=warm_up, blocks=blocks, block=each - CHANGE_OVER_MIN, game=game + left - each * blocks)
