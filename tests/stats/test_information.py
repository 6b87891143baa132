"""Whom to watch next: what one more set is expected to tell."""

from __future__ import annotations

from itertools import pairwise, product
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import betaln, comb
from scipy.stats import beta, betabinom

from tracker.stats.information import (
    DECISION_WEIGHT,
    NARROWING_WEIGHT,
    ScoreStanding,
    SetInformation,
    SquadSpread,
    discounted,
    set_information,
    worth_of_strikes,
)
from tracker.stats.ready_line import ready_line
from tracker.stats.score import score_lattice

LATTICE = score_lattice(0.60, 0.80)
LINE = ready_line(0.60, 0.80).line_steps


def told(
    *,
    attempts: float = 0.0,
    on_target: float = 0.0,
    short_of_line: int = LINE,
    set_size: int = 10,
    today: float = 0.0,
    correlation: float = 0.0,
    can_decide: bool = True,
    mean: float = 0.65,
    strength: float = 16.0,
) -> SetInformation:
    """What one foot's next set tells; ``short_of_line`` in whole steps of the score."""
    return set_information(
        [attempts],
        [on_target],
        SquadSpread(mean=np.array([mean]), strength=np.array([strength])),
        set_sizes=[set_size],
        attempts_today=[today],
        correlation=[correlation],
        standing=ScoreStanding(
            lattices=[LATTICE],
            score_steps=np.array([LINE - short_of_line]),
            line_steps=np.array([LINE]),
            can_decide=np.array([can_decide]),
        ),
    )


def test_the_narrowing_is_the_expected_fall_of_the_posterior_variance() -> None:
    # By hand: average the variance after the set over all it may bring.
    a, b, set_size = 7 + 0.65 * 16, 5 + 0.35 * 16, 10
    hits = np.arange(set_size + 1)
    after = betabinom.pmf(hits, set_size, a, b) @ beta.var(a + hits, b + set_size - hits)
    of_the_squad = beta.var(0.65 * 16, 0.35 * 16)
    answer = told(attempts=12, on_target=7, set_size=set_size)
    assert answer.narrowing[0] == pytest.approx((beta.var(a, b) - after) / of_the_squad)


def test_the_chance_to_decide_is_that_of_every_way_the_set_may_go() -> None:
    a, b, set_size, short = 7 + 0.65 * 16, 5 + 0.35 * 16, 6, 3 * LATTICE.hit_steps
    by_hand = 0.0
    for outcomes in product((True, False), repeat=set_size):
        score, reached = LINE - short, False
        for hit in outcomes:
            score = max(score + (LATTICE.hit_steps if hit else LATTICE.miss_steps), 0)
            reached |= score >= LINE
        hits = sum(outcomes)
        by_hand += reached * betabinom.pmf(hits, set_size, a, b) / comb(set_size, hits)
    answer = told(attempts=12, on_target=7, short_of_line=short, set_size=set_size)
    assert answer.decision[0] == pytest.approx(by_hand)


def test_days_that_hang_together_make_the_set_swing_more() -> None:
    # The rate of the day is spread around the player's: the chain is an urn whose correlation holds both.
    a, b, short, correlation = 0.65 * 16 + 30, 0.35 * 16 + 15, 6 * LATTICE.hit_steps, 0.10
    alike = 1 / (a + b + 1) + (1 - 1 / (a + b + 1)) * correlation
    all_hit = np.exp(
        betaln(a / (a + b) * (1 / alike - 1) + 6, b / (a + b) * (1 / alike - 1))
        - betaln(a / (a + b) * (1 / alike - 1), b / (a + b) * (1 / alike - 1))
    )
    answer = told(attempts=45, on_target=30, short_of_line=short, set_size=6, correlation=correlation)
    assert answer.decision[0] == pytest.approx(all_hit)


def test_information_is_the_weighted_sum() -> None:
    answer = told(attempts=30, on_target=22, short_of_line=4 * LATTICE.hit_steps)
    assert answer.information == pytest.approx(DECISION_WEIGHT * answer.decision + NARROWING_WEIGHT * answer.narrowing)


def test_the_closer_to_the_line_the_more_a_set_may_decide() -> None:
    chances = [told(attempts=40, on_target=30, short_of_line=short).decision[0] for short in range(1, LINE, 20)]
    assert all(later <= sooner for sooner, later in pairwise(chances))
    assert chances[0] > 0.7
    assert chances[-1] == 0  # ten hits in a row do not reach that far


def test_at_the_line_a_set_decides_for_certain_unless_it_cannot_today() -> None:
    assert told(short_of_line=0).decision[0] == 1
    assert told(short_of_line=0, can_decide=False).decision[0] == 0


def test_a_foot_never_seen_tells_most_and_one_seen_often_little() -> None:
    narrowing = [told(attempts=n, on_target=0.65 * n).narrowing[0] for n in (0, 10, 40, 160)]
    assert narrowing == sorted(narrowing, reverse=True)
    assert narrowing[0] == pytest.approx(10 / 26)  # ten strikes against the sixteen the squad counts for
    assert narrowing[-1] < 0.01


def test_a_second_set_of_today_tells_less_than_the_first() -> None:
    first, second = (told(today=today, correlation=0.1).narrowing[0] for today in (0, 10))
    assert second < 0.7 * first
    assert told(today=10).narrowing[0] == told(today=0).narrowing[0]  # but not where days are alike


def test_strikes_seen_long_ago_leave_more_to_learn() -> None:
    fresh, old = (float(discounted(40, days)) for days in (7, 112))
    assert told(attempts=old, on_target=0.65 * old).narrowing > told(attempts=fresh, on_target=0.65 * fresh).narrowing


def test_counts_are_halved_with_every_half_life() -> None:
    np.testing.assert_allclose(discounted([8, 8, 8], [0, 56, 168]), [8, 4, 1])
    assert float(discounted(8, 10, half_life_days=10)) == 4


def test_strikes_of_one_practice_are_worth_less_each_the_more_there_are() -> None:
    worth = worth_of_strikes(np.arange(0, 60), 0.1)
    assert worth[0] == 0
    assert worth[1] == 1
    assert np.all(np.diff(worth) > 0)
    assert np.all(np.diff(worth, 2) < 1e-12)
    assert worth[-1] < 10  # never more than one over the correlation


@given(
    st.floats(0, 300),
    st.floats(0, 1),
    st.integers(0, LINE),
    st.integers(1, 15),
    st.floats(0, 0.5),
    st.floats(0.02, 0.98),
    st.floats(0.2, 500),
)
def test_every_figure_is_a_share(
    attempts: float, share: float, short: int, set_size: int, correlation: float, mean: float, strength: float
) -> None:
    answer = told(
        attempts=attempts,
        on_target=attempts * share,
        short_of_line=short,
        set_size=set_size,
        correlation=correlation,
        mean=mean,
        strength=strength,
    )
    assert -1e-12 <= answer.decision[0] <= 1 + 1e-12
    assert answer.narrowing[0] >= 0


@pytest.mark.parametrize(
    ("wrong", "named"),
    [
        ({"attempts": 3, "on_target": 4}, "on_target must be between 0 and attempts"),
        ({"set_size": 0}, "set_sizes must be at least 1"),
        ({"today": -1}, "attempts_today must be at least 0"),
        ({"correlation": 1.5}, "correlation must be between 0 and 1"),
    ],
)
def test_bad_arguments_are_refused_by_name(wrong: dict[str, Any], named: str) -> None:
    with pytest.raises(ValueError, match=named):
        told(**wrong)
    with pytest.raises(ValueError, match="days_ago must be at least 0"):
        discounted([1], [-1])
