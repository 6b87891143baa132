"""Logistic regression of tallies."""

from __future__ import annotations

import numpy as np
import pytest
import statsmodels.api as sm

from tracker.stats.logistic import fit_logistic


def test_coefficients_covariance_and_likelihood_agree_with_statsmodels() -> None:
    random = np.random.default_rng(1)
    for _ in range(20):
        design = np.column_stack([np.ones(30), random.normal(size=(30, 3))])
        offset, attempts = random.normal(size=30), random.integers(1, 30, 30)
        rate = 1 / (1 + np.exp(-(design @ random.normal(scale=0.5, size=4) + offset)))
        on_target = random.binomial(attempts, rate)
        ours = fit_logistic(attempts, on_target, design, offset=offset)
        tallies = np.column_stack([on_target, attempts - on_target])
        theirs = sm.GLM(tallies, design, family=sm.families.Binomial(), offset=offset).fit(tol=1e-12)
        np.testing.assert_allclose(ours.coefficients, theirs.params, atol=1e-8)
        np.testing.assert_allclose(ours.covariance, theirs.cov_params(), atol=1e-8)
        np.testing.assert_allclose(ours.fitted, theirs.fittedvalues, atol=1e-9)
        assert not ours.is_penalised


def test_separated_hits_and_misses_still_give_a_finite_slope() -> None:
    fit = fit_logistic([10, 10, 10], [0, 5, 10], [[1, 0], [1, 1], [1, 2]])
    assert fit.is_penalised
    assert 0 < fit.coefficients[1] < 10


def test_the_penalised_intercept_is_half_a_hit_and_half_a_miss() -> None:
    # Firth's estimate of one rate is (k + 1/2) / (n + 1) exactly.
    fit = fit_logistic([12], [12], [[1.0]])
    assert fit.is_penalised
    assert fit.fitted[0] == pytest.approx(12.5 / 13)


def test_a_penalised_saturated_table_adds_half_to_each_cell() -> None:
    fit = fit_logistic([8, 6], [8, 2], [[1, 0], [1, 1]])
    np.testing.assert_allclose(fit.fitted, [8.5 / 9, 2.5 / 7])


def test_every_small_table_settles() -> None:
    design = np.column_stack([np.ones(3), [0.0, 0.5, 1.0]])
    for attempts in (1, 2, 5):
        counts = np.stack(np.meshgrid(*[np.arange(attempts + 1)] * 3), axis=-1).reshape(-1, 3)
        for on_target in counts:
            fit = fit_logistic([attempts] * 3, on_target, design)
            assert np.isfinite(fit.coefficients).all()


def test_rows_without_attempts_change_nothing() -> None:
    with_empty = fit_logistic([10, 0, 10], [3, 0, 7], [[1, 0], [1, 5], [1, 1]])
    without = fit_logistic([10, 10], [3, 7], [[1, 0], [1, 1]])
    np.testing.assert_allclose(with_empty.coefficients, without.coefficients)


def test_columns_that_depend_on_each_other_are_refused() -> None:
    with pytest.raises(ValueError, match="design has columns that depend on each other"):
        fit_logistic([5, 5, 5], [1, 2, 3], [[1, 2], [1, 2], [1, 2]])
    with pytest.raises(ValueError, match="design must have 3 rows"):
        fit_logistic([5, 5, 5], [1, 2, 3], [[1, 2]])
