"""Norms of many clubs, and what a club makes of them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import polars as pl
import pytest
from builders import SquadBuilder
from made_lake import made_lake
from scipy import special, stats

from tracker.domain.norm import Norm
from tracker.domain.vocabulary import BallArrival, Foot
from tracker.errors import FileError
from tracker.intake.norm_file import norms_text, parse_norms
from tracker.lake.counts import LakeCounts, lake_counts
from tracker.lake.norms import norm_table, norms_of, stage_label
from tracker.lake.rates import correlation_at_stages
from tracker.lake.runner import LineRunner
from tracker.review.norms import norms_of_squad, use_norms
from tracker.review.pooled import pooled
from tracker.stats.norms import fitted_norm
from tracker.stats.pooling import PoolingMethod

ROLLING = "Rolling ball"
USUAL = Norm(
    age_band="U11–U12",
    ball_arrival=BallArrival.ROLLING,
    distance_m=10,
    target_width_dm=27,
    foot=Foot.RIGHT,
    players=400,
    clubs=20,
    mean=0.6,
    strength=20.0,
    lower_quartile=0.53,
    upper_quartile=0.68,
    club_strength=200.0,
)


@pytest.fixture(scope="module")
def counts(tmp_path_factory: pytest.TempPathFactory) -> LakeCounts:
    """Twenty clubs whose players' true rates are drawn from Beta(0.55 × 12, 0.45 × 12) with every foot."""
    return lake_counts(LineRunner(), made_lake(tmp_path_factory.mktemp("lake"), clubs=20, players=30, practices=12))


def test_a_norm_is_the_maximum_of_the_likelihood_of_effective_counts(counts: LakeCounts) -> None:
    norm = next(one for one in norms_of(counts) if (one.ball_arrival, one.age_band) == ("rolling", "U11–U12"))
    known, place = correlation_at_stages(counts)
    rows = counts.by_player.with_columns(pl.Series("r", known.allowed[place])).filter(
        ball_arrival="rolling", age_band="U11–U12", foot=norm.foot.value, distance_m=norm.distance_m
    )
    n, y, nn, r = (rows[name].to_numpy() for name in ("attempts", "on_target", "sum_nn", "r"))
    effect = 1 + (nn / n - 1) * r
    k, m = y / effect, (n - y) / effect

    def log_likelihood(mean: float, strength: float) -> float:
        a, b = mean * strength, (1 - mean) * strength
        return float(np.sum(special.betaln(k + a, m + b) - special.betaln(a, b)))

    best = log_likelihood(norm.mean, norm.strength)
    around = [
        log_likelihood(norm.mean + shift, norm.strength * factor)
        for shift in np.linspace(-0.1, 0.1, 21)
        for factor in np.geomspace(0.5, 2, 21)
    ]
    assert best >= max(around) - 1e-6
    spread = stats.beta(norm.mean * norm.strength, (1 - norm.mean) * norm.strength)
    np.testing.assert_allclose(spread.ppf([0.25, 0.75]), [norm.lower_quartile, norm.upper_quartile], rtol=1e-9)


def test_norms_find_the_spread_that_was_drawn(counts: LakeCounts) -> None:
    found = [one for one in norms_of(counts) if one.players >= 150]
    true_lower, true_upper = stats.beta(0.55 * 12, 0.45 * 12).ppf([0.25, 0.75])
    assert len(found) >= 10
    assert np.mean([one.lower_quartile for one in found]) == pytest.approx(true_lower, abs=0.02)
    assert np.mean([one.upper_quartile for one in found]) == pytest.approx(true_upper, abs=0.02)
    table = norm_table(counts, found)
    words = dict(
        zip(zip(table["stage"], table["age_band"], table["foot"], strict=True), table["half_of_players"], strict=True)
    )
    assert words[stage_label(found[0]), found[0].age_band, found[0].foot.value] in (
        "4 to 6 of 10",
        "5 to 6 of 10",
        "5 to 7 of 10",
    )


def test_how_clubs_differ_is_found_where_they_do() -> None:
    random = np.random.default_rng(4)
    clubs, players, n = 60, 20, 60
    club_rate = random.beta(0.6 * 30, 0.4 * 30, clubs)
    club = np.repeat(np.arange(clubs), players)
    skill = random.beta(club_rate[club] * 15, (1 - club_rate[club]) * 15)
    norm = fitted_norm(np.full(club.size, n), random.binomial(n, skill), club)
    assert norm is not None
    assert norm.club_strength is not None
    assert 18 < norm.club_strength < 50
    assert norm.strength < 15  # the spread of all players holds that of clubs


def test_with_few_clubs_or_players_nothing_is_claimed() -> None:
    random = np.random.default_rng(5)
    y = random.binomial(50, random.beta(6, 4, 40))
    few_clubs = fitted_norm(np.full(40, 50), y, np.arange(40) % 7)
    assert few_clubs is not None
    assert few_clubs.club_strength is None
    assert fitted_norm(np.full(7, 50), y[:7], np.arange(7)) is None


def test_no_norm_is_written_of_fewer_than_ten_players(tmp_path: Path) -> None:
    counts = lake_counts(LineRunner(), made_lake(tmp_path, clubs=2, players=12))
    assert all(one.players >= 10 for one in norms_of(counts))
    with pytest.raises(ValueError, match="players is 9"):
        replace(USUAL, players=9)


def test_a_file_of_norms_reads_back_as_it_was_written(counts: LakeCounts) -> None:
    text = norms_text(norms_of(counts))
    assert norms_text(parse_norms(text, source="norms.json")) == text


@pytest.mark.parametrize(
    ("change", "what"),
    [
        (('"players": 400', '"players": 4'), "norm 1: players is 4"),
        (('"mean": 0.6', '"mean": "high"'), "norm 1: mean is missing or of the wrong kind"),
        (('"foot": "right"', '"foot": "both"'), "norm 1: 'both' is not a valid Foot"),
        (('"version": 1', '"version": 2'), "version 2"),
        (("strike-ladder norms", "something else"), "holds no norms"),
        (("{", ""), "not JSON"),
    ],
)
def test_a_wrong_file_is_refused_with_the_place(change: tuple[str, str], what: str) -> None:
    with pytest.raises(FileError, match=what):
        parse_norms(norms_text([USUAL]).replace(*change, 1), source="norms.json")


def test_a_small_squad_leans_on_the_norm_and_says_so(squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.RIGHT, "++--", day=date(2026, 3, 7), stage=ROLLING)
    squad.strikes("Ana", Foot.LEFT, "++--", day=date(2026, 3, 7), stage=ROLLING)
    use_norms(squad.database, (USUAL,))
    rows = {row["foot"]: row for row in pooled(squad.database, squad.scope).to_dicts()}
    assert rows["right"]["squad_method"] == PoolingMethod.NORM == "federation norm"
    assert rows["right"]["squad_strength"] == 20
    assert rows["right"]["squad_rate"] == pytest.approx(0.6, abs=0.01)
    assert 0.55 < rows["right"]["pooled_rate"] < 0.6
    assert rows["left"]["squad_method"] == PoolingMethod.DEFAULT
    use_norms(squad.database, ())
    assert set(pooled(squad.database, squad.scope)["squad_method"]) == {PoolingMethod.DEFAULT}


def test_many_strikes_of_a_small_squad_draw_its_rate_away_from_the_norm(squad: SquadBuilder) -> None:
    use_norms(squad.database, (replace(USUAL, club_strength=None),))
    for day in range(1, 21):
        for player in ("Ana", "Ben"):
            squad.strikes(player, Foot.RIGHT, "+" + "-" * 9, day=date(2026, 3, day), stage=ROLLING)
    (squad_rate,) = pooled(squad.database, squad.scope)["squad_rate"].unique()
    assert 0.1 < squad_rate < 0.4


def test_norms_fit_only_stages_that_ask_the_same(squad: SquadBuilder) -> None:
    use_norms(squad.database, (USUAL, replace(USUAL, age_band="U8–U10"), replace(USUAL, distance_m=8)))
    assert norms_of_squad(squad.database, squad.squad) == {(ROLLING, "right"): USUAL}
