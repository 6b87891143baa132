"""Did a player's rate change over a season, judged at like difficulty?"""

from __future__ import annotations

import numpy as np
import pytest
import statsmodels.api as sm
from scipy.special import expit, logit

from tracker.stats.change import ChangeVerdict, adjusted_verdict, season_change

WEEKS = np.arange(8) * 7


def test_start_end_and_dispersion_agree_with_statsmodels() -> None:
    attempts, on_target = np.array([20, 15, 25, 20, 30, 10]), np.array([6, 11, 6, 17, 12, 9])
    days = np.array([0, 9, 14, 30, 41, 56])
    distance_m = np.array([8, 8, 10, 10, 12, 12])
    result = season_change(attempts, on_target, days, distance_m=distance_m).like_for_like
    log_distance = np.log(distance_m) - np.average(np.log(distance_m), weights=attempts)
    design = np.column_stack([np.ones(6), days / 56, log_distance])
    glm = sm.GLM(np.column_stack([on_target, attempts - on_target]), design, family=sm.families.Binomial())
    theirs = glm.fit(tol=1e-12)
    # Not scale="X2": for tallies statsmodels 0.15 leaves the number of attempts out of it.
    scale = theirs.pearson_chi2 / theirs.df_resid
    assert result.start_rate == pytest.approx(expit(theirs.params[0]), abs=1e-9)
    assert result.end_rate == pytest.approx(expit(theirs.params[0] + theirs.params[1]), abs=1e-9)
    assert scale > 1
    assert result.dispersion == pytest.approx(scale)
    with_student = glm.fit(scale=scale, use_t=True, tol=1e-12)
    assert result.p_value == pytest.approx(with_student.pvalues[1], abs=1e-9)
    assert result.start_low == pytest.approx(expit(with_student.conf_int()[0, 0]), abs=1e-8)


def test_a_clear_rise_and_a_clear_fall_are_said() -> None:
    rise = season_change([20] * 8, [6, 7, 9, 10, 12, 13, 14, 16], WEEKS).raw
    fall = season_change([20] * 8, [16, 14, 13, 12, 10, 9, 7, 6], WEEKS).raw
    assert (rise.verdict, fall.verdict) == (ChangeVerdict.UP, ChangeVerdict.DOWN)
    assert rise.low > 0 > fall.high
    assert rise.change == pytest.approx(-fall.change)
    assert (rise.low, rise.high) == (pytest.approx(-fall.high), pytest.approx(-fall.low))


def test_a_flat_season_has_no_clear_change() -> None:
    result = season_change([20] * 8, [12, 11, 13, 12, 12, 13, 11, 12], WEEKS).raw
    assert result.verdict is ChangeVerdict.NO_CLEAR_CHANGE
    assert result.low < 0 < result.high
    assert result.dispersion == 1  # practices more alike than chance do not narrow the interval


def test_practices_that_swing_widen_the_interval() -> None:
    calm = season_change([20] * 8, [8, 9, 9, 10, 11, 12, 12, 13], WEEKS).raw
    swinging = season_change([20] * 8, [3, 14, 4, 15, 6, 17, 7, 18], WEEKS).raw
    assert swinging.dispersion > 2
    assert swinging.high - swinging.low > 1.5 * (calm.high - calm.low)


def test_the_squads_design_effect_is_a_floor_for_the_dispersion() -> None:
    rows = ([20] * 4, [8, 9, 10, 11], WEEKS[:4])
    alone, with_squad = season_change(*rows).raw, season_change(*rows, least_dispersion=1.95).raw
    assert (alone.dispersion, with_squad.dispersion) == (1, 1.95)
    assert with_squad.high - with_squad.low > alone.high - alone.low


def test_fewer_than_three_practices_get_no_verdict() -> None:
    result = season_change([50, 50], [10, 40], [0, 60])
    assert result.raw.verdict is ChangeVerdict.TOO_FEW_PRACTICES
    assert np.isnan(result.raw.change)
    assert (result.raw.low, result.raw.high, result.practices) == (-1, 1, 2)


def test_an_empty_practice_is_no_practice() -> None:
    assert season_change([50, 50, 0], [10, 40, 0], [0, 60, 90]).practices == 2


def test_many_tallies_of_one_practice_are_one_practice() -> None:
    result = season_change([10] * 6, [5] * 6, [0, 0, 0, 7, 7, 7], stage=[0, 1, 2, 0, 1, 2])
    assert result.raw.verdict is ChangeVerdict.TOO_FEW_PRACTICES


def test_two_practices_on_one_day_are_told_apart_by_their_codes() -> None:
    result = season_change([20] * 3, [8, 9, 14], [0, 7, 7], practice=[0, 1, 2])
    assert result.practices == 3
    assert result.raw.verdict is ChangeVerdict.NO_CLEAR_CHANGE


def test_all_hits_throughout_have_no_clear_change() -> None:
    result = season_change([10] * 5, [10] * 5, WEEKS[:5]).raw
    assert result.is_penalised
    assert result.verdict is ChangeVerdict.NO_CLEAR_CHANGE
    assert result.start_high <= 1


def test_from_nothing_to_everything_is_clearly_up() -> None:
    result = season_change([20] * 4, [0, 6, 15, 20], WEEKS[:4]).raw
    assert result.verdict is ChangeVerdict.UP
    assert -1 <= result.low <= result.change <= result.high <= 1


def harder_stages_later() -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """A player who improves throughout but spends ever more strikes at the harder, farther stage."""
    practice = np.repeat(np.arange(10), 2)
    stage = np.tile([0, 1], 10)
    easy_share = np.linspace(0.95, 0.1, 10)
    attempts = np.round(40 * np.where(stage == 0, easy_share[practice], 1 - easy_share[practice]))
    rate = expit(np.where(stage == 0, logit(0.75), logit(0.35)) + 1.0 * practice / 9)
    return attempts, np.round(attempts * rate), practice * 7.0, stage, np.where(stage == 0, 8.0, 16.0)


def test_a_player_who_moves_up_a_stage_looks_worse_raw_and_is_better_like_for_like() -> None:
    attempts, on_target, days, stage, distance_m = harder_stages_later()
    by_stage = season_change(attempts, on_target, days, stage=stage)
    by_distance = season_change(attempts, on_target, days, distance_m=distance_m)
    by_both = season_change(attempts, on_target, days, stage=stage, distance_m=distance_m)
    for result in (by_stage, by_distance, by_both):
        assert result.raw.change < 0
        assert result.raw.verdict is not ChangeVerdict.UP
        assert result.like_for_like.verdict is ChangeVerdict.UP
        assert result.disagrees


def test_a_predicted_logit_stands_in_for_difficulty() -> None:
    attempts, on_target, days, stage, _ = harder_stages_later()
    predicted = np.where(stage == 0, logit(0.75), logit(0.35))
    result = season_change(attempts, on_target, days, offset=predicted)
    assert result.like_for_like.verdict is ChangeVerdict.UP
    assert result.disagrees


def test_a_rise_that_is_only_easier_distances_is_no_change() -> None:
    distance_m = np.array([20, 18, 17, 15, 14, 12, 10, 9])
    # Not quite a straight line in time, so that the two can be told apart.
    distance_m[[2, 5]] = [12, 17]
    rate = expit(4.0 - 1.6 * np.log(distance_m))
    result = season_change([60] * 8, np.round(60 * rate), WEEKS, distance_m=distance_m)
    assert result.raw.verdict is ChangeVerdict.UP
    assert result.like_for_like.verdict is ChangeVerdict.NO_CLEAR_CHANGE
    assert result.disagrees


def test_a_stage_a_practice_cannot_be_told_from_time() -> None:
    result = season_change([20] * 3, [15, 12, 9], [0, 7, 14], stage=[0, 1, 2])
    assert result.like_for_like.verdict is ChangeVerdict.NOT_SEPARABLE
    assert np.isnan(result.like_for_like.change)
    assert np.isfinite(result.raw.change)


def test_one_stage_and_one_distance_change_nothing() -> None:
    rows = ([20] * 5, [8, 10, 9, 12, 13], WEEKS[:5])
    result = season_change(*rows, stage=[3] * 5, distance_m=8.0)
    assert result.like_for_like.change == pytest.approx(result.raw.change)
    assert not result.disagrees


@pytest.mark.parametrize(("correlation", "floor"), [(0.0, 1.0), (0.10, 1.9)])
@pytest.mark.parametrize("practices", [3, 6])
def test_a_player_who_does_not_change_is_rarely_said_to(correlation: float, floor: float, practices: int) -> None:
    random = np.random.default_rng(8)
    wrong, seasons = 0, 400
    for _ in range(seasons):
        rate = np.full(practices, 0.6)
        if correlation:
            concentration = (1 - correlation) / correlation
            rate = random.beta(rate * concentration, (1 - rate) * concentration)
        on_target = random.binomial(10, rate)
        result = season_change([10] * practices, on_target, np.arange(practices), least_dispersion=floor)
        wrong += result.raw.verdict in (ChangeVerdict.UP, ChangeVerdict.DOWN)
    assert wrong / seasons <= 0.05


def test_many_players_take_the_verdict_back_where_chance_explains_it() -> None:
    assert adjusted_verdict(ChangeVerdict.UP, 0.03) is ChangeVerdict.UP
    assert adjusted_verdict(ChangeVerdict.DOWN, 0.20) is ChangeVerdict.NO_CLEAR_CHANGE
    assert adjusted_verdict(ChangeVerdict.DOWN, float("nan")) is ChangeVerdict.NO_CLEAR_CHANGE
    assert adjusted_verdict(ChangeVerdict.TOO_FEW_PRACTICES, 0.01) is ChangeVerdict.TOO_FEW_PRACTICES


def test_bad_arguments_are_refused_by_name() -> None:
    with pytest.raises(ValueError, match="on_target must be between 0 and attempts"):
        season_change([5], [6], [0])
    with pytest.raises(ValueError, match="distance_m must be at least"):
        season_change([5], [4], [0], distance_m=[0])
    with pytest.raises(ValueError, match="stage must be a flat array of 1 codes"):
        season_change([5], [4], [0], stage=[0, 1])
    with pytest.raises(ValueError, match="least_dispersion must be at least 1"):
        season_change([5], [4], [0], least_dispersion=0.5)
    with pytest.raises(ValueError, match="level must be above 0 and below 1"):
        season_change([5], [4], [0], level=2)
