"""Do two observers of the same strikes write down the same?"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike
from scipy import special

from tracker.stats.checks import FloatArray, IntArray, checked_codes, checked_level
from tracker.stats.proportion import Proportion, proportion

TRUSTWORTHY_KAPPA = 0.6


class Trust(StrEnum):
    """Whether counts may be believed: Cohen's kappa of at least 0.6 (Landis & Koch 1977: substantial)."""

    TRUSTWORTHY = "trustworthy"
    NOT_YET = "not yet"
    UNDECIDED = "undecided"  # no strike seen twice, or both observers saw one and the same outcome throughout


@dataclass(frozen=True, kw_only=True, slots=True)
class Agreement:
    """How far two observers agree.

    ``table[i, j]`` counts strikes the first observer put in category i and the second in j. ``agreement`` is the share
    on the diagonal with its Wilson interval: look at it first, since kappa falls when one outcome dominates.
    ``kappa`` has a standard error and a normal interval within [−1, 1]; all are NaN where only one category occurs.
    """

    table: IntArray
    strikes_compared: int
    agreement: Proportion
    kappa: float
    standard_error: float
    low: float
    high: float
    trust: Trust
    level: float


def observer_agreement(
    first: ArrayLike, second: ArrayLike, *, categories: int | None = None, level: float = 0.95
) -> Agreement:
    """Cohen's kappa and the percent agreement of two observers.

    ``first`` and ``second`` are flat arrays of integer codes 0, 1, … of one length, one entry a strike seen by both;
    ``categories`` is the number of codes, by default the largest code plus one. Raises ValueError for other codes.
    Sources: Cohen 1960, Educ Psychol Meas 20:37; Fleiss, Cohen & Everitt 1969, Psychol Bull 72:323 (standard error).

    >>> result = observer_agreement([0] * 29 + [1] * 262, [0] * 19 + [1] * 10 + [0] * 6 + [1] * 256)
    >>> round(result.kappa, 3), round(result.low, 3), round(result.high, 3)
    (0.674, 0.524, 0.823)
    """
    length = np.asarray(first).size
    ours = checked_codes(first, name="first", length=length)
    theirs = checked_codes(second, name="second", length=length)
    size = int(max(ours.max(initial=0), theirs.max(initial=0))) + 1
    if categories is not None and categories < size:
        raise ValueError(f"categories must be at least {size}, one more than the largest code, but is {categories}")
    size = categories or size
    table = np.bincount(ours * size + theirs, minlength=size * size).reshape(size, size).astype(np.int64)
    return agreement_of_table(table, level=level)


def agreement_of_table(table: ArrayLike, *, level: float = 0.95) -> Agreement:
    """As `observer_agreement`, from a square table of counts: rows the first observer, columns the second."""
    quantile = -special.ndtri((1.0 - checked_level(level)) / 2.0)
    counts = np.asarray(table)
    if counts.ndim != 2 or counts.shape[0] != counts.shape[1]:
        raise ValueError(f"table must be square, but has the shape {counts.shape}")
    if not np.issubdtype(counts.dtype, np.integer) or counts.min(initial=0) < 0:
        raise ValueError(f"table must hold counts of at least 0, but is {counts.tolist()}")
    strikes = int(counts.sum())
    kappa, error = _kappa(counts / strikes, strikes) if strikes else (float("nan"), float("nan"))
    return Agreement(
        table=counts.astype(np.int64),
        strikes_compared=strikes,
        agreement=proportion(np.trace(counts), strikes, level=level),
        kappa=kappa,
        standard_error=error,
        low=float(np.maximum(kappa - quantile * error, -1.0)),
        high=float(np.minimum(kappa + quantile * error, 1.0)),
        trust=_trust(kappa),
        level=level,
    )


def _trust(kappa: float) -> Trust:
    if np.isnan(kappa):
        return Trust.UNDECIDED
    return Trust.TRUSTWORTHY if kappa >= TRUSTWORTHY_KAPPA else Trust.NOT_YET


def _kappa(share: FloatArray, strikes: int) -> tuple[float, float]:
    """Kappa and its standard error, valid for any true kappa; NaN where chance alone would always agree."""
    rows, columns = share.sum(axis=1), share.sum(axis=0)
    observed, expected = float(np.trace(share)), float(rows @ columns)
    if np.isclose(expected, 1.0, rtol=0.0, atol=1e-12):
        return float("nan"), float("nan")
    kappa = (observed - expected) / (1.0 - expected)
    margins = columns[:, None] + rows[None, :]  # p(.i) + p(j.) for cell (i, j)
    on = np.diag(share) @ (1.0 - np.diag(margins) * (1.0 - kappa)) ** 2
    off = (share * margins**2).sum() - np.diag(share) @ np.diag(margins) ** 2
    variance = on + (1.0 - kappa) ** 2 * off - (kappa - expected * (1.0 - kappa)) ** 2
    return kappa, float(np.sqrt(max(variance, 0.0) / strikes) / (1.0 - expected))
