"""Published figures of rules that look and stop: sequential probability ratio tests, group looks, curtailed samples."""

from __future__ import annotations

import csv
import json
import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tracker.stats.stopping import StoppingProbabilities, stopping_probabilities

PUBLISHED_VALUES = Path(__file__).with_name("published_values.csv")
FAMILIES = ("sprt.", "tsprt.", "gs.", "simon.", "curtail.", "lqas19.", "ready.", "mastery.", "cs.")

LEFT_OUT = {
    "mastery.": "the posterior chance of mastery is not computed; readiness rests on the score",
    "cs.": "confidence sequences are not computed; repeated looks are allowed for by the ready line",
}


def published(row_id: str) -> tuple[dict[str, Any], dict[str, Any], float]:
    """Inputs, expected values and tolerance of a row of the published values."""
    with PUBLISHED_VALUES.open(newline="", encoding="utf-8") as file:
        row = next(row for row in csv.DictReader(file) if row["id"] == row_id)
    return json.loads(row["inputs_json"]), json.loads(row["expected_json"]), float(row["tolerance"])


def wald_lines(p0: float, p1: float, alpha: float, beta: float) -> tuple[float, float, float]:
    """Intercepts below and above, and slope, of Wald's lines (Wald 1947, Sequential Analysis, section 5.3)."""
    k = math.log(p1 * (1 - p0) / (p0 * (1 - p1)))
    return math.log((1 - alpha) / beta) / k, math.log((1 - beta) / alpha) / k, math.log((1 - p0) / (1 - p1)) / k


def sequential_test(
    inputs: dict[str, Any], rates: list[float], *, first: int = 1, last: int = 1500
) -> StoppingProbabilities:
    """The sequential test looked at after every strike from ``first`` to ``last``."""
    below, above, slope = wald_lines(inputs["p0"], inputs["p1"], inputs["alpha"], inputs["beta"])
    n = np.arange(first, last + 1)
    return stopping_probabilities(n, np.ceil(slope * n + above), np.floor(slope * n - below), rates)


@pytest.mark.parametrize("row_id", ["sprt.wald1947", "sprt.montgomery", "sprt.nist626", "sprt.tool.5_.7"])
def test_sequential_probability_ratio_test_decides_as_computed_and_takes_longer_than_wald_says(row_id: str) -> None:
    inputs, expected, tolerance = published(row_id)
    lines = dict(zip(("h1", "h2", "s"), wald_lines(**inputs), strict=True))
    exact = expected["recomputed"]["exact"]
    rule = sequential_test(inputs, [inputs["p0"], lines["s"], inputs["p1"]])

    for name, value in (expected["published"] or {}).items():
        assert lines[name] == pytest.approx(value, abs=tolerance)
    assert_allclose(rule.high, [exact[at]["p_high"] for at in ("p0", "s", "p1")], atol=1e-6)
    assert_allclose(rule.mean_strikes, [exact[at]["asn"] for at in ("p0", "s", "p1")], rtol=1e-5)
    assert np.all(rule.mean_strikes > [expected["recomputed"]["asn_wald"][at] for at in ("at_p0", "at_s", "at_p1")])


def test_sequential_plan_has_the_published_acceptance_and_rejection_numbers() -> None:
    inputs, expected, _ = published("sprt.nist626.table")
    below, above, slope = wald_lines(inputs["p1"], inputs["p2"], inputs["alpha"], inputs["beta"])
    n = np.array(inputs["n"])
    accept = [int(limit) if limit >= 0 else "x" for limit in np.floor(slope * n - below)]

    assert accept == expected["published"]["accept"]
    assert np.ceil(slope * n + above).astype(int).tolist() == expected["published"]["reject"]


def test_truncated_test_has_the_published_average_sample_numbers() -> None:
    inputs, expected, tolerance = published("tsprt.gsdesign.asn")
    rule = sequential_test(inputs, inputs["p"], first=inputs["minn"], last=inputs["maxn"])

    assert_allclose(rule.mean_strikes, expected["published"]["asn"], atol=tolerance)
    assert_allclose(rule.mean_strikes, expected["recomputed"]["asn"], rtol=1e-8)


def test_three_looks_have_the_published_crossing_probabilities_and_sample_numbers() -> None:
    inputs, expected, tolerance = published("gs.gsdesign.exact")
    _, published_mean, mean_tolerance = published("gs.gsdesign.exact_en")
    rule = stopping_probabilities(inputs["n"], inputs["upper"], inputs["lower"], inputs["p"])

    assert_allclose(rule.high, expected["published"]["upper"], atol=tolerance)
    assert_allclose(rule.low, expected["published"]["lower"], atol=tolerance)
    assert_allclose(rule.high, expected["recomputed"]["upper"], rtol=1e-8)
    assert_allclose(rule.low, expected["recomputed"]["lower"], rtol=1e-8)
    assert_allclose(rule.mean_strikes, expected["recomputed"]["en"], rtol=1e-8)
    assert_allclose(rule.mean_strikes, published_mean["published"]["en"], atol=mean_tolerance)


@pytest.mark.parametrize("row_id", ["simon.5_.7.admissible"])
def test_two_stage_design_has_the_published_errors_and_sample_number(row_id: str) -> None:
    inputs, expected, tolerance = published(row_id)
    looks, upper, lower = [inputs["n1"], inputs["n"]], [inputs["n1"] + 1, inputs["r"] + 1], [inputs["r1"], inputs["r"]]
    rule = stopping_probabilities(looks, upper, lower, [inputs["p0"], inputs["p1"]])
    first_stage = stopping_probabilities(looks[:1], upper[:1], lower[:1], inputs["p0"])

    assert rule.mean_strikes[0] == pytest.approx(expected["published"]["EN_p0"], abs=tolerance)
    assert first_stage.low[0] == pytest.approx(expected["published"]["PET_p0"], abs=tolerance)
    assert_allclose(rule.high, [expected["recomputed"][name] for name in ("alpha", "power")], rtol=1e-8)
    assert rule.mean_strikes[1] == pytest.approx(expected["recomputed"]["EN_p1"], rel=1e-8)


@pytest.mark.parametrize("row_id", ["curtail.14_20.0.6", "curtail.14_20.0.7", "curtail.14_20.0.8"])
def test_fourteen_of_twenty_stopped_when_settled(row_id: str) -> None:
    inputs, expected, tolerance = published(row_id)
    n, pass_at = inputs["n"], inputs["pass_at"]
    strikes = np.arange(1, n + 1)
    rule = stopping_probabilities(strikes, np.full(n, pass_at), strikes - (n - pass_at + 1), inputs["p"])

    assert rule.high[0] == pytest.approx(expected["recomputed"]["p_pass"], abs=tolerance)
    assert rule.mean_strikes[0] == pytest.approx(expected["recomputed"]["en"], abs=1e-8)


@pytest.mark.parametrize("row_id", ["ready.sprt.session10.deff1.0", "ready.sprt.session10.deff1.45"])
def test_looks_at_the_end_of_practices_of_ten(row_id: str) -> None:
    inputs, expected, tolerance = published(row_id)
    rule = stopping_probabilities(inputs["looks"], inputs["upper"], inputs["lower"], inputs["p"])

    assert_allclose(rule.high, expected["recomputed"]["promote"], atol=tolerance)
    assert_allclose(rule.low, expected["recomputed"]["step_back"], atol=tolerance)
    assert_allclose(rule.undecided, expected["recomputed"]["undecided"], atol=tolerance)
    assert_allclose(rule.mean_strikes, expected["recomputed"]["mean_strikes"], rtol=1e-8)


@pytest.mark.parametrize("row_id", [f"lqas19.0.{tenth}" for tenth in range(4, 9)])
def test_lot_quality_rule_of_nineteen_keeps_both_errors_below_a_tenth(row_id: str) -> None:
    inputs, expected, _ = published(row_id)
    pass_at = expected["published"]["d"]
    rule = stopping_probabilities([inputs["n"]], [pass_at], [pass_at - 1], [inputs["upper"], inputs["lower"]])

    assert rule.low[0] == pytest.approx(expected["recomputed"]["alpha"], abs=1e-9)
    assert rule.high[1] == pytest.approx(expected["recomputed"]["beta"], abs=1e-9)
    assert max(rule.low[0], rule.high[1]) < 0.10


def test_every_published_row_of_these_families_is_used_or_left_out_with_a_reason() -> None:
    with PUBLISHED_VALUES.open(newline="", encoding="utf-8") as file:
        rows = {row["id"] for row in csv.DictReader(file) if row["id"].startswith(FAMILIES)}
    text = Path(__file__).read_text(encoding="utf-8")
    used = {row for row in rows if f'"{row}"' in text or row.startswith("lqas19.")}

    assert {row for row in rows - used if not row.startswith(tuple(LEFT_OUT))} == set()
    assert all(any(row.startswith(family) for row in rows) for family in (*FAMILIES, *LEFT_OUT))
