"""Cells of fewer than ten children are not shown, nor what gives them away."""

from __future__ import annotations

import polars as pl
from hypothesis import given
from hypothesis import strategies as st

from tracker.lake.suppression import shown_cells


def players(**cells: range) -> pl.DataFrame:
    """Players by number in cells called ``band_foot``."""
    rows = [(*name.split("_"), str(one)) for name, members in cells.items() for one in members]
    return pl.DataFrame(rows, schema=["band", "foot", "player_id"], orient="row")


def shown(frame: pl.DataFrame, *keys: str) -> set[tuple[str, ...]]:
    return set(shown_cells(frame, keys).filter("is_shown").select(keys).iter_rows())


def test_nine_players_are_not_shown_and_ten_are() -> None:
    assert shown(players(u8_left=range(10), u10_left=range(9), u12_left=range(20, 26)), "band") == {("u8",)}


def test_the_smallest_other_cell_goes_too_where_a_total_would_give_one_away() -> None:
    made = players(u8_left=range(9), u10_left=range(100, 130), u12_left=range(200, 212))
    assert shown(made, "band") == {("u10",)}


def test_two_small_cells_together_large_enough_protect_each_other() -> None:
    made = players(u8_left=range(6), u10_left=range(100, 106), u12_left=range(200, 230))
    assert shown(made, "band") == {("u12",)}


def test_the_same_children_with_both_feet_do_not_protect_each_other() -> None:
    made = players(u8_left=range(9), u8_right=range(9), u10_left=range(100, 130), u10_right=range(100, 111))
    assert ("u8", "left") not in shown(made, "band", "foot")
    assert shown(made, "band") == set()  # u10 less the total would be the nine


def test_a_player_seen_twice_in_a_cell_counts_once() -> None:
    assert shown(pl.concat([players(u8_left=range(9))] * 2), "band") == set()


@given(sizes=st.lists(st.integers(1, 30), min_size=6, max_size=6))
def test_no_total_less_what_is_shown_leaves_few_children(sizes: list[int]) -> None:
    names = [f"{band}_{foot}" for band in ("u8", "u10", "u12") for foot in ("left", "right")]
    made = players(
        **{name: range(100 * at, 100 * at + size) for at, (name, size) in enumerate(zip(names, sizes, strict=True))}
    )
    cells = shown_cells(made, ["band", "foot"])
    assert cells.filter(pl.col("is_shown") & (pl.col("players") < 10)).is_empty()
    hidden = cells.filter(~pl.col("is_shown"))
    for keys in (["band"], ["foot"]):
        left = hidden.group_by(keys).agg(pl.col("players").sum())
        can_be_more = cells.group_by(keys).agg(pl.col("is_shown").any())
        assert left.join(can_be_more.filter("is_shown"), on=keys).filter(pl.col("players") < 10).is_empty()
