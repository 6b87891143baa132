"""What a coach reads about the gap between the feet of a squad."""

from __future__ import annotations

import polars as pl

from tracker.report import gap_words
from tracker.review.gap_over_season import CatchingUp


def found(*verdicts: CatchingUp) -> pl.DataFrame:
    names = ("Ana A.", "Ben", "Cy", "Dee")
    rows = [(name, "right", 0.4, -0.14, one.value) for name, one in zip(names, verdicts, strict=False)]
    return pl.DataFrame(rows, schema=["player", "preferred_foot", "start", "end", "verdict"], orient="row")


def test_the_squad_is_counted_and_who_stands_out_is_named() -> None:
    said = gap_words.squad_words(found(CatchingUp.YES, CatchingUp.FALLING_BEHIND, CatchingUp.NO_CLEAR_CHANGE))
    assert said == "Catching up: 1 of 3 (Ana A.). Falling behind: 1 (Ben). Not clear: 1."
    assert gap_words.squad_words(found(CatchingUp.CANNOT_SAY)) == (
        "Catching up: 0 of 1. Falling behind: 0. Not clear: 0. Cannot be compared: 1 (Ana A.)."
    )


def test_each_player_has_a_row_with_the_gap_at_both_ends() -> None:
    assert gap_words.squad_table(found(CatchingUp.YES)).rows() == [
        ("Ana A.", "left", "4 of 10 behind", "1 of 10 ahead", "catching up")
    ]


def test_a_gap_that_rounds_to_nothing_reads_as_alike_and_an_unknown_one_as_a_dash() -> None:
    rows = found(CatchingUp.CANNOT_SAY).with_columns(pl.lit(0.02).alias("start"), pl.lit(None, pl.Float64).alias("end"))
    assert gap_words.squad_table(rows).row(0)[2:4] == ("feet alike", "–")
