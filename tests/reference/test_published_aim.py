"""Published figures of the angular-error model: golf putting, and forward values for a goal mouth."""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tracker.stats.aim import fit_aim, hit_probability, target_half_angle_deg
from tracker.stats.aim_goodness import goodness_of_fit

PUBLISHED_VALUES = Path(__file__).with_name("published_values.csv")

LEFT_OUT = {"golf.logistic": "a logistic regression on distance; the aim model takes its place"}


def published(row_id: str) -> tuple[dict[str, Any], dict[str, Any], float]:
    """Inputs, expected values and tolerance of a row of the published values."""
    with PUBLISHED_VALUES.open(newline="", encoding="utf-8") as file:
        row = next(row for row in csv.DictReader(file) if row["id"] == row_id)
    return json.loads(row["inputs_json"]), json.loads(row["expected_json"]), float(row["tolerance"])


def putts(inputs: dict[str, Any]) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Half-angles in degrees, tries and successes; the ball must pass inside the rim, so the angle is an arc sine."""
    slack_ft = (inputs["hole_diameter_in"] - inputs["ball_diameter_in"]) / 2 / 12
    angle = np.degrees(np.arcsin(slack_ft / np.array(inputs["distance_ft"])))
    return angle, np.array(inputs["tries"]), np.array(inputs["successes"])


@pytest.mark.parametrize("row_id", ["golf.sigma.gn2002", "golf.sigma.stan", "golf.sigma.degrees"])
def test_golf_putts_have_the_published_spread(row_id: str) -> None:
    inputs, expected, tolerance = published(row_id)
    angle, tries, successes = putts(inputs)
    fit = fit_aim(angle, 0, successes, 0, tries - successes)
    found = {
        "sigma_rad": np.radians(fit.spread_deg[0]),
        "sigma_deg": fit.spread_deg[0],
        "sd_rad": np.radians(fit.spread_deg[0] ** 2 * np.sqrt(fit.covariance[0, 0, 0])),
        "sd_deg": fit.spread_deg[0] ** 2 * np.sqrt(fit.covariance[0, 0, 0]),
        "ci95_profile_rad": np.radians([fit.spread_low[0], fit.spread_high[0]]),
        "ci95_profile_deg": np.array([fit.spread_low[0], fit.spread_high[0]]),
        "loglik_kernel": fit.log_likelihood[0],
    }

    for name, value in expected["published"].items():
        assert found[name] == pytest.approx(value, abs=tolerance)
    for name, value in expected["recomputed"].items():
        assert_allclose(found[name], value, rtol=1e-4 if name.startswith("sd") else 1e-6)


def test_golf_putts_fit_at_short_and_long_distance_as_badly_as_published() -> None:
    inputs, expected, tolerance = published("golf.fit")
    angle, tries, successes = putts(inputs)
    fit = fit_aim(angle, 0, successes, 0, tries - successes)
    goodness = goodness_of_fit(fit, angle, 0, successes, 0, tries - successes)

    assert_allclose(goodness.expected_rate, expected["recomputed"]["p"], atol=tolerance)
    assert goodness.x2[0] == pytest.approx(expected["recomputed"]["X2"], abs=1e-4)
    assert goodness.df[0] == expected["recomputed"]["df"]
    assert fit.attempts[0] == expected["recomputed"]["total_tries"]


@pytest.mark.parametrize(
    "row_id", ["aim.forward.3.66_12_5", "aim.forward.1.0_8_5", "aim.forward.7.32_16_15", "aim.forward.1.83_12_7"]
)
def test_chance_to_hit_a_goal_mouth(row_id: str) -> None:
    inputs, expected, tolerance = published(row_id)
    angle = target_half_angle_deg(inputs["width_m"], inputs["distance_m"])

    assert angle == pytest.approx(expected["recomputed"]["half_angle_deg"], abs=1e-8)
    assert hit_probability(angle, 0.0, inputs["sigma_deg"]) == pytest.approx(expected["recomputed"]["p"], abs=tolerance)


def test_every_published_row_of_the_aim_model_is_used_or_left_out_with_a_reason() -> None:
    with PUBLISHED_VALUES.open(newline="", encoding="utf-8") as file:
        rows = {row["id"] for row in csv.DictReader(file) if row["id"].startswith(("golf.", "aim."))}
    used = {"golf.sigma.gn2002", "golf.sigma.stan", "golf.sigma.degrees", "golf.fit"} | {
        row for row in rows if row.startswith("aim.forward.")
    }

    assert rows == used | LEFT_OUT.keys()
    assert len(rows) == 9
