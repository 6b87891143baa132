"""Every published value of a method we have, found by its id in ``published_values.csv``; see SOURCES.md."""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from published_runs import RUN

FOLDER = Path(__file__).parent
with (FOLDER / "published_values.csv").open(newline="", encoding="utf-8") as file:
    ROWS = {row["id"]: row for row in csv.DictReader(file)}

CHECKED_IN = {
    "golf.sigma.": "test_published_aim.py",
    "golf.fit": "test_published_aim.py",
    "aim.forward.": "test_published_aim.py",
    "sprt.": "test_published_sequential.py",
    "tsprt.": "test_published_sequential.py",
    "gs.": "test_published_sequential.py",
    "simon.": "test_published_sequential.py",
    "curtail.": "test_published_sequential.py",
    "lqas19.": "test_published_sequential.py",
    "ready.": "test_published_sequential.py",
}

LEFT_OUT = {
    "one.wald.": "Wald's interval is not offered: it covers too seldom and collapses at 0 and n",
    "one.waldcc.": "Wald's interval is not offered",
    "one.coverage.wald.": "Wald's interval is not offered",
    "one.midp.": "the mid-P interval is not offered: Wilson's has its coverage in closed form",
    "one.lr.": "the likelihood-ratio interval is not offered",
    "one.ac_plus4.": "ours adds z²/2 and z², not 2 and 4",
    "one.jeffreys_plain.": "ours has the edge rule of Brown, Cai & DasGupta",
    "one.bcd.modjeffreys_upper0.7": "the further modification of Jeffreys' interval is not offered",
    "two.m1.": "Wald's difference is not offered",
    "two.m2.": "Wald's difference is not offered",
    "two.m3.": "Haldane's difference is not offered",
    "two.m4.": "the Jeffreys-Perks difference is not offered",
    "two.wald.": "Wald's difference is not offered",
    "deff.rats.TREAT": "the ratio estimator needs many practices a player; the pooled correlation takes its place",
    "deff.rats.raoscott_test": "as above, and no test between groups is made",
    "cluster.liang.robust": "robust standard errors need many practices a player",
    "cluster.liang.gee": "estimating equations need many practices a player",
    "bb.orob2.glmm": "no mixed model is fitted",
    "bb.orob2.williams": "the dispersion is Pearson's, not Williams' method II",
    "bb.orob2.betabin": "no beta-binomial regression is fitted",
    "em.1975.": "shrinkage is beta-binomial, not James-Stein on the arcsine scale",
    "em.1977.": "shrinkage is beta-binomial, not James-Stein",
    "mastery.": "the posterior chance of mastery is not computed; readiness rests on the score",
    "cs.": "confidence sequences are not computed; the ready line allows for repeated looks",
    "isotonic.": "no isotonic regression is fitted",
    "changepoint.": "no change point is sought",
    "kappa.weighted.": "outcomes have no order, so kappa has no weights",
    "kappa.fleiss.": "agreement is between two observers",
    "mult.bh1995.bonferroni": "only Benjamini-Hochberg is offered",
    "mult.bh1995.simes-hochberg": "only Benjamini-Hochberg is offered",
    "mult.bh1995.holm": "only Benjamini-Hochberg is offered",
    "mult.bh1995.fdr_by": "only Benjamini-Hochberg is offered",
    "rank.": "players are never ranked",
    "paired.": "no strike is paired with another: first sets are compared with later ones within practices",
    "mcnemar.": "no strike is paired with another",
}

# Keys of a row's expected values that belong to a method we do not have.
OTHER_METHODS = {
    *("midp", "fleiss_cuzick", "msb", "msw", "n0", "deviance"),
    *("ase0", "z0", "lower_null_se", "upper_null_se"),  # valid only if kappa were 0
}
LIKELIHOOD_MAXIMA = (
    "bb.geissler.mle",
    "bb.rats.",
    "cluster.liang.bb",
    "em.eb",
    "bb.orob2.glm",
    "trend.indredavik.logit",
)


def prefix_of(row_id: str, table: dict[str, Any]) -> list[str]:
    """The entries of the table that stand for a row: its id, or a beginning of it that ends in a full stop."""
    return [prefix for prefix in table if row_id == prefix or (row_id.startswith(prefix) and prefix.endswith("."))]


def compare(found: Any, expected: Any, *, rtol: float, atol: float) -> int:
    """Asserts that expected values were found, and returns how many were compared."""
    if isinstance(expected, dict):
        missing = expected.keys() - found.keys() - OTHER_METHODS
        assert not missing, f"not computed: {missing}"
        return sum(compare(found[key], expected[key], rtol=rtol, atol=atol) for key in expected if key in found)
    np.testing.assert_allclose(np.ravel(found), np.ravel(expected), rtol=rtol, atol=atol)
    return 1


@pytest.mark.parametrize("row_id", [row_id for row_id in ROWS if prefix_of(row_id, RUN)])
def test_the_published_value_is_reproduced(row_id: str) -> None:
    row = ROWS[row_id]
    (prefix,) = prefix_of(row_id, RUN)
    found, expected = RUN[prefix](json.loads(row["inputs_json"])), json.loads(row["expected_json"])
    is_maximum = prefix in LIKELIHOOD_MAXIMA
    assert compare(found, expected["recomputed"], rtol=1e-4 if is_maximum else 1e-9, atol=1e-8) > 0
    misprints = expected.get("published_misprint_keys", [])
    published = {key: value for key, value in (expected["published"] or {}).items() if key not in misprints}
    compare(found, published, rtol=0.0, atol=float(row["tolerance"]))


def test_every_row_is_run_or_checked_elsewhere_or_left_out_for_a_reason() -> None:
    for row_id in ROWS:
        homes = [prefix for table in (RUN, CHECKED_IN, LEFT_OUT) for prefix in prefix_of(row_id, table)]
        assert len(homes) == 1, f"{row_id}: {homes}"


def test_no_entry_is_out_of_date() -> None:
    for table in (RUN, CHECKED_IN, LEFT_OUT):
        for prefix in table:
            assert any(prefix in prefix_of(row_id, table) for row_id in ROWS), f"{prefix} stands for no row"


def test_the_modules_that_check_other_rows_name_them() -> None:
    for prefix, module in CHECKED_IN.items():
        assert prefix.rstrip(".") in (FOLDER / module).read_text(encoding="utf-8"), f"{module} says nothing of {prefix}"
