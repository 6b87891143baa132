"""The demo season: written again it is the same, and its stories can be counted."""

from __future__ import annotations

import os
import subprocess
import sys
from datetime import date
from pathlib import Path

import numpy as np
import polars as pl
import pytest

from tracker.domain.ladder_file import shipped_ladders
from tracker.domain.squad import checked_name
from tracker.domain.vocabulary import Foot, Miss, PreferredFoot, ReadinessStatus, Source, Surface

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "demo_data"
TABLES = ("players", "seasons", "strikes", "placements", "truth")
LADDER = shipped_ladders()[1]


def table(name: str) -> pl.DataFrame:
    return pl.read_csv(DEMO / f"{name}.csv", infer_schema_length=None, try_parse_dates=False)


STRIKES = table("strikes").with_columns(
    pl.col("struck_at").str.slice(0, 10).str.to_date().alias("day"), (pl.col("outcome") == "on").alias("hit")
)
ATTEMPTS = STRIKES.filter(pl.col("outcome") != "blocked")
PRACTICE_DAYS = sorted(STRIKES["day"].unique())


def attempts(player: str, foot: str, *stages: str) -> pl.DataFrame:
    found = ATTEMPTS.filter(pl.col("player") == player, pl.col("foot") == foot)
    return found.filter(pl.col("stage").is_in(stages)) if stages else found


def rate(frame: pl.DataFrame) -> float:
    """On target per attempt; fails on fewer than twenty attempts, which would show nothing."""
    assert len(frame) >= 20
    return int(frame["hit"].sum()) / len(frame)


def truth(player: str, foot: str) -> dict[str, float]:
    (row,) = table("truth").filter(pl.col("player") == player, pl.col("foot") == foot).iter_rows(named=True)
    return row


def test_the_generator_writes_the_committed_files_byte_for_byte(tmp_path: Path) -> None:
    command = [sys.executable, str(DEMO / "make_demo_season.py"), str(tmp_path)]
    subprocess.run(command, check=True, env=os.environ | {"PYTHONPATH": str(ROOT)})
    for name in TABLES:
        assert (tmp_path / f"{name}.csv").read_bytes() == (DEMO / f"{name}.csv").read_bytes(), name


def test_the_files_are_together_under_three_megabytes() -> None:
    assert sum((DEMO / f"{name}.csv").stat().st_size for name in TABLES) < 3_000_000


def test_sixteen_players_practise_thirty_times_and_strike_about_twenty_thousand_times() -> None:
    assert len(table("players")) == 16
    assert len(PRACTICE_DAYS) == 30
    assert 19_000 <= len(STRIKES) <= 22_000
    assert set(STRIKES["player"]) == set(table("players")["player"])


def test_every_practice_lies_in_the_season_and_in_the_past() -> None:
    (season,) = table("seasons").iter_rows(named=True)
    assert date.fromisoformat(season["starts_on"]) <= PRACTICE_DAYS[0]
    assert PRACTICE_DAYS[-1] <= date.fromisoformat(season["ends_on"]) < date(2026, 6, 1)


def test_every_word_is_one_of_the_vocabulary_and_every_stage_is_on_the_ladder() -> None:
    words = {"foot": Foot, "surface": Surface, "miss": Miss, "source": Source}
    for column, vocabulary in words.items():
        assert set(STRIKES[column].drop_nulls()) <= {word.value for word in vocabulary}, column
    assert set(STRIKES["outcome"]) == {"on", "off", "blocked"}
    assert set(STRIKES["stage"]) == {stage.name for stage in LADDER.stages}
    assert set(table("players")["preferred_foot"]) == {foot.value for foot in PreferredFoot}
    assert set(table("placements")["suggested_status"].drop_nulls()) <= {status.value for status in ReadinessStatus}
    assert set(table("placements")["stage"]) <= {stage.name for stage in LADDER.stages}


def test_names_are_legal_and_some_need_more_than_ascii_or_an_apostrophe() -> None:
    names = table("players")["player"].to_list()
    assert [checked_name(name, what="player") for name in names] == names
    assert sum(not name.isascii() for name in names) >= 4
    assert any("'" in name for name in names)


def test_only_a_strike_off_target_has_a_miss_and_every_tapped_one_does() -> None:
    has_miss = pl.col("miss").is_not_null()
    assert STRIKES.filter(has_miss, pl.col("outcome") != "off").is_empty()
    assert STRIKES.filter(~has_miss, pl.col("outcome") == "off", pl.col("source") == "tap").is_empty()


def test_away_from_the_small_game_sets_have_five_or_ten_strikes() -> None:
    sets = STRIKES.filter(pl.col("stage") != "Small game").group_by("set").len()
    assert set(sets["len"]) == {5, 10}


def test_a_called_out_or_paper_set_has_one_time_and_taps_are_seconds_apart() -> None:
    drills = STRIKES.filter(pl.col("stage") != "Small game").with_columns(
        pl.col("struck_at").str.to_datetime(time_zone="UTC")
    )
    sets = drills.group_by("set", "source").agg(
        pl.col("struck_at").n_unique().alias("times"),
        pl.col("struck_at").sort().diff().dt.total_seconds().max().alias("longest_gap_s"),
    )
    assert set(sets.filter(pl.col("source") != "tap")["times"]) == {1}
    assert set(sets.filter(pl.col("source") == "tap")["times"]) == {5, 10}
    assert sets["longest_gap_s"].max() == pytest.approx(13)
    assert {"tap", "call-out", "paper"} == set(sets["source"])


def test_the_rows_stand_in_order_of_time_within_each_day() -> None:
    assert STRIKES["day"].is_sorted()
    assert all(frame["struck_at"].is_sorted() for _, frame in STRIKES.group_by("day", maintain_order=True))


def test_some_strikes_of_the_small_game_are_blocked_and_none_elsewhere() -> None:
    blocked = STRIKES.filter(pl.col("outcome") == "blocked")
    assert set(blocked["stage"]) == {"Small game"}
    assert len(blocked) / len(STRIKES.filter(pl.col("stage") == "Small game")) == pytest.approx(0.06, abs=0.02)


def test_strikes_are_made_at_the_stage_the_coach_placed_the_foot_at_or_the_one_before() -> None:
    position = {stage.name: stage.position for stage in LADDER.stages}
    placed = table("placements").select(
        "player",
        "foot",
        pl.col("placed_at").str.to_datetime(time_zone="UTC").alias("at"),
        pl.col("stage").replace_strict(position).alias("placed"),
    )
    drills = STRIKES.filter(pl.col("stage") != "Small game").with_columns(
        pl.col("struck_at").str.to_datetime(time_zone="UTC").alias("at")
    )
    joined = drills.sort("at").join_asof(placed.sort("at"), on="at", by=["player", "foot"], check_sortedness=False)
    below = joined.select(pl.col("placed") - pl.col("stage").replace_strict(position))
    assert set(below.to_series()) == {0, 1}


def test_the_coach_usually_follows_a_ready_call_and_sometimes_decides_otherwise() -> None:
    decisions = table("placements")["suggested_status"].drop_nulls().value_counts()
    count = dict(decisions.iter_rows())
    assert count["ready"] > 5 * count["working"] > 0
    assert count["revisit"] > 0


def test_strikes_of_one_practice_hang_together_by_about_a_twentieth() -> None:
    """The one-way analysis-of-variance estimate, pooled over player, foot and stage."""
    cell = ["player", "foot", "stage"]
    drills = ATTEMPTS.filter(pl.col("stage") != "Small game")
    days = drills.group_by(*cell, "day").agg(pl.len().cast(pl.Float64).alias("n"), pl.col("hit").sum().alias("y"))
    cells = days.with_columns(
        (pl.col("y").sum() / pl.col("n").sum()).over(cell).alias("p"),
        pl.col("n").sum().over(cell).alias("total"),
    )
    n, y, p, total = (cells[column].cast(pl.Float64).to_numpy() for column in ("n", "y", "p", "total"))
    cell_count = len(cells.select(cell).unique())
    between_df = len(cells) - cell_count
    between = float(np.sum(n * (y / n - p) ** 2)) / between_df
    within = float(np.sum(y * (1 - y / n))) / float(n.sum() - len(cells))
    size = float(n.sum() - np.sum(n**2 / total)) / between_df
    assert (between - within) / (between + (size - 1) * within) == pytest.approx(0.05, abs=0.02)


def test_zoe_s_other_foot_improves_at_the_very_same_stages() -> None:
    assert truth("Zoë L.", "left")["spread_end_deg"] < truth("Zoë L.", "left")["spread_start_deg"] / 2
    stages = ("Served volley", "Still ball through a gate")
    left = attempts("Zoë L.", "left", *stages)
    assert (
        rate(left.filter(pl.col("day") >= date(2026, 3, 1)))
        > rate(left.filter(pl.col("day") < date(2025, 12, 1))) + 0.2
    )


def test_jun_gets_no_better_after_december() -> None:
    assert truth("Jun T.", "right")["settled_at"] == 0.35
    later = attempts("Jun T.", "right", "Rolling ball").filter(pl.col("day") >= date(2026, 1, 1))
    assert (
        rate(later.filter(pl.col("day") >= date(2026, 4, 1))) - rate(later.filter(pl.col("day") < date(2026, 4, 1)))
        < 0.15
    )
    assert rate(later) < LADDER.stages[2].p_ready


def test_noor_has_one_practice_far_above_the_rest() -> None:
    right = attempts("Noor H.", "right")
    lucky = right.filter(pl.col("day") == date(2026, 1, 31))
    others = right.filter(pl.col("day") != date(2026, 1, 31))
    assert rate(lucky) == 1.0
    by_day = others.group_by("day").agg(pl.col("hit").mean())["hit"]
    assert max(by_day) < 0.8
    assert rate(others) < 0.65


def test_lucja_is_away_for_a_month_and_the_others_are_not() -> None:
    away = STRIKES.filter(pl.col("day").is_between(date(2026, 2, 21), date(2026, 3, 21)))
    assert away["day"].n_unique() == 5
    assert set(table("players")["player"]) - set(away["player"]) == {"Łucja P.", "Thu-An Q."}


def test_thu_an_joins_in_april_and_has_very_few_strikes() -> None:
    hers = STRIKES.filter(pl.col("player") == "Thu-An Q.")
    assert hers["day"].n_unique() == 3
    assert min(hers["day"]) == date(2026, 4, 18)
    assert len(hers) < 60
    others = STRIKES.filter(pl.col("player") != "Thu-An Q.").group_by("player").len()
    assert min(others["len"]) > 1000


def test_there_are_two_left_footers_one_who_names_both_feet_and_one_unknown() -> None:
    preferred = dict(table("players").select("player", "preferred_foot").iter_rows())
    unusual = {name: foot for name, foot in preferred.items() if foot != "right"}
    assert unusual == {"D'Andre W.": "left", "Kaya D.": "left", "Mateo R.": "both", "Priya V.": "unknown"}


@pytest.mark.parametrize("player", ["D'Andre W.", "Kaya D."])
def test_a_left_footer_climbs_further_with_the_left(player: str) -> None:
    position = {stage.name: stage.position for stage in LADDER.stages}
    last = table("placements").filter(pl.col("player") == player).group_by("foot", maintain_order=True).last()
    reached = {foot: position[stage] for foot, stage in last.select("foot", "stage").iter_rows()}
    assert reached["left"] > reached["right"]


def test_farid_s_right_foot_misses_to_the_left() -> None:
    assert truth("Farid K.", "right")["bias_start_deg"] < -3
    sides = attempts("Farid K.", "right")["miss"].value_counts()
    count = dict(sides.iter_rows())
    assert count["left"] > 5 * count["right"]
