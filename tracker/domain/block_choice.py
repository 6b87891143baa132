"""The weeks a coach chose to plan ahead."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

SHORTEST_BLOCK_WEEKS, LONGEST_BLOCK_WEEKS = 6, 12
OTHER_FOOT_WEEKS = 8
"""Haaland & Hoff 2003, Scand J Med Sci Sports 13:179: eight weeks of training with the other foot."""


class BlockReview(StrEnum):
    """What is looked back on at the end of a week."""

    HALF = "Half of the block: who moves on, who repeats, and whether two observers still agree."
    PASSED_AGAIN = "Look again at the stages passed: ten strikes a foot."
    END = "End of the block: readiness, each foot against the start, and a talk with the players."


@dataclass(frozen=True, kw_only=True, slots=True)
class BlockChoice:
    """A block of ``weeks`` from the week of ``starts_on``; in its first ``other_foot_weeks`` at least half of the
    strikes are with the other foot."""

    starts_on: date
    weeks: int = OTHER_FOOT_WEEKS
    practices_a_week: int = 2
    other_foot_weeks: int = OTHER_FOOT_WEEKS

    def __post_init__(self) -> None:
        if not SHORTEST_BLOCK_WEEKS <= self.weeks <= LONGEST_BLOCK_WEEKS:
            raise ValueError(
                f"a block is {SHORTEST_BLOCK_WEEKS} to {LONGEST_BLOCK_WEEKS} weeks long, but this one is {self.weeks}"
            )
        if not 1 <= self.practices_a_week <= 7:
            raise ValueError(f"a week has 1 to 7 practices, not {self.practices_a_week}")
        if self.other_foot_weeks < 0:
            raise ValueError("other_foot_weeks must not be below 0")
        object.__setattr__(self, "starts_on", self.starts_on - timedelta(days=self.starts_on.weekday()))

    def is_other_foot_week(self, day: date) -> bool:
        """Whether a day lies in the weeks of the other foot."""
        return self.starts_on <= day < self.starts_on + timedelta(weeks=min(self.other_foot_weeks, self.weeks))
