"""Rates over a lake are those of the club's own records, however many clubs are in it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from uuid import UUID

import numpy as np
import polars as pl
import pytest
from made_lake import made_lake

from tracker.domain.vocabulary import Dimension
from tracker.lake.counts import LakeCounts, lake_counts
from tracker.lake.rates import LakeDimension, lake_rates
from tracker.lake.runner import LineRunner
from tracker.lake.writing import write_lake
from tracker.review.accuracy import accuracy
from tracker.review.scope import Scope
from tracker.store.database import Database
from tracker.store.lake import parts
from tracker.store.strikes import player_numbers

CLUB = UUID("0198f2a4-0000-7000-8000-000000000001")
FIGURES = ("rate", "low", "high", "effective_attempts", "correlation")


@pytest.fixture(scope="module")
def demo_counts(demo: Database, tmp_path_factory: pytest.TempPathFactory) -> LakeCounts:
    """The sums over a lake that holds the demo season alone."""
    folder = tmp_path_factory.mktemp("lake")
    write_lake(demo, folder, club=CLUB)
    return lake_counts(LineRunner(), parts(folder))


def stage_words(demo: Database) -> Callable[[pl.DataFrame], pl.DataFrame]:
    from tracker.review.club import ladder_of, squads

    ladder = ladder_of(demo, squads(demo)[0])
    words = {
        stage.name: f"{stage.ball_arrival}, {round(stage.distance_m)} m, {stage.target.width_m:.1f} m wide"
        for stage in ladder.stages
    }
    return lambda frame: frame.with_columns(pl.col("stage").replace_strict(words))


def same(ours: pl.DataFrame, theirs: pl.DataFrame, keys: list[str]) -> None:
    ours, theirs = ours.sort(keys), theirs.sort(keys)
    assert ours.select(*keys, "attempts", "on_target", "correlation_source").equals(
        theirs.select(*keys, "attempts", "on_target", "correlation_source")
    )
    for name in FIGURES:
        np.testing.assert_allclose(ours[name], theirs[name], rtol=1e-9, atol=1e-12)


def test_a_players_rates_and_intervals_are_those_of_accuracy(demo: Database, demo_counts: LakeCounts) -> None:
    named = player_numbers(demo).select("player_id", name="player")
    by = [LakeDimension.PLAYER, LakeDimension.FOOT]
    ours = (
        lake_rates(demo_counts, by=by).join(named, left_on="player", right_on="player_id").with_columns(player="name")
    )
    same(ours, accuracy(demo, Scope(), by=[Dimension.PLAYER, Dimension.FOOT]), ["player", "foot"])


def test_at_each_stage_too(demo: Database, demo_counts: LakeCounts) -> None:
    named = player_numbers(demo).select("player_id", name="player")
    by = [LakeDimension.PLAYER, LakeDimension.FOOT, LakeDimension.STAGE]
    ours = (
        lake_rates(demo_counts, by=by).join(named, left_on="player", right_on="player_id").with_columns(player="name")
    )
    theirs = stage_words(demo)(accuracy(demo, Scope(), by=[Dimension.PLAYER, Dimension.FOOT, Dimension.STAGE]))
    same(ours, theirs, ["player", "foot", "stage"])


def test_without_players_the_interval_allows_for_players_who_differ(demo: Database, demo_counts: LakeCounts) -> None:
    same(lake_rates(demo_counts, by=[LakeDimension.FOOT]), accuracy(demo, Scope(), by=[Dimension.FOOT]), ["foot"])
    ours = lake_rates(demo_counts, by=[LakeDimension.STAGE, LakeDimension.FOOT])
    theirs = stage_words(demo)(accuracy(demo, Scope(), by=[Dimension.STAGE, Dimension.FOOT]))
    shown = ours.drop_nulls("rate")
    assert 0 < shown.height < ours.height == theirs.height
    same(shown, theirs.join(shown, on=["stage", "foot"], how="semi"), ["stage", "foot"])


def test_small_cells_have_no_figure_at_all(tmp_path: Path) -> None:
    counts = lake_counts(LineRunner(), made_lake(tmp_path, clubs=1, players=12))
    cells = lake_rates(counts, by=[LakeDimension.AGE_BAND])  # four players a band
    assert cells.height == 3
    assert cells.drop("age_band").null_count().row(0) == (3,) * (cells.width - 1)


def test_a_player_of_two_clubs_is_one_player(tmp_path: Path) -> None:
    counts = lake_counts(LineRunner(), made_lake(tmp_path, clubs=2, players=50))
    (row,) = lake_rates(counts, by=[LakeDimension.SEASON]).to_dicts()
    assert (row["players"], row["clubs"]) == (99, 2)
    by_club = lake_rates(counts, by=[LakeDimension.CLUB])
    assert by_club["players"].to_list() == [50, 50]
    assert by_club["attempts"].sum() == row["attempts"]
