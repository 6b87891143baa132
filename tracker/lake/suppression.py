"""Small cells are not shown, nor others from which they could be worked out.

A cell of few children says something about each of them. Totals may be known from another table, so where the cells
not shown in a line (or a block) would together be few children, another cell of it is not shown either.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

import polars as pl

FEWEST_PLAYERS = 10


def shown_cells(players: pl.DataFrame, keys: Sequence[str], *, fewest: int = FEWEST_PLAYERS) -> pl.DataFrame:
    """One row per cell: ``keys``, players (different ones), is_shown.

    ``players`` has a row for every cell and player_id in it, or more. Primary: a cell of fewer than ``fewest`` players
    is not shown. Complementary: for every total over some of the keys, what is not shown within it is nothing, or at
    least ``fewest`` different players; else the smallest shown cell goes too, until this holds. Totals of overlapping
    tables by other keys are not guarded against.
    Source: Willenborg & de Waal 2001, Elements of Statistical Disclosure Control (primary and secondary suppression).
    """
    names = list(keys)
    members = players.select(*names, "player_id").unique()
    cells = members.group_by(names).agg(pl.len().cast(pl.Int64).alias("players")).sort(names, nulls_last=True)
    cells = cells.with_columns((pl.col("players") >= fewest).alias("is_shown"))
    totals = [list(kept) for size in range(len(names)) for kept in combinations(names, size)]
    while True:
        before = int(cells["is_shown"].sum())
        for kept in totals:
            cells = _guarded(cells, members, names, kept, fewest)
        if int(cells["is_shown"].sum()) == before:
            return cells


def _guarded(
    cells: pl.DataFrame, members: pl.DataFrame, names: list[str], kept: list[str], fewest: int
) -> pl.DataFrame:
    """The cells, with one more not shown in every total over ``kept`` that would give away too few players."""
    total = pl.struct(kept) if kept else pl.lit(0)
    hidden = members.join(cells.filter(~pl.col("is_shown")), on=names, nulls_equal=True)
    thin = (
        hidden.with_columns(total.alias("total"))
        .group_by("total")
        .agg(pl.col("player_id").n_unique().alias("hidden_players"))
        .filter(pl.col("hidden_players") < fewest)["total"]
    )
    if thin.is_empty():
        return cells
    marked = cells.with_row_index("row").with_columns(total.alias("total"))
    goes = (
        marked.filter(pl.col("is_shown") & pl.col("total").is_in(thin.implode()))
        .sort("players", "row")
        .unique("total", keep="first", maintain_order=True)["row"]
    )
    return cells.with_columns(pl.col("is_shown") & ~pl.int_range(pl.len()).is_in(goes.cast(pl.Int64).implode()))
