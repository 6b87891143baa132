"""Do 95 % intervals contain the true rate as often as they say, when the strikes of one practice hang together?

Practices follow a beta-binomial: each has its own rate around the player's true rate, so that two strikes of one
practice correlate. The promise: at least 93.5 % in every cell of the grid, at most 99 % on average. A cell is one true
rate, number of practices, strikes a practice and correlation. Coverage of the plain Wilson interval, which takes every
strike for independent, is printed beside ours.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator

import numpy as np
import pytest
from scipy import stats

from tracker.stats.clustering import clustered_proportion, design_effect, intraclass_correlation
from tracker.stats.proportion import proportion

LEAST_COVERAGE, MOST_MEAN_COVERAGE = 0.935, 0.99
CORRELATIONS = (0.0, 0.05, 0.10)
RATES = np.array([0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9])
DEFAULT_CORRELATION = 0.05
CELLS_A_RUN = 8_000


def hits_of_one_practice(strikes: int, rate: float, correlation: float) -> np.ndarray:
    """Exact probabilities of 0, 1, … strikes on target."""
    if correlation == 0:
        return stats.binom.pmf(np.arange(strikes + 1), strikes, rate)
    concentration = (1 - correlation) / correlation
    return stats.betabinom.pmf(np.arange(strikes + 1), strikes, rate * concentration, (1 - rate) * concentration)


def hits_of_all_practices(sizes: list[int], rate: float, correlation: float) -> np.ndarray:
    """Exact probabilities of the sum over practices, by convolution."""
    total = np.ones(1)
    for strikes in sizes:
        total = np.convolve(total, hits_of_one_practice(strikes, rate, correlation))
    return total


def say(capsys: pytest.CaptureFixture[str], title: str, rows: list[tuple[float, float, float, float, float]]) -> None:
    lines = [title, "correlation   ours: least   mean     plain Wilson: least   mean"]
    lines += [f"       {r:.2f}          {a:.3f}  {b:.3f}                   {c:.3f}  {d:.3f}" for r, a, b, c, d in rows]
    with capsys.disabled():
        sys.stdout.write("\n" + "\n".join(lines) + "\n")


def summary(correlation: float, ours: np.ndarray, plain: np.ndarray) -> tuple[float, float, float, float, float]:
    return correlation, ours.min(), ours.mean(), plain.min(), plain.mean()


def test_intervals_on_the_default_correlation_keep_their_promise(capsys: pytest.CaptureFixture[str]) -> None:
    """Exact, without simulation: too few practices in the squad, so nothing of the interval depends on chance but k."""
    allowed = intraclass_correlation([10], [5], [0], default=DEFAULT_CORRELATION).allowed[0]
    practices = [[m] * count for count in range(3, 13) for m in (5, 7, 10, 15, 20)]
    practices += [[5, 20] * 2, [20, 5, 5], [5] * 5 + [20] * 3, [6, 9, 12, 15, 18]]
    rows, every = [], []
    for correlation in CORRELATIONS:
        ours, plain = [], []
        for sizes in practices:
            k, n = np.arange(sum(sizes) + 1), sum(sizes)
            effect = design_effect(sizes, [0] * len(sizes), allowed)[0]
            for estimate, coverage in ((clustered_proportion(k, n, effect), ours), (proportion(k, n), plain)):
                for rate in np.arange(0.30, 0.901, 0.02):
                    covered = (estimate.low <= rate) & (rate <= estimate.high)
                    coverage.append(hits_of_all_practices(sizes, rate, correlation)[covered].sum())
        rows.append(summary(correlation, np.array(ours), np.array(plain)))
        every += ours
    say(capsys, "95 % intervals, correlation not yet estimated (exact)", rows)
    assert min(every) >= LEAST_COVERAGE
    assert np.mean(every) <= MOST_MEAN_COVERAGE


def squads(
    random: np.random.Generator, *, practices: int, strikes: int | None, correlation: float
) -> tuple[np.ndarray, np.ndarray, int]:
    """(attempts, on_target) of shape squads × players × practices, and the players of a squad.

    Squads are as small as they may be for the correlation to be estimated: 30 practices of players or a few more.
    """
    players = RATES.size * -(-30 // (RATES.size * practices))
    shape = (CELLS_A_RUN * RATES.size // players, players, practices)
    attempts = random.integers(5, 21, shape) if strikes is None else np.full(shape, strikes)
    rate = np.broadcast_to(np.resize(RATES, players)[None, :, None], shape)
    if correlation > 0:
        concentration = (1 - correlation) / correlation
        rate = random.beta(rate * concentration, (1 - rate) * concentration)
    return attempts, random.binomial(attempts, rate), players


def coverage_by_rate(low: np.ndarray, high: np.ndarray, players: int) -> Iterator[float]:
    rate = np.resize(np.resize(RATES, players), low.size)
    covered = (low <= rate) & (rate <= high)
    return (covered[rate == one].mean() for one in RATES)


def test_intervals_on_the_squads_own_correlation_keep_their_promise(capsys: pytest.CaptureFixture[str]) -> None:
    """Simulated from a fixed seed: the correlation is estimated from each squad, then used for each of its players."""
    random = np.random.default_rng(20)
    rows, every = [], []
    for correlation in CORRELATIONS:
        ours: list[float] = []
        plain: list[float] = []
        for practices in (3, 6, 12):
            for strikes in (5, 10, 20, None):
                attempts, on_target, players = squads(
                    random, practices=practices, strikes=strikes, correlation=correlation
                )
                subject = np.repeat(np.arange(attempts.shape[0] * players), practices)
                squad = subject // players
                pooled = intraclass_correlation(
                    attempts.ravel(), on_target.ravel(), squad, subject=subject, default=DEFAULT_CORRELATION
                )
                assert pooled.is_estimated.all()
                effect = design_effect(attempts.ravel(), subject, pooled.allowed[squad])
                k, n = on_target.sum(axis=2).ravel(), attempts.sum(axis=2).ravel()
                for estimate, coverage in ((clustered_proportion(k, n, effect), ours), (proportion(k, n), plain)):
                    coverage += coverage_by_rate(estimate.low, estimate.high, players)
        rows.append(summary(correlation, np.array(ours), np.array(plain)))
        every += ours
    say(capsys, "95 % intervals, correlation estimated from the squad (simulated)", rows)
    assert min(every) >= LEAST_COVERAGE
    assert np.mean(every) <= MOST_MEAN_COVERAGE
