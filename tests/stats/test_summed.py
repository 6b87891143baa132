"""Sums say the same as the practices they were added up from."""

from __future__ import annotations

import numpy as np
import polars as pl
from hypothesis import given
from hypothesis import strategies as st

from tracker.stats.clustering import design_effect, intraclass_correlation
from tracker.stats.summed import PlayerSums, SizeSums, correlation_of_sums, design_effect_of_sums


def summed(practices: pl.DataFrame) -> tuple[PlayerSums, SizeSums]:
    """The sums of practices with group, player, n and y."""
    by_player = practices.group_by("group", "player").agg(
        pl.len().alias("practices"),
        pl.col("n").sum().alias("attempts"),
        pl.col("y").sum().alias("on_target"),
        (pl.col("n") ** 2).sum().alias("sum_nn"),
    )
    by_size = practices.group_by("group", pl.col("n").alias("practice_attempts")).agg(
        pl.len().alias("practices"), pl.col("y").sum().alias("on_target"), (pl.col("y") ** 2).sum().alias("sum_yy")
    )
    players = {name: by_player[name].cast(pl.Int64).to_numpy() for name in by_player.columns if name != "player"}
    return PlayerSums(**players), SizeSums(
        **{name: by_size[name].cast(pl.Int64).to_numpy() for name in by_size.columns}
    )


def seasons(seed: int, *, players: int, practices: int) -> pl.DataFrame:
    """Two groups of players with practices of 5, 10 or 15 strikes."""
    random = np.random.default_rng(seed)
    size = 2 * players * practices
    n = random.choice([5, 10, 15], size=size)
    skill = np.repeat(random.beta(6, 4, 2 * players), practices)
    y = random.binomial(n, random.beta(skill * 15, (1 - skill) * 15))
    player = np.repeat(np.arange(2 * players), practices)
    return pl.DataFrame({"group": player % 2, "player": player // 2, "n": n, "y": y})


@given(seed=st.integers(0, 10_000), players=st.integers(1, 12), practices=st.integers(1, 9))
def test_the_correlation_is_that_of_the_practices(seed: int, players: int, practices: int) -> None:
    made = seasons(seed, players=players, practices=practices)
    group, player = made["group"].to_numpy(), made["player"].to_numpy()
    theirs = intraclass_correlation(made["n"], made["y"], group, subject=player, default=0.05, fewest_clusters=8)
    ours = correlation_of_sums(*summed(made), default=0.05, fewest_clusters=8)
    np.testing.assert_array_equal(ours.is_estimated, theirs.is_estimated)
    np.testing.assert_array_equal(ours.clusters, theirs.clusters)
    np.testing.assert_allclose(ours.correlation, theirs.correlation, atol=1e-10)
    np.testing.assert_allclose(ours.allowed, theirs.allowed, rtol=1e-9)


def test_strikes_that_are_all_alike_say_nothing_of_a_correlation() -> None:
    made = seasons(1, players=10, practices=5).with_columns(y="n")
    assert not correlation_of_sums(*summed(made), default=0.05, fewest_clusters=8).is_estimated.any()


def test_the_design_effect_is_that_of_the_practices() -> None:
    made = seasons(2, players=6, practices=7)
    by_player = made.group_by("group", "player", maintain_order=True).agg(
        pl.col("n").sum(), (pl.col("n") ** 2).sum().alias("nn")
    )
    correlation = np.array([0.04, 0.11])
    theirs = design_effect(made["n"], made["player"].to_numpy(), correlation[made["group"].to_numpy()])
    ours = design_effect_of_sums(
        by_player["n"].to_numpy(),
        by_player["nn"].to_numpy(),
        by_player["player"].to_numpy(),
        correlation[by_player["group"].to_numpy()],
    )
    np.testing.assert_allclose(ours, theirs, rtol=1e-12)
