"""The same answers from sums: how strikes of a practice hang together, when practices are only known added up.

Parts of a lake are counted apart and added, so nothing may be kept that does not add: integers only. Practices of one
size n add up to how many there were, Σ y and Σ y², which is all the analysis of variance needs.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tracker.stats.checks import FloatArray, IntArray
from tracker.stats.clustering import FEWEST_CLUSTERS, IntraclassCorrelation, anova_estimate, believed_correlation


@dataclass(frozen=True, kw_only=True, slots=True)
class PlayerSums:
    """One row a player in a group: the group's code, practices, and over them Σ n, Σ y and Σ n²; shape (players,)."""

    group: IntArray
    practices: IntArray
    attempts: IntArray
    on_target: IntArray
    sum_nn: IntArray


@dataclass(frozen=True, kw_only=True, slots=True)
class SizeSums:
    """One row a group and practice size n: the group's code, n, practices of that size, Σ y and Σ y²; (sizes,)."""

    group: IntArray
    practice_attempts: IntArray
    practices: IntArray
    on_target: IntArray
    sum_yy: IntArray


def correlation_of_sums(
    players: PlayerSums, sizes: SizeSums, *, default: float, fewest_clusters: int = FEWEST_CLUSTERS
) -> IntraclassCorrelation:
    """What ``intraclass_correlation`` with players as subjects says of the same practices, up to rounding.

    B rests on Σ yᵢ²/nᵢ − Σ Yⱼ²/Nⱼ and W on Σ yᵢ − Σ yᵢ²/nᵢ, where Σ yᵢ²/nᵢ is added size by size. Every group of
    ``sizes`` must be one of ``players``. Source: Ridout, Demétrio & Firth 1999, Biometrics 55:137.
    """
    length = int(players.group.max(initial=-1)) + 1

    def of_players(values: FloatArray | IntArray) -> FloatArray:
        return np.bincount(players.group, values, minlength=length).astype(np.float64)

    def of_sizes(values: FloatArray | IntArray) -> FloatArray:
        return np.bincount(sizes.group, values, minlength=length).astype(np.float64)

    strikes, clusters = of_players(players.attempts), of_players(players.practices)
    by_practice = of_sizes(sizes.sum_yy / sizes.practice_attempts)
    by_player = of_players(players.on_target.astype(np.float64) ** 2 / players.attempts)
    raw, standard_error = anova_estimate(
        between=by_practice - by_player,
        within=of_sizes(sizes.on_target) - by_practice,
        spare_strikes=strikes - of_players(players.sum_nn / players.attempts),
        strikes=strikes,
        between_df=clusters - of_players(np.ones_like(players.group)),
        within_df=strikes - clusters,
    )
    telling = of_players(np.where(players.practices > 1, players.practices, 0)).astype(np.int64)
    return believed_correlation(raw, standard_error, telling, default=default, fewest_clusters=fewest_clusters)


def design_effect_of_sums(
    attempts: IntArray, sum_nn: IntArray, subject: IntArray, correlation: FloatArray
) -> FloatArray:
    """What ``design_effect`` says of the same practices: Σ (Σ n + (Σ n² − Σ n) r) / Σ n, never below 1; (subjects,).

    One row a subject and correlation: Σ n, Σ n², the subject's code and r. Sources: see ``design_effect``.
    """
    total = np.bincount(subject, attempts)
    inflated = np.bincount(subject, attempts + (sum_nn - attempts) * correlation)
    return np.maximum(inflated / total, 1.0)
