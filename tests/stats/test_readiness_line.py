"""The ready line and the revisit line: what they promise and how they move."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tracker.stats.ready_line import passage_probabilities, ready_line, revisit_line, too_hard_rate
from tracker.stats.score import ScoreLattice, score_lattice


def false_ready_risk(line_steps: int, *, correlation: float) -> float:
    passage = passage_probabilities(score_lattice(0.60, 0.80), line_steps, 0.60, horizon=100, correlation=correlation)
    return float(passage.sum())


def test_sixty_against_eighty_percent_needs_a_line_near_four() -> None:
    line = ready_line(0.60, 0.80)

    assert 3.9 <= line.line <= 4.3
    assert 0.095 <= line.false_ready_risk <= 0.10


def test_strikes_that_hang_together_break_the_promise_of_a_line_made_for_independent_ones() -> None:
    steps = round(4.1 / score_lattice(0.60, 0.80).step)

    assert false_ready_risk(steps, correlation=0.05) == pytest.approx(0.20, abs=0.005)
    assert false_ready_risk(steps, correlation=0.10) == pytest.approx(0.31, abs=0.005)


@pytest.mark.parametrize("correlation", [0.0, 0.05, 0.10])
def test_line_is_the_lowest_that_keeps_the_promise(correlation: float) -> None:
    line = ready_line(0.60, 0.80, correlation=correlation)

    assert line.false_ready_risk == false_ready_risk(line.line_steps, correlation=correlation) <= 0.10
    assert false_ready_risk(line.line_steps - 1, correlation=correlation) > 0.10


@settings(max_examples=25, deadline=None)
@given(
    p_not_yet=st.floats(0.2, 0.7),
    gap=st.floats(0.1, 0.25),
    risk=st.floats(0.02, 0.3),
    horizon=st.integers(10, 150),
    correlation=st.sampled_from([0.0, 0.03, 0.2]),
    strikes_a_practice=st.integers(1, 20),
)
def test_no_player_at_p_not_yet_is_called_more_often_than_promised(
    p_not_yet: float, gap: float, risk: float, horizon: int, correlation: float, strikes_a_practice: int
) -> None:
    line = ready_line(
        p_not_yet,
        p_not_yet + gap,
        risk=risk,
        horizon=horizon,
        correlation=correlation,
        strikes_a_practice=strikes_a_practice,
    )

    assert line.false_ready_risk <= risk
    assert line.line_steps >= 1


def test_line_rises_with_horizon_correlation_and_caution() -> None:
    usual = ready_line(0.50, 0.70).line

    assert ready_line(0.50, 0.70, horizon=200).line > usual
    assert ready_line(0.50, 0.70, correlation=0.05).line > usual
    assert ready_line(0.50, 0.70, risk=0.05).line > usual


def test_chain_gives_the_probabilities_of_every_run_of_six_strikes_in_practices_of_three() -> None:
    lattice = ScoreLattice(p_not_yet=0.5, p_ready=0.7, step=1.0, hit_steps=2, miss_steps=-1)
    rate, correlation = 0.6, 0.2
    alpha, beta = rate * (1 / correlation - 1), (1 - rate) * (1 / correlation - 1)
    expected = np.zeros(6)
    for run in product([0, 1], repeat=6):
        chance = 1.0
        for practice in (run[:3], run[3:]):
            for strike, hit in enumerate(practice):
                hits_so_far = sum(practice[:strike])
                p_hit = (alpha + hits_so_far) / (alpha + beta + strike)
                chance *= p_hit if hit else 1 - p_hit
        score = 0
        for strike, hit in enumerate(run):
            score = max(0, score + (2 if hit else -1))
            if score >= 5:
                expected[strike] += chance
                break

    answer = passage_probabilities(lattice, 5, rate, horizon=6, correlation=correlation, strikes_a_practice=3)

    np.testing.assert_allclose(answer, expected, atol=1e-14)


def test_one_strike_a_practice_is_as_good_as_independent() -> None:
    apart = ready_line(0.50, 0.70, correlation=0.10, strikes_a_practice=1)

    assert apart.line == ready_line(0.50, 0.70).line


def test_falling_score_of_mirrored_rates_has_the_line_of_the_rising_score() -> None:
    falling, rising = revisit_line(0.30, 0.50, correlation=0.05), ready_line(0.50, 0.70, correlation=0.05)

    assert falling.line == pytest.approx(rising.line)
    assert falling.false_revisit_risk == pytest.approx(rising.false_ready_risk)
    assert falling.lattice.hit_steps < 0 < falling.lattice.miss_steps


def test_lost_skill_is_found() -> None:
    line = revisit_line(0.50, 0.70, correlation=0.05)
    passage = passage_probabilities(line.lattice, line.line_steps, 0.50, horizon=100, correlation=0.05)

    assert line.false_revisit_risk <= 0.10
    assert passage.sum() > 0.90


def test_too_hard_stays_a_rate() -> None:
    assert too_hard_rate(0.50, 0.70) == pytest.approx(0.30)
    assert too_hard_rate(0.20, 0.60) == pytest.approx(0.10)


@pytest.mark.parametrize(
    "wrong",
    [
        {"risk": 0.0},
        {"risk": 1.0},
        {"horizon": 0},
        {"correlation": -0.1},
        {"correlation": 1.0},
        {"strikes_a_practice": 0},
    ],
)
def test_settings_that_cannot_be_are_refused_by_name(wrong: dict[str, float]) -> None:
    for line in (ready_line, revisit_line):
        with pytest.raises(ValueError, match=next(iter(wrong))):
            line(0.50, 0.70, **wrong)  # type: ignore[arg-type]
