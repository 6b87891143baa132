"""A table of strikes as a file, of any length: ``python -m tests.benchmarks.strike_table FILE STRIKES``."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import polars as pl

from tracker.domain.ladder_file import shipped_ladders
from tracker.domain.vocabulary import Surface

SQUADS, PLAYERS_A_SQUAD, STRIKES_A_SET = 25, 20, 10
FIRST_START, PRACTICE_DAYS = np.datetime64("2024-09-07T10:00:00", "ms"), 60


def write_strikes(path: Path, *, rows: int) -> None:
    """Writes a CSV of ``rows`` strikes: sets of ten by the players of 25 squads at the stages of a ladder."""
    rng = np.random.default_rng(20261125)
    number = np.arange(rows)
    sets = number // STRIKES_A_SET
    player = sets % (SQUADS * PLAYERS_A_SQUAD)
    turn = sets // (SQUADS * PLAYERS_A_SQUAD)
    stages = shipped_ladders()[1].stages
    outcome = rng.choice(["on", "off", "blocked"], size=rows, p=[0.6, 0.38, 0.02])
    miss = np.where(outcome == "off", rng.choice(["left", "right", "over", "short"], size=rows), "")
    day = turn % PRACTICE_DAYS
    struck_at = FIRST_START + np.timedelta64(7, "D") * day + np.timedelta64(1, "s") * (number % 7200)
    frame = pl.DataFrame(
        {
            "struck_at": struck_at,
            "squad": pl.Series(player // PLAYERS_A_SQUAD).cast(pl.String),
            "player": pl.Series(player).cast(pl.String),
            "foot": np.where(turn % 2 == 0, "left", "right"),
            "surface": rng.choice([surface.value for surface in Surface], size=rows),
            "outcome": outcome,
            "miss": miss,
            "distance_m": np.round(rng.uniform(4, 20, size=rows), 2),
            "stage": np.array([stage.name for stage in stages])[(player + day // 8) % len(stages)],
            "set": pl.Series(sets).cast(pl.String),
            "source": "tap",
        }
    )
    frame.with_columns(
        pl.format("Squad {}", "squad").alias("squad"),
        pl.format("Player {}", "player").alias("player"),
        pl.col("struck_at").dt.strftime("%Y-%m-%dT%H:%M:%S+00:00"),
    ).write_csv(path)


if __name__ == "__main__":
    write_strikes(Path(sys.argv[1]), rows=int(sys.argv[2]))
