"""Operating characteristics: the exact figures, the simulation beside them, and the rule of thumb."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from tracker.stats.operating import (
    compare_with_last_ten,
    operating_characteristics,
    simulate_operating_characteristics,
)
from tracker.stats.readiness import expected_strikes_to_ready
from tracker.stats.ready_line import ready_line
from tracker.stats.stopping import stopping_probabilities

RATES = [0.5, 0.6, 0.7, 0.8, 0.9]


def test_a_line_for_sixty_against_eighty_percent_takes_about_thirty_strikes_at_eighty() -> None:
    exact = operating_characteristics(ready_line(0.60, 0.80), RATES)

    assert exact.ready_within_horizon[1] == pytest.approx(exact.line.false_ready_risk)
    assert exact.median_strikes[3] == pytest.approx(31, abs=2)
    assert exact.ninety_percent_strikes[3] == pytest.approx(62, abs=3)
    assert np.all(np.diff(exact.ready_within_horizon) > 0)


def test_mean_strikes_agree_with_the_linear_system_of_the_chain() -> None:
    line = ready_line(0.50, 0.70)
    exact = operating_characteristics(line, [0.65, 0.7, 0.9])

    assert_allclose(exact.mean_strikes, expected_strikes_to_ready(exact.rates, 0.0, line=line), rtol=1e-6)


def test_what_is_hardly_ever_reached_has_no_number_of_strikes() -> None:
    exact = operating_characteristics(ready_line(0.50, 0.70), [0.0, 0.3])

    assert_allclose(exact.mean_strikes, np.inf)
    assert_allclose(exact.median_strikes, np.inf)


@pytest.mark.parametrize(("correlation", "strikes_a_practice"), [(0.0, 10), (0.05, 10), (0.10, 5)])
def test_simulated_players_fare_as_the_chain_says(correlation: float, strikes_a_practice: int) -> None:
    line = ready_line(0.60, 0.80, correlation=correlation, strikes_a_practice=strikes_a_practice)
    settings = {"correlation": correlation, "strikes_a_practice": strikes_a_practice}
    exact = operating_characteristics(line, RATES, **settings)  # type: ignore[arg-type]
    simulated = simulate_operating_characteristics(line, RATES, **settings)  # type: ignore[arg-type]

    assert_allclose(simulated.ready_within_horizon, exact.ready_within_horizon, atol=4 * np.sqrt(0.25 / 2000))
    assert_allclose(simulated.median_strikes[3:], exact.median_strikes[3:], atol=3)


def test_the_two_practice_rule_only_delays() -> None:
    line = ready_line(0.60, 0.80)
    exact = operating_characteristics(line, [0.95], strikes_a_practice=30)
    simulated = simulate_operating_characteristics(line, [0.95], strikes_a_practice=30)

    assert exact.median_strikes[0] < 20
    assert simulated.median_strikes[0] == 31


def test_a_set_called_out_costs_a_little_power_and_no_promise() -> None:
    line = ready_line(0.50, 0.70, correlation=0.05)
    settings = {"correlation": 0.05, "runs": 4000}
    tapped = simulate_operating_characteristics(line, [0.5, 0.7], **settings)  # type: ignore[arg-type]
    called = simulate_operating_characteristics(line, [0.5, 0.7], strikes_a_set=10, **settings)  # type: ignore[arg-type]

    assert called.ready_within_horizon[0] <= 0.10
    assert 0.85 <= called.ready_within_horizon[1] < tapped.ready_within_horizon[1]


def test_the_same_seed_gives_the_same_players() -> None:
    line = ready_line(0.50, 0.70)
    once, again, other = (
        simulate_operating_characteristics(line, [0.6], runs=500, seed=seed).ready_within_horizon for seed in (1, 1, 2)
    )

    assert once == again != other


def test_eight_of_the_last_ten_promotes_players_who_are_not_ready() -> None:
    at_half, at_sixty, at_seventy = compare_with_last_ten(ready_line(0.50, 0.70, correlation=0.05), [0.5, 0.6, 0.7])

    assert at_half.one_look == pytest.approx(0.0547, abs=1e-4)
    assert at_half.last_ten == pytest.approx(1 - (1 - at_half.one_look) ** 10, abs=0.01)
    assert at_half.ready_line_correlated <= 0.10 < at_half.last_ten
    assert at_sixty.last_ten > 0.8
    assert at_seventy.ready_line_correlated > 0.9


def test_twenty_looks_at_the_last_ten_promote_two_of_three_players_at_fifty_percent() -> None:
    at_half, at_sixty = compare_with_last_ten(ready_line(0.50, 0.70, horizon=200), [0.5, 0.6])

    assert at_half.last_ten == pytest.approx(0.67, abs=0.01)
    assert at_sixty.last_ten == pytest.approx(0.97, abs=0.01)


def test_sets_must_fit_into_a_practice() -> None:
    with pytest.raises(ValueError, match="strikes_a_set"):
        simulate_operating_characteristics(ready_line(0.5, 0.7), [0.5], strikes_a_practice=10, strikes_a_set=4)


@given(rate=st.floats(0, 1), looks=st.lists(st.integers(1, 40), min_size=1, max_size=5, unique=True).map(sorted))
def test_every_player_is_high_low_or_undecided(rate: float, looks: list[int]) -> None:
    rule = stopping_probabilities(looks, [0.8 * n + 1 for n in looks], [0.3 * n - 1 for n in looks], rate)

    assert (rule.high + rule.low + rule.undecided)[0] == pytest.approx(1)
    assert looks[0] - 1e-9 <= rule.mean_strikes[0] <= looks[-1] + 1e-9


@pytest.mark.parametrize(
    ("looks", "upper", "lower", "named"),
    [
        ([5, 5], [4, 4], [1, 1], "looks"),
        ([0], [1], [0], "looks"),
        ([5], [4, 4], [1], "upper"),
        ([5], [2], [2], "lower"),
    ],
)
def test_rules_that_cannot_be_are_refused(looks: list[int], upper: list[int], lower: list[int], named: str) -> None:
    with pytest.raises(ValueError, match=named):
        stopping_probabilities(looks, upper, lower, 0.5)
