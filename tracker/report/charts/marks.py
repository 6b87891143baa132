"""What several pictures share: how a count, a total and the side of a word are told."""

from __future__ import annotations

from typing import Literal

import polars as pl

from tracker.domain.vocabulary import Foot
from tracker.report import glossary, wording
from tracker.report.language import _

SIDES: tuple[tuple[Literal["left", "right"], int], ...] = (("left", 5), ("right", -5))
"""How a word stands beside an upright line, and how many pixels from it."""


def total(accuracy: pl.DataFrame, foot: Foot) -> str:
    """One foot's strikes of a frame of ``review.accuracy``, all together, as "14 of 20"."""
    rows = accuracy.filter(pl.col("foot") == foot.value)
    return wording.rate_words(int(rows["on_target"].sum()), int(rows["attempts"].sum()))


def count(name: str = "count") -> pl.Expr:
    """The column "14 of 20"."""
    return pl.format(_("{} of {}"), "on_target", "attempts").alias(name)


def enough() -> pl.Expr:
    """Whether there are strikes enough to speak of a rate."""
    return (pl.col("attempts") >= glossary.TOO_FEW_BELOW).alias("enough")
