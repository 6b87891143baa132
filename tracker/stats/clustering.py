"""Strikes of one practice hang together: how much, what it costs, and intervals that allow for it.

A *cluster* is the strikes of one player's one foot at one stage in one practice. Sets of one practice share form, wind
and instruction, so ten more strikes today say less than ten strikes on another day.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from tracker.domain.vocabulary import IntervalMethod
from tracker.stats.checks import (
    BoolArray,
    FloatArray,
    IntArray,
    checked_codes,
    checked_counts,
    checked_range,
    checked_tallies,
)
from tracker.stats.proportion import Proportion, interval, rate_of

LARGEST_CORRELATION = 0.5
FEWEST_CLUSTERS = 30

# Our own calibration, not from the literature: what intervals allow for beyond the point value, so that 95 % intervals
# cover at least 93.5 % for 3 to 12 practices of 5 to 20 strikes, rates 0.3 to 0.9 and correlations 0 to 0.10
# (tests/calibration/test_interval_coverage.py; the default is taken to be 0.05).
STANDARD_ERRORS_ALLOWED = 0.5
DEFAULTS_ALLOWED = 2.5


@dataclass(frozen=True, kw_only=True, slots=True)
class IntraclassCorrelation:
    """How alike the strikes of one practice are, per group (stage and foot); arrays of length ``group.max() + 1``.

    ``correlation`` is the estimate, or ``default`` where ``is_estimated`` is false. ``standard_error`` is NaN there.
    ``allowed`` is the correlation an interval should allow for: the estimate plus half its standard error, or two and a
    half times the default; hand it to `design_effect`. ``clusters`` counts the practices the estimate rests on.
    """

    correlation: FloatArray
    standard_error: FloatArray
    allowed: FloatArray
    is_estimated: BoolArray
    clusters: IntArray
    default: float
    fewest_clusters: int


def intraclass_correlation(
    attempts: ArrayLike,
    on_target: ArrayLike,
    group: ArrayLike,
    *,
    subject: ArrayLike | None = None,
    default: float,
    fewest_clusters: int = FEWEST_CLUSTERS,
) -> IntraclassCorrelation:
    """The correlation between strikes of one practice, pooled over a squad, for each group.

    One row a cluster: ``attempts`` and ``on_target`` are counts, ``group`` and ``subject`` (the player) integer codes
    from 0. Rows without attempts are passed over. The ANOVA estimator for binary data is

        r = (B − W) / (B + (n₀ − 1) W),     W = Σ nᵢ pᵢ qᵢ / (N − K),

    over K clusters of nᵢ strikes, N in all. Without ``subject``, B = Σ nᵢ (pᵢ − p)² / (K − 1) and
    n₀ = (N − Σ nᵢ² / N) / (K − 1). With ``subject`` only the variation *within* each of J players counts, because
    players differ in skill: with pⱼ and Nⱼ the rate and strikes of player j,

        B = Σⱼ Σᵢ nᵢ (pᵢ − pⱼ)² / (K − J),     n₀ = (N − Σⱼ Σᵢ nᵢ² / Nⱼ) / (K − J),

    which makes E(B) = σ² (1 + (n₀ − 1) r) as in the plain case; players seen at one practice only then count towards W
    alone. A group with fewer than ``fewest_clusters`` clusters (of players seen more than once), or whose strikes are
    all alike, gets ``default``. Estimates are clipped to [0, 0.5]. A rate that rises or falls over the season counts as
    practices that differ.

    Raises ValueError for impossible counts or codes, or a default outside [0, 0.5].
    Sources: Ridout, Demétrio & Firth 1999, Biometrics 55:137 (estimator); Swiger et al. 1964, Biometrics 20:818
    (standard error, an approximation for binary data).

    >>> result = intraclass_correlation([10] * 4, [9, 3, 8, 2], [0] * 4, default=0.05, fewest_clusters=4)
    >>> round(float(result.correlation[0]), 4)
    0.3812
    """
    tries, hits = checked_tallies(attempts, on_target)
    groups = checked_codes(group, name="group", length=tries.size)
    subjects = None if subject is None else checked_codes(subject, name="subject", length=tries.size)
    fallback = float(checked_range(default, name="default", least=0.0, most=LARGEST_CORRELATION))
    length = int(groups.max(initial=-1)) + 1
    seen = tries > 0
    if subjects is not None:
        subjects = subjects[seen]
    raw, standard_error, clusters = _anova(tries[seen], hits[seen], groups[seen], subjects, length=length)
    return believed_correlation(raw, standard_error, clusters, default=fallback, fewest_clusters=fewest_clusters)


def believed_correlation(
    raw: FloatArray, standard_error: FloatArray, clusters: IntArray, *, default: float, fewest_clusters: int
) -> IntraclassCorrelation:
    """The raw estimates of groups as a result: clipped, and the default where too few clusters speak."""
    is_estimated = (clusters >= fewest_clusters) & np.isfinite(raw)
    estimate = np.clip(np.where(is_estimated, raw, default), 0.0, LARGEST_CORRELATION)
    allowed = np.where(is_estimated, estimate + STANDARD_ERRORS_ALLOWED * standard_error, DEFAULTS_ALLOWED * default)
    return IntraclassCorrelation(
        correlation=estimate,
        standard_error=np.where(is_estimated, standard_error, np.nan),
        allowed=np.clip(allowed, 0.0, LARGEST_CORRELATION),
        is_estimated=is_estimated,
        clusters=clusters,
        default=default,
        fewest_clusters=fewest_clusters,
    )


def _anova(
    n: FloatArray, x: FloatArray, group: IntArray, subject: IntArray | None, *, length: int
) -> tuple[FloatArray, FloatArray, IntArray]:
    """Per group: the unclipped estimate, its standard error, and the clusters that tell of variation between."""
    mean_of = group if subject is None else group * (subject.max(initial=0) + 1) + subject
    _, first, mean_of = np.unique(mean_of, return_index=True, return_inverse=True)
    group_of_mean = group[first]
    total = np.bincount(mean_of, n)
    own_mean = (np.bincount(mean_of, x) / total)[mean_of]
    clusters_of_mean = np.bincount(mean_of)

    def per_group(values: FloatArray) -> FloatArray:
        return np.bincount(group, values, minlength=length).astype(np.float64)

    rate = x / n
    strikes, clusters = per_group(n), per_group(np.ones_like(n))
    between_df = clusters - np.bincount(group_of_mean, minlength=length)
    within_df = strikes - clusters
    raw, standard_error = anova_estimate(
        between=per_group(n * (rate - own_mean) ** 2),
        within=per_group(n * rate * (1.0 - rate)),
        spare_strikes=strikes - per_group(n * n / total[mean_of]),
        strikes=strikes,
        between_df=between_df,
        within_df=within_df,
    )
    telling = np.bincount(group_of_mean, np.where(clusters_of_mean > 1, clusters_of_mean, 0), minlength=length)
    return raw, standard_error, telling.astype(np.int64)


def anova_estimate(
    *,
    between: FloatArray,
    within: FloatArray,
    spare_strikes: FloatArray,
    strikes: FloatArray,
    between_df: FloatArray,
    within_df: FloatArray,
) -> tuple[FloatArray, FloatArray]:
    """Per group: the unclipped estimate and its standard error, from the two sums of squares and Σ n − Σ n²/N."""
    with np.errstate(invalid="ignore", divide="ignore"):
        b, w, size = between / between_df, within / within_df, spare_strikes / between_df
        raw = (b - w) / (b + (size - 1.0) * w)
        r = np.clip(raw, 0.0, LARGEST_CORRELATION)
        variance = (
            2.0 * (strikes - 1.0) * ((1.0 - r) * (1.0 + (size - 1.0) * r)) ** 2 / (size**2 * within_df * between_df)
        )
    return raw, np.sqrt(variance)


def design_effect(cluster_sizes: ArrayLike, subject_codes: ArrayLike, correlation_per_cluster: ArrayLike) -> FloatArray:
    """By how much the practices of each subject widen the variance of the subject's rate.

    One row a cluster: ``cluster_sizes`` strikes m, ``subject_codes`` integers from 0, and the correlation r (one number
    or one per cluster). Returns an array of length ``subject_codes.max() + 1``: Σ m (1 + (m − 1) r) / Σ m, never below
    1, and 1 for a subject without strikes. With one r it is 1 + (Σ m² / N − 1) r.

    Sources: Kish 1965, Survey Sampling; for unequal clusters, Saha, Miller & Wang 2016, Int J Biostat 12(2), and Short
    et al. 2020, Stat Methods Med Res 29:111.
    Raises ValueError for negative sizes, codes that are no codes, or a correlation outside [0, 1].
    """
    sizes = checked_range(cluster_sizes, name="cluster_sizes", least=0.0)
    subjects = checked_codes(subject_codes, name="subject_codes", length=sizes.size)
    correlation = checked_range(correlation_per_cluster, name="correlation_per_cluster", least=0.0, most=1.0)
    total = np.bincount(subjects, sizes)
    inflated = np.bincount(subjects, sizes * (1.0 + (sizes - 1.0) * correlation))
    with np.errstate(invalid="ignore"):
        return np.asarray(np.where(total > 0, np.maximum(inflated / total, 1.0), 1.0))


def clustered_proportion(
    k: ArrayLike,
    n: ArrayLike,
    deff: ArrayLike,
    *,
    level: float = 0.95,
    method: IntervalMethod = IntervalMethod.WILSON,
) -> Proportion:
    """The rate k/n with an interval on effective counts k/deff and n/deff; ``k`` and ``n`` of the result stay plain.

    ``deff`` is the design effect, at least 1, and broadcasts with the counts; where it is 1 the interval is that of
    `proportion`. Raises ValueError as `proportion` does, and for a deff below 1.
    Sources: Saha, Miller & Wang 2016, Int J Biostat 12(2); Rao & Scott 1992, Biometrics 48:577 (effective counts).

    >>> estimate = clustered_proportion(42, 60, 1.45)
    >>> round(float(estimate.effective_n), 1), round(float(estimate.low), 3), round(float(estimate.high), 3)
    (41.4, 0.548, 0.818)
    """
    hits, attempts = checked_counts(k, n)
    effect = checked_range(deff, name="deff", least=1.0)
    hits, attempts, effect = np.broadcast_arrays(hits, attempts, effect)
    effective_n = np.asarray(attempts / effect)
    low, high = interval(np.asarray(hits / effect), effective_n, level=level, method=method)
    return Proportion(
        k=hits,
        n=attempts,
        effective_n=effective_n,
        rate=rate_of(hits, attempts),
        low=low,
        high=high,
        level=level,
        method=IntervalMethod(method),
    )
