"""Logistic regression of tallies by iteratively reweighted least squares."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy import special

from tracker.stats.checks import FloatArray, checked_range, checked_tallies

MOST_STEPS = 500
SETTLED = 1e-10  # on the logit scale
# Beyond a rate of 1 in 160,000 a coefficient is running away: hits and misses are separated.
FARTHEST_LOGIT = 12.0
LONGEST_STEP = 4.0


@dataclass(frozen=True, kw_only=True, slots=True)
class LogisticFit:
    """A fitted logistic regression.

    ``coefficients`` of length P on the logit scale, their ``covariance`` P × P if every strike were independent, and
    the ``fitted`` rate of each row. ``is_penalised`` says that the plain likelihood has no maximum, because some column
    separates hits from misses, and that Firth's was taken instead.
    """

    coefficients: FloatArray
    covariance: FloatArray
    fitted: FloatArray
    log_likelihood: float
    is_penalised: bool


def fit_logistic(
    attempts: ArrayLike, on_target: ArrayLike, design: ArrayLike, *, offset: ArrayLike = 0.0
) -> LogisticFit:
    """Maximum likelihood of logit(rate) = ``design`` @ coefficients + ``offset``.

    ``attempts`` and ``on_target`` are flat counts of length R, ``design`` is R × P (a column of ones for the intercept
    is the caller's), ``offset`` one number or one a row on the logit scale. Where the likelihood has no maximum, that
    of Firth's penalised likelihood: Firth 1993, Biometrika 80:27; Heinze & Schemper 2002, Stat Med 21:2409.

    Raises ValueError for impossible counts, or columns of the design that depend on each other.
    Source: McCullagh & Nelder 1989, Generalized Linear Models, chapter 4.

    >>> fit = fit_logistic([10, 10, 10], [3, 5, 7], [[1, -1], [1, 0], [1, 1]])
    >>> round(float(fit.coefficients[1]), 4)
    0.8473
    """
    tries, hits = checked_tallies(attempts, on_target)
    columns = checked_range(design, name="design")
    if columns.ndim != 2 or columns.shape[0] != tries.size:
        raise ValueError(f"design must have {tries.size} rows, but has the shape {columns.shape}")
    shift = np.broadcast_to(checked_range(offset, name="offset"), tries.shape)
    seen = tries > 0
    if np.linalg.matrix_rank(columns[seen]) < columns.shape[1]:
        raise ValueError("design has columns that depend on each other where there are attempts")
    coefficients, is_penalised = _climb(tries, hits, columns, shift, penalised=False), False
    if coefficients is None:
        coefficients, is_penalised = _climb(tries, hits, columns, shift, penalised=True), True
    if coefficients is None:
        raise ValueError("design gives no regression that settles: are its columns on wildly different scales?")
    fitted = special.expit(columns @ coefficients + shift)
    information = columns.T @ (columns * (tries * fitted * (1.0 - fitted))[:, None])
    return LogisticFit(
        coefficients=coefficients,
        covariance=np.linalg.inv(information),
        fitted=fitted,
        log_likelihood=float(np.sum(special.xlogy(hits, fitted) + special.xlog1py(tries - hits, -fitted))),
        is_penalised=is_penalised,
    )


def _climb(
    n: FloatArray, k: FloatArray, design: FloatArray, offset: FloatArray, *, penalised: bool
) -> FloatArray | None:
    """The coefficients of the highest (penalised) likelihood, or None where the steps do not settle."""

    def height(point: FloatArray) -> float:
        logit = design @ point + offset
        likelihood = float(np.sum(k * logit - n * np.logaddexp(0.0, logit)))
        rate = special.expit(logit)
        information = design.T @ (design * (n * rate * (1.0 - rate))[:, None])
        return likelihood + 0.5 * float(np.linalg.slogdet(information)[1]) if penalised else likelihood

    coefficients = np.zeros(design.shape[1])
    reached = height(coefficients)
    for _ in range(MOST_STEPS):
        step = _step(n, k, design, special.expit(design @ coefficients + offset), penalised=penalised)
        longest = float(np.max(np.abs(design @ step)))
        if longest < SETTLED:
            return coefficients
        step = step * min(1.0, LONGEST_STEP / longest)
        while (tried := height(coefficients + step)) < reached - 1e-12 * abs(reached) and longest > SETTLED:
            step, longest = step / 2.0, longest / 2.0
        coefficients, reached = coefficients + step, tried
        if not penalised and np.max(np.abs(design[n > 0] @ coefficients)) > FARTHEST_LOGIT:
            return None
    return None


def _step(n: FloatArray, k: FloatArray, design: FloatArray, rate: FloatArray, *, penalised: bool) -> FloatArray:
    """One Fisher scoring step from where the rates are ``rate``."""
    weight = n * rate * (1.0 - rate)
    information = design.T @ (design * weight[:, None])
    residual = k - n * rate
    if penalised:  # half a hit and half a miss a coefficient, shared out by leverage
        leverage = weight * np.einsum("ij,ji->i", design, np.linalg.solve(information, design.T))
        residual = residual + leverage * (0.5 - rate)
    return np.asarray(np.linalg.solve(information, design.T @ residual))
