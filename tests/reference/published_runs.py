"""How each published value is computed with our own methods: ``RUN`` maps the beginning of an id to a function.

A function takes the row's inputs and returns values under the names of the row's expected values.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import stats
from statsmodels.datasets import spector

from tracker.domain.vocabulary import IntervalMethod
from tracker.stats.agreement import agreement_of_table
from tracker.stats.clustering import clustered_proportion, design_effect, intraclass_correlation
from tracker.stats.difference import DifferenceMethod, difference
from tracker.stats.logistic import LogisticFit, fit_logistic
from tracker.stats.multiplicity import benjamini_hochberg
from tracker.stats.pooling import _moments as moments
from tracker.stats.pooling import fitted_prior, pooled_rates
from tracker.stats.proportion import proportion
from tracker.stats.trend import cochran_armitage

Inputs = dict[str, Any]


def interval_of(method: IntervalMethod) -> Callable[[Inputs], Inputs]:
    def run(given: Inputs) -> Inputs:
        estimate = proportion(given["x"], given["n"], level=given["conf"], method=method)
        return {"lower": estimate.low, "upper": estimate.high}

    return run


def coverage(given: Inputs) -> Inputs:
    """Mean and least exact coverage over p = 0.02, 0.022, … 0.98."""
    k, rates = np.arange(given["n"] + 1), np.arange(0.02, 0.9801, 0.002)
    found = {}
    for name, method in (
        ("wilson", IntervalMethod.WILSON),
        ("jeffreys", IntervalMethod.JEFFREYS),
        ("cp", IntervalMethod.CLOPPER_PEARSON),
    ):
        estimate = proportion(k, given["n"], level=given["conf"], method=method)
        covered = (estimate.low <= rates[:, None]) & (rates[:, None] <= estimate.high)
        shares = (stats.binom.pmf(k, given["n"], rates[:, None]) * covered).sum(axis=1)
        found[name] = {"mean": shares.mean(), "min": shares.min()}
    return found


def simultaneous(given: Inputs, *, z2: float) -> Inputs:
    """Wilson intervals of multinomial shares at a common, larger quantile."""
    counts = np.array(given["counts"])
    estimate = proportion(counts, counts.sum(), level=float(stats.chi2.cdf(z2, 1)))
    return {"ci": {str(i): [estimate.low[i], estimate.high[i]] for i in range(counts.size)}}


def sidak(given: Inputs) -> Inputs:
    estimate = proportion(given["x"], given["n"], level=given["family_conf"] ** (1 / given["k"]))
    return {"lower": estimate.low, "upper": estimate.high}


def difference_of(method: DifferenceMethod) -> Callable[[Inputs], Inputs]:
    def run(given: Inputs) -> Inputs:
        gap = difference(given["x1"], given["n1"], given["x2"], given["n2"], level=given["conf"], method=method)
        return {"lower": gap.low, "upper": gap.high}

    return run


def one_group(given: Inputs) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.int64]]:
    n, k = np.array(given["n"], dtype=float), np.array(given.get("y", given.get("x")), dtype=float)
    return n, k, np.zeros(n.size, dtype=np.int64)


def correlation(given: Inputs) -> Inputs:
    found = intraclass_correlation(*one_group(given), default=0.05, fewest_clusters=2).correlation[0]
    return {"anova": found, "icc": found, "icc_saha2016": found}


def clustered_wilson(given: Inputs) -> Inputs:
    n, k, group = one_group(given)
    effect = design_effect(n, group, intraclass_correlation(n, k, group, default=0.05).correlation[0])
    estimate = clustered_proportion(k.sum(), n.sum(), effect)
    return {
        "estimate": estimate.rate,
        "xi": effect,
        "n_eff": estimate.effective_n,
        "lower": estimate.low,
        "upper": estimate.high,
    }


def donner(given: Inputs) -> Inputs:
    """Two groups with one correlation between them: our estimator within subjects, a group being a subject."""
    (n, k, _), (m, j, _) = one_group(given["CTRL"]), one_group(given["TREAT"])
    sizes, hits = np.concatenate([n, m]), np.concatenate([k, j])
    side = np.repeat([0, 1], [n.size, m.size])
    pooled = intraclass_correlation(sizes, hits, np.zeros_like(side), subject=side, default=0.05).correlation[0]
    effects = design_effect(sizes, side, pooled)
    totals, on_target = np.bincount(side, sizes), np.bincount(side, hits)
    rate = hits.sum() / sizes.sum()
    x2 = np.sum((on_target - totals * rate) ** 2 / (effects * totals * rate * (1 - rate)))
    return {"icc": pooled, "C_CTRL": effects[0], "C_TREAT": effects[1], "X2": x2, "p": stats.chi2.sf(x2, 1)}


def beta_binomial(given: Inputs) -> Inputs:
    if "freq" in given:
        k = np.repeat(np.array(given["k"], dtype=float), given["freq"])
        n = np.full(k.size, float(given["n"]))
    else:
        n, k, _ = one_group(given)
    prior = fitted_prior(n, k)
    a, b = prior.mean * prior.strength, (1 - prior.mean) * prior.strength
    likelihood = stats.betabinom.logpmf(k, n, a, b).sum()
    found = {"mu": prior.mean, "phi": 1 / (prior.strength + 1), "ll": likelihood, "loglik": likelihood}
    return found | {"alpha": a, "beta": b, "aic": 4 - 2 * likelihood}


def beta_binomial_moments(given: Inputs) -> Inputs:
    k = np.repeat(np.array(given["k"], dtype=float), given["freq"])
    mean, strength = moments(np.full(k.size, float(given["n"])), k)
    return {"alpha": mean * strength, "beta": (1 - mean) * strength}


def batters(given: Inputs) -> Inputs:
    hits, season = np.array(given["hits"]), np.array(given["remainder_avg"])
    pooled = pooled_rates(np.full(hits.size, given["n"]), hits, np.zeros(hits.size, dtype=int))
    return {
        "a": pooled.mean * pooled.strength,
        "b": (1 - pooled.mean) * pooled.strength,
        "eb": pooled.rate,
        "eb_first6": pooled.rate[:6],
        "sse_raw": np.sum((hits / given["n"] - season) ** 2),
        "sse_eb": np.sum((pooled.rate - season) ** 2),
    }


def rates_by_dilution(given: Inputs) -> Inputs:
    names, group = np.unique(given["dilution"], return_inverse=True)
    rates = proportion(np.bincount(group, given["y"]), np.bincount(group, given["n"])).rate
    overall = proportion(np.sum(given["y"]), np.sum(given["n"])).rate
    return dict(zip(names.tolist(), rates, strict=True)) | {"overall": overall}


def errors_of(fit: LogisticFit) -> NDArray[np.float64]:
    return np.sqrt(np.diag(fit.covariance))


def seeds(given: Inputs) -> Inputs:
    seed, root = np.array(given["seed"]) == "O73", np.array(given["root"]) == "CUCUMBER"
    design = np.column_stack([np.ones(seed.size), seed, root, seed & root]).astype(float)
    return dict(zip(("a0", "a1", "a2", "a12"), fit_logistic(given["n"], given["y"], design).coefficients, strict=True))


def putts(given: Inputs) -> Inputs:
    distance = np.array(given["distance_ft"], dtype=float)
    fit = fit_logistic(given["tries"], given["successes"], np.column_stack([np.ones(distance.size), distance]))
    (a, b), (se_a, se_b) = fit.coefficients, errors_of(fit)
    return {"a": a, "b": b, "se_a": se_a, "se_b": se_b}


def economics(_: Inputs) -> Inputs:
    data = spector.load()
    design = np.column_stack([np.ones(32), np.asarray(data.exog)])
    fit = fit_logistic(np.ones(32), np.asarray(data.endog), design)
    names = ("const", "GPA", "TUCE", "PSI")
    found = dict(zip(names, fit.coefficients, strict=True))
    return found | {"loglik": fit.log_likelihood, "se_GPA": errors_of(fit)[1]}


def logit_slope(given: Inputs) -> Inputs:
    scores = np.array(given["scores"], dtype=float)
    fit = fit_logistic(given["n"], given["x"], np.column_stack([np.ones(scores.size), scores]))
    (intercept, slope), error = fit.coefficients, errors_of(fit)[1]
    z = stats.norm.ppf(0.975)
    limits = {"lower": slope - z * error, "upper": slope + z * error}
    return {"intercept": intercept, "slope": slope, "se": error} | limits


def trend(given: Inputs) -> Inputs:
    found = cochran_armitage(given["x"], given["n"], given["scores"])
    squares = {"X2": found.z**2, "z2": found.z**2, "M2": found.z_conditional**2}
    slope = {"slope": found.slope, "lower": found.low, "upper": found.high}
    return {"z": found.z, "z_mh": found.z_conditional, "p": found.p_value} | squares | slope


def kappa(given: Inputs) -> Inputs:
    found = agreement_of_table(given["table"])
    share = found.agreement
    return {
        "kappa": found.kappa,
        "ase": found.standard_error,
        "lower": found.low,
        "upper": found.high,
        "agreement": share.rate,
        "agreement_wilson": [share.low, share.high],
    }


def adjusted(given: Inputs) -> Inputs:
    p_values = benjamini_hochberg(given["p"])
    return {"adjusted": p_values, "rejections": np.count_nonzero(p_values <= given["alpha"])}


RUN: dict[str, Callable[[Inputs], Inputs]] = {
    "one.wilson.": interval_of(IntervalMethod.WILSON),
    "one.altman.wilson.": interval_of(IntervalMethod.WILSON),
    "one.wilsoncc.": interval_of(IntervalMethod.WILSON_CC),
    "one.cp.": interval_of(IntervalMethod.CLOPPER_PEARSON),
    "one.nist.cp90.": interval_of(IntervalMethod.CLOPPER_PEARSON),
    "one.jeffreys.": interval_of(IntervalMethod.JEFFREYS),
    "one.ac.": interval_of(IntervalMethod.AGRESTI_COULL),
    "one.coverage.mean.": coverage,
    "simul.goodman_wilson": lambda given: simultaneous(given, z2=stats.chi2.isf(0.05 / len(given["counts"]), 1)),
    "simul.quesenberry_hurst": lambda given: simultaneous(given, z2=stats.chi2.isf(0.05, len(given["counts"]) - 1)),
    "simul.sidak_wilson.": sidak,
    "two.m5.": difference_of(DifferenceMethod.MEE),
    "two.m6.": difference_of(DifferenceMethod.MIETTINEN_NURMINEN),
    "two.mn.": difference_of(DifferenceMethod.MIETTINEN_NURMINEN),
    "two.m10.": difference_of(DifferenceMethod.NEWCOMBE),
    "two.newcombe.": difference_of(DifferenceMethod.NEWCOMBE),
    "two.altman.": difference_of(DifferenceMethod.NEWCOMBE),
    "two.m11.": difference_of(DifferenceMethod.NEWCOMBE_CC),
    "icc.rats.": correlation,
    "cluster.liang.icc": correlation,
    "cluster.liang.wilson_neff": clustered_wilson,
    "deff.kish.": lambda given: {"deff": design_effect([given["m"]], [0], given["icc"])[0]},
    "deff.rats.donner_test": donner,
    "bb.geissler.mom": beta_binomial_moments,
    "bb.geissler.mle": beta_binomial,
    "bb.rats.": beta_binomial,
    "cluster.liang.bb": beta_binomial,
    "bb.orob1.proportions": rates_by_dilution,
    "bb.orob2.glm": seeds,
    "em.eb": batters,
    "golf.logistic": putts,
    "logit.spector": economics,
    "trend.indredavik.logit": logit_slope,
    "trend.smokers": trend,
    "trend.mills": trend,
    "trend.ct_m2": trend,
    "trend.indredavik.ca": trend,
    "trend.indredavik.linear": trend,
    "kappa.salmon": kappa,
    "kappa.elisa": kappa,
    "mult.bh1995.fdr_bh": adjusted,
}
