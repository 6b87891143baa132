"""Statuses: two practices, what holds until a placement, passed and too hard stages, strikes still to go."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal

from tracker.domain.vocabulary import ReadinessStatus
from tracker.stats.readiness import Readiness, expected_strikes_to_ready, readiness
from tracker.stats.ready_line import (
    ReadyLine,
    RevisitLine,
    passage_probabilities,
    ready_line,
    revisit_line,
    too_hard_rate,
)
from tracker.stats.score import probabilities_at
from tracker.stats.scoring import scoring

READY = ready_line(0.50, 0.70)
LOST = revisit_line(0.50, 0.70)
TOO_HARD = revisit_line(too_hard_rate(0.50, 0.70), 0.50)


def standing(*sets: tuple[int, int, int], watch: str = "", passed: bool = False) -> Readiness:
    """The readiness of one player after sets of (practice, hits, misses)."""
    practice, hits, misses = np.array(sets).T
    here = np.zeros(len(sets), dtype=int)
    falling = scoring([LOST if passed else TOO_HARD], here) if watch else None
    rising = scoring([READY], here)
    return readiness(hits, misses, here, practice, rising=rising, falling=falling, watched=bool(watch), passed=passed)


def test_nine_strikes_are_not_enough_for_a_word() -> None:
    assert_array_equal(standing((1, 5, 0), (2, 4, 0)).status, [ReadinessStatus.GATHERING])
    assert_array_equal(standing((1, 5, 0), (2, 4, 1)).status, [ReadinessStatus.WORKING])


def test_good_sets_in_two_practices_are_ready() -> None:
    player = standing((1, 9, 1), (1, 5, 5), (2, 9, 1))

    assert_array_equal(player.status, [ReadinessStatus.READY])
    assert player.ready_row[0] == 2
    assert player.score[0] >= player.line[0] == pytest.approx(READY.line)
    assert (player.attempts[0], player.hits[0], player.practices[0]) == (30, 23, 2)


def test_one_practice_however_good_is_not_ready() -> None:
    player = standing((1, 10, 0), (1, 10, 0), (1, 10, 0))

    assert player.score[0] > 2 * player.line[0]
    assert_array_equal(player.status, [ReadinessStatus.WORKING])


def test_the_next_practice_confirms_what_one_practice_showed() -> None:
    assert standing((1, 10, 0), (1, 10, 0), (2, 4, 1)).ready_row[0] == 2


def test_evidence_before_the_score_was_last_zero_does_not_count_as_a_practice() -> None:
    assert_array_equal(standing((1, 0, 10), (2, 10, 0), (2, 10, 0)).status, [ReadinessStatus.WORKING])


def test_ready_holds_through_a_bad_day() -> None:
    assert_array_equal(standing((1, 9, 1), (2, 9, 1), (3, 0, 10)).status, [ReadinessStatus.READY])


def test_a_stage_that_was_passed_stays_ready_until_the_skill_is_lost() -> None:
    kept, lost = ((1, 7, 3), (2, 6, 4)), ((1, 4, 6), (2, 3, 7), (3, 3, 7))

    assert_array_equal(standing(*kept, watch="lost", passed=True).status, [ReadinessStatus.READY])
    assert_array_equal(standing(*lost, watch="lost", passed=True).status, [ReadinessStatus.REVISIT])


def test_a_stage_far_too_hard_asks_for_a_revisit_only_where_that_is_watched() -> None:
    sets = ((1, 2, 8), (2, 2, 8), (3, 1, 9))

    assert_array_equal(standing(*sets, watch="too hard").status, [ReadinessStatus.REVISIT])
    assert_array_equal(standing(*sets).status, [ReadinessStatus.WORKING])
    assert np.isnan(standing(*sets).falling_score[0])


def test_ready_outweighs_a_hard_start() -> None:
    player = standing((1, 1, 9), (2, 1, 9), (3, 10, 0), (4, 10, 0), watch="too hard")

    assert player.revisit_row[0] == 1
    assert_array_equal(player.status, [ReadinessStatus.READY])


def test_many_players_with_different_lines_stand_as_each_would_alone() -> None:
    rng = np.random.default_rng(20260301)
    lines = [ready_line(0.50, 0.70), ready_line(0.60, 0.80, correlation=0.05)]
    segment, practice = np.repeat(np.arange(40), 60), np.tile(np.arange(60) // 10, 40)
    which, hits = segment % 2, rng.binomial(1, 0.5 + 0.01 * segment)
    together = readiness(hits, 1 - hits, segment, practice, rising=scoring(lines, which))

    for player in range(40):
        mine = segment == player
        line = scoring([lines[player % 2]], np.zeros(60, int))
        alone = readiness(hits[mine], 1 - hits[mine], segment[mine], practice[mine], rising=line)
        assert alone.status[0] == together.status[player]
        assert alone.score[0] == together.score[player]
        assert together.ready_row[player] == (alone.ready_row[0] + 60 * player if alone.ready_row[0] >= 0 else -1)
    assert {ReadinessStatus.READY, ReadinessStatus.WORKING} <= set(together.status.tolist())


def test_a_strike_from_farther_counts_more_when_it_hits_and_less_when_it_misses() -> None:
    near_and_far = scoring([READY], [0, 0, 0], half_angle_deg=[6.0, 4.0, np.nan], stage_half_angle_deg=6.0)

    assert near_and_far.hit_steps[1] > near_and_far.hit_steps[0] == READY.lattice.hit_steps
    assert 0 > near_and_far.miss_steps[1] > near_and_far.miss_steps[0] == READY.lattice.miss_steps
    assert (near_and_far.hit_steps[2], near_and_far.miss_steps[2]) == (
        READY.lattice.hit_steps,
        READY.lattice.miss_steps,
    )
    assert np.all(near_and_far.line_steps == READY.line_steps)


def test_the_falling_score_mirrors_the_weights_of_a_strike_from_farther() -> None:
    rising = scoring([READY], [0], half_angle_deg=[4.0], stage_half_angle_deg=[6.0])
    falling = scoring([LOST], [0], half_angle_deg=[4.0], stage_half_angle_deg=[6.0])

    assert falling.hit_steps[0] == -rising.hit_steps[0]
    assert falling.miss_steps[0] == -rising.miss_steps[0]


def test_an_empty_season_has_no_segments() -> None:
    nothing = np.empty(0, dtype=np.int64)

    assert readiness(nothing, nothing, nothing, nothing, rising=scoring([READY], nothing)).status.shape == (0,)


def test_watching_without_a_falling_score_is_refused() -> None:
    with pytest.raises(ValueError, match="falling"):
        readiness([1], [0], [0], [0], rising=scoring([READY], [0]), watched=True)


def test_one_angle_without_the_other_is_refused() -> None:
    with pytest.raises(ValueError, match="stage_half_angle_deg"):
        scoring([READY], [0], half_angle_deg=[4.0])


def test_expected_strikes_agree_with_the_mean_of_the_exact_distribution() -> None:
    passage = passage_probabilities(READY.lattice, READY.line_steps, 0.8, horizon=2000)
    mean = np.arange(1, 2001) @ passage

    assert passage.sum() == pytest.approx(1)
    assert expected_strikes_to_ready(0.8, 0.0, line=READY) == pytest.approx(mean, rel=1e-9)


def test_fewer_strikes_are_expected_with_a_better_rate_or_a_higher_score() -> None:
    by_rate = expected_strikes_to_ready([0.65, 0.7, 0.8, 0.9, 1.0], 0.0, line=READY)
    by_score = expected_strikes_to_ready(0.7, np.linspace(0, READY.line, 9), line=READY)

    assert np.all(np.diff(by_rate) < 0)
    assert np.all(np.diff(by_score) < 0)
    assert by_score[-1] == 0
    assert by_rate[-1] == np.ceil(READY.line_steps / READY.lattice.hit_steps)


def test_a_player_far_from_ready_is_given_no_number_of_strikes() -> None:
    assert_allclose(expected_strikes_to_ready([0.3, 0.0, 1e-9], 0.0, line=READY), np.inf)
    assert np.isnan(expected_strikes_to_ready(np.nan, 0.0, line=READY))


@pytest.mark.parametrize(("rate", "score", "named"), [(1.2, 0.0, "rate"), (0.5, -1.0, "score")])
def test_rates_and_scores_that_cannot_be_are_refused(rate: float, score: float, named: str) -> None:
    with pytest.raises(ValueError, match=named):
        expected_strikes_to_ready(rate, score, line=READY)


@pytest.mark.parametrize("angle", [7.0, 9.0, 14.0])
@pytest.mark.parametrize("line", [READY, LOST], ids=["ready", "lost"])
def test_a_strike_from_nearer_tells_no_more_than_one_at_the_stage(line: ReadyLine | RevisitLine, angle: float) -> None:
    rule = scoring([line], [0, 0], half_angle_deg=[6.0, angle], stage_half_angle_deg=6.0)
    protected = 0.50 if line is READY else 0.70
    chance = probabilities_at([6.0, angle], 6.0, protected)
    spread = np.abs(rule.hit_steps - rule.miss_steps) * np.sqrt(chance * (1 - chance))

    assert spread[1] <= 1.02 * spread[0]
    assert (chance[1] * rule.hit_steps[1] + (1 - chance[1]) * rule.miss_steps[1]) < 0
