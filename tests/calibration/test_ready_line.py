"""The promise of readiness, kept on every stage of every shipped ladder, and with strikes from mixed distances.

False-ready within the horizon: at most the ladder's risk, at correlation 0, 0.05 and 0.10, in practices of 5, 10 and
the stage's own number of strikes a foot. Ready within the horizon at p_ready: at least 0.85 up to correlation 0.05.
"""

from __future__ import annotations

import functools
from itertools import product

import numpy as np
import pytest
from scipy.special import betaincinv

from tracker.domain.ladder import Ladder, Stage
from tracker.domain.ladder_file import shipped_ladders
from tracker.stats.operating import (
    operating_characteristics,
    simulate_operating_characteristics,
)
from tracker.stats.readiness import readiness
from tracker.stats.ready_line import ReadyLine, passage_probabilities, ready_line, revisit_line, too_hard_rate
from tracker.stats.score import probabilities_at
from tracker.stats.scoring import scoring

CORRELATIONS = (0.0, 0.05, 0.10)
POWER, POWER_CORRELATION = 0.85, 0.05
RUNS = 4000
SIMULATION_ERROR = 3 * np.sqrt(0.10 * 0.90 / RUNS)

STAGES = [
    pytest.param(ladder, stage, id=f"{ladder.age_band} {stage.name}")
    for ladder in shipped_ladders()
    for stage in ladder.stages
]
PAIRS = sorted({(stage.p_not_yet, stage.p_ready) for ladder in shipped_ladders() for stage in ladder.stages})


@functools.cache
def line_of(ladder: Ladder, stage: Stage, correlation: float, strikes_a_practice: int) -> ReadyLine:
    return ready_line(
        stage.p_not_yet,
        stage.p_ready,
        risk=ladder.false_ready_risk,
        horizon=ladder.horizon_strikes,
        correlation=correlation,
        strikes_a_practice=strikes_a_practice,
    )


@pytest.mark.parametrize(("ladder", "stage"), STAGES)
def test_every_stage_keeps_its_promise_and_finds_who_is_ready(ladder: Ladder, stage: Stage) -> None:
    for correlation, strikes_a_practice in product(CORRELATIONS, (5, 10, sum(stage.set_sizes))):
        line = line_of(ladder, stage, correlation, strikes_a_practice)
        exact = operating_characteristics(
            line,
            [stage.p_not_yet, stage.p_ready],
            correlation=correlation,
            strikes_a_practice=strikes_a_practice,
        )
        assert exact.ready_within_horizon[0] <= ladder.false_ready_risk
        if correlation <= POWER_CORRELATION:
            assert exact.ready_within_horizon[1] >= POWER


@pytest.mark.parametrize(("p_not_yet", "p_ready"), PAIRS)
@pytest.mark.parametrize(("strikes_a_practice", "strikes_a_set"), [(5, 1), (5, 5), (10, 10), (15, 5)])
def test_the_rule_as_it_is_used_keeps_the_promise(
    p_not_yet: float, p_ready: float, strikes_a_practice: int, strikes_a_set: int
) -> None:
    line = ready_line(p_not_yet, p_ready, correlation=0.05, strikes_a_practice=strikes_a_practice)
    simulated = simulate_operating_characteristics(
        line,
        [p_not_yet, p_ready],
        correlation=0.05,
        strikes_a_practice=strikes_a_practice,
        strikes_a_set=strikes_a_set,
        runs=RUNS,
    )

    assert simulated.ready_within_horizon[0] <= 0.10 + SIMULATION_ERROR
    assert simulated.ready_within_horizon[1] >= POWER


def day_rates(form: np.ndarray, rate: float, correlation: float) -> np.ndarray:
    """The rate of each strike of each run, ten a day, from the day's form as a quantile of its beta distribution."""
    size = 1 / max(correlation, 1e-6) - 1
    return np.repeat(betaincinv(rate * size, (1 - rate) * size, form), 10, axis=1)


@pytest.mark.parametrize(("p_not_yet", "p_ready"), PAIRS)
@pytest.mark.parametrize("correlation", [0.0, 0.05])
@pytest.mark.parametrize("angle_ratio", [1.5, 0.75, 0.5])
def test_strikes_from_two_distances_keep_the_promise_of_the_stage(
    p_not_yet: float, p_ready: float, correlation: float, angle_ratio: float
) -> None:
    line = ready_line(p_not_yet, p_ready, correlation=correlation)
    generator = np.random.default_rng(7)
    strikes = line.horizon
    elsewhere = generator.random((RUNS, strikes)) < 0.5
    angle = np.where(elsewhere, 6.0 * angle_ratio, 6.0)
    segment, practice = np.repeat(np.arange(RUNS), strikes), np.tile(np.arange(strikes) // 10, RUNS)
    rule = scoring([line], np.zeros(RUNS * strikes, dtype=int), half_angle_deg=angle.ravel(), stage_half_angle_deg=6.0)
    called = []
    for rate in (p_not_yet, p_ready):
        stage_rate, other_rate = probabilities_at([6.0, 6.0 * angle_ratio], 6.0, rate)
        form = generator.random((RUNS, strikes // 10))  # a good or bad day, at both distances alike
        chance = np.where(elsewhere, day_rates(form, other_rate, correlation), day_rates(form, stage_rate, correlation))
        hits = (generator.random((RUNS, strikes)) < chance).astype(np.int64).ravel()
        called.append(np.mean(readiness(hits, 1 - hits, segment, practice, rising=rule).ready_row >= 0))

    assert called[0] <= 0.10 + SIMULATION_ERROR
    assert called[1] >= 0.80


@pytest.mark.parametrize(("p_not_yet", "p_ready"), PAIRS)
@pytest.mark.parametrize("correlation", CORRELATIONS)
def test_nobody_who_keeps_the_skill_is_sent_back_more_often_than_promised(
    p_not_yet: float, p_ready: float, correlation: float
) -> None:
    for p_lost, p_kept in ((p_not_yet, p_ready), (too_hard_rate(p_not_yet, p_ready), p_not_yet)):
        line = revisit_line(p_lost, p_kept, correlation=correlation)
        sent_back = [
            passage_probabilities(line.lattice, line.line_steps, rate, horizon=100, correlation=correlation).sum()
            for rate in (p_kept, p_lost)
        ]
        assert sent_back[0] <= 0.10
        assert correlation > POWER_CORRELATION or sent_back[1] >= POWER
