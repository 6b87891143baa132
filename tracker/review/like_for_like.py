"""Like with like: strikes are compared with strikes from like distances, at one stage, with one surface.

A player who moves up a stage looks worse on the raw rate, and the other foot is often used from nearer. Strata of equal
difficulty take that out; how far the strikes of one day hang together is allowed for in the same way everywhere.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import polars as pl

from tracker.domain.vocabulary import Dimension
from tracker.review.cells import CELL, Codes, Correlations, codes, distinct, group_of_cells
from tracker.stats.checks import FloatArray
from tracker.stats.clustering import design_effect

FOOT_AT_STAGE = ["player", "foot", "stage"]
STRATUM = ["player", "stage", "distance", "surface"]
"""What two strikes must share to be alike; an unknown stage, distance or surface is alike to an unknown one only."""

FOOT_DIMENSIONS = (Dimension.PLAYER, Dimension.FOOT)
PRACTICE_OF_FOOT = ["player", "foot", "practice"]
"""A good day is good at every stage, so over stages all strikes of a foot's practice hang together."""


def checked_feet(by: Sequence[Dimension]) -> list[str]:
    """The columns of a split into single feet, player,foot or player,foot,stage, or ValueError for any other."""
    if not {*FOOT_DIMENSIONS} <= set(by) <= {*FOOT_DIMENSIONS, Dimension.STAGE}:
        raise ValueError("by must be player,foot or player,foot,stage: one foot of one player is looked at")
    return [Dimension(one).value for one in by]


def design_effects(
    counted: pl.DataFrame, subject: Codes, known: Correlations, *, together: Sequence[str] = CELL
) -> FloatArray:
    """The design effect of each subject, from cells that may be split by surface and distance; (subjects,).

    ``subject`` is a code for every row of ``counted``. Strikes alike in the columns ``together`` hang together, by what
    is known of their foot and stage.
    """
    clusters, cluster = distinct(counted.select(CELL).with_columns(subject=subject), ["subject", *together])
    attempts = counted["attempts"].to_numpy()
    sizes = np.bincount(cluster, attempts)
    correlation = np.bincount(cluster, attempts * known.allowed[group_of_cells(counted, known)]) / sizes
    return design_effect(sizes, codes(clusters["subject"]), correlation)


def effect_at_stage(counted: pl.DataFrame, known: Correlations) -> FloatArray:
    """For every row of ``counted``, the design effect of its player's foot at its stage; (rows,)."""
    foot_at_stage = distinct(counted, FOOT_AT_STAGE)[1]
    return design_effects(counted, foot_at_stage, known)[foot_at_stage]
