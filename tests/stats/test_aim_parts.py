"""Do the parts of a player's strikes share one aim?"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import chi2, norm

from tracker.stats.aim import fit_aim
from tracker.stats.aim_parts import compared_parts

ANGLE = 7.8


def drawn(random: np.random.Generator, strikes: int, *, spread: float, bias: float = 0.0) -> np.ndarray:
    """Strikes missed left, on target and missed right."""
    edges = norm.cdf([-ANGLE, ANGLE], bias, spread)
    return random.multinomial(strikes, np.diff([0, *edges, 1]))


def test_the_ratio_is_that_of_the_two_likelihoods() -> None:
    rows = np.array([[8, 84, 8], [30, 40, 30]])
    parts = compared_parts([ANGLE] * 2, *rows.T, subject=[0, 0], part=[0, 1])
    one = fit_aim([ANGLE] * 2, *rows.T).log_likelihood[0]
    two = fit_aim([ANGLE] * 2, *rows.T, subject=[0, 1]).log_likelihood.sum()
    assert parts.x2[0] == pytest.approx(2 * (two - one))
    assert parts.p_value[0] == pytest.approx(chi2.sf(2 * (two - one), 2))


def test_one_stage_cannot_differ_from_itself() -> None:
    parts = compared_parts([ANGLE, 12.0], [5, 3], [20, 30], [5, 3], subject=[0, 0], part=[0, 0])
    assert (parts.x2[0], parts.df[0]) == (pytest.approx(0, abs=1e-9), 0)
    assert np.isnan(parts.p_value[0])


def test_each_subject_is_judged_alone() -> None:
    rows = np.array([[8, 84, 8], [30, 40, 30], [8, 84, 8], [9, 83, 8]])
    parts = compared_parts([ANGLE] * 4, *rows.T, subject=[0, 0, 1, 1], part=[0, 1, 2, 3])
    assert parts.p_value[0] < 1e-6
    assert parts.p_value[1] > 0.5


def test_a_part_that_always_hit_counts_for_the_one_figure_it_has() -> None:
    parts = compared_parts([ANGLE] * 2, [8, 0], [84, 30], [8, 0], subject=[0, 0], part=[0, 1])
    assert parts.df.tolist() == [1]


@pytest.mark.parametrize("wider", [1.0, 2.0])
def test_alike_parts_are_seldom_told_apart_and_a_spread_twice_as_wide_nearly_always(wider: float) -> None:
    random = np.random.default_rng(7)
    players = 300
    rows = np.concatenate(
        [[drawn(random, 100, spread=8), drawn(random, 100, spread=8 * wider)] for _ in range(players)]
    )
    parts = compared_parts(
        [ANGLE] * len(rows), *rows.T, subject=np.arange(players).repeat(2), part=np.arange(2 * players)
    )
    told_apart = np.mean(parts.p_value < 0.05)
    assert told_apart <= 0.09 if wider == 1 else told_apart >= 0.95


def test_bad_arguments_are_refused_by_name() -> None:
    with pytest.raises(ValueError, match="part must be a flat array of 1 codes"):
        compared_parts([ANGLE], [1], [2], [1], subject=[0], part=[0, 1])
    with pytest.raises(ValueError, match="left must be at least 0"):
        compared_parts([ANGLE], [-1], [2], [1], subject=[0], part=[0])
