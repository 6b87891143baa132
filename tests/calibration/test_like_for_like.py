"""Like-for-like figures keep their promise when the strikes of a day hang together and are split into small strata."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import expit, logit

from tracker.stats.change import ChangeVerdict, season_change
from tracker.stats.stratified import stratified_difference

STAGES = {"gate": (0.7, 5, 2), "rolling": (0.5, 10, 2), "small game": (0.6, 3, 4)}
"""Rate of the preferred foot, strikes a practice, and strata (surfaces or distances) the strikes fall into."""

GAP, PRACTICES, PLAYERS = 0.10, 10, 300
DEFAULT_ALLOWED = 0.125
"""What intervals allow for until the squad's own correlation is known: two and a half times 0.05."""


def rates_of_days(random: np.random.Generator, rate: float, correlation: float, days: int) -> np.ndarray:
    """The rate of each day: strikes of one day then correlate as asked."""
    if correlation == 0:
        return np.full(days, rate)
    size = 1 / correlation - 1
    return random.beta(rate * size, (1 - rate) * size, days)


def counts(random: np.random.Generator, correlation: float) -> np.ndarray:
    """On target and attempts of both feet in every stratum of every player; shape (players, strata, 4)."""
    found = []
    for rate, strikes, strata in STAGES.values():
        stage = np.zeros((PLAYERS, strata, 4))
        for side, foot_rate in enumerate((rate, rate - GAP)):
            day = rates_of_days(random, foot_rate, correlation, PLAYERS * PRACTICES)
            stratum = random.integers(0, strata, (PLAYERS * PRACTICES, strikes))
            hit = random.random(stratum.shape) < day[:, None]
            player = np.repeat(np.arange(PLAYERS), PRACTICES)[:, None]
            np.add.at(stage, (player, stratum, 2 * side), hit)
            np.add.at(stage, (player, stratum, 2 * side + 1), 1)
        found.append(stage)
    return np.concatenate(found, axis=1)


@pytest.mark.parametrize("correlation", [0.0, 0.05, 0.10])
def test_the_stratified_gap_covers_the_real_one(correlation: float) -> None:
    table = counts(np.random.default_rng(3), correlation)
    effect = np.concatenate([[1 + (strikes - 1) * DEFAULT_ALLOWED] * strata for _, strikes, strata in STAGES.values()])
    gap = stratified_difference(
        *table.reshape(-1, 4).T,
        np.repeat(np.arange(PLAYERS), table.shape[1]),
        deff1=np.tile(effect, PLAYERS),
        deff2=np.tile(effect, PLAYERS),
    )
    coverage = np.mean((gap.low <= GAP) & (gap.high >= GAP))
    assert coverage >= 0.935  # 0.97 to 0.99: the cautious default is wider than days this alike ask for


@pytest.mark.parametrize("correlation", [0.0, 0.05, 0.10])
@pytest.mark.parametrize("practices", [4, 12])
def test_a_player_who_never_changes_is_rarely_called_changed(correlation: float, practices: int) -> None:
    random = np.random.default_rng(5)
    stage, strikes = np.tile([0, 1, 2], practices), np.tile([5, 15, 5], practices)
    practice = np.repeat(np.arange(practices), 3)
    ease = np.array([1.0, 0.2, 0.4])[stage]
    seasons, called = 300, 0
    for _ in range(seasons):
        day = rates_of_days(random, 0.6, correlation, practices)[practice]
        form = np.clip(logit(np.clip(day, 1e-6, 1 - 1e-6)) - logit(0.6), -4, 4)
        on_target = random.binomial(strikes, expit(ease + form))
        season = season_change(
            strikes,
            on_target,
            7.0 * practice,
            practice=practice,
            stage=stage,
            least_dispersion=1 + 24 * correlation,
        )
        called += season.like_for_like.verdict in (ChangeVerdict.UP, ChangeVerdict.DOWN)
    assert called / seasons <= 0.08  # 0.05 and nearly three standard errors
