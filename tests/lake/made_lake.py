"""A lake of invented clubs. Tallies are drawn directly, without single strikes: each practice's count on target is
beta-binomial, so that strikes of a practice hang together."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path
from uuid import UUID

import numpy as np
import polars as pl

from tracker.domain.ladder_file import shipped_ladders
from tracker.store.lake import LAKE_TALLY, part_of, write_rows

CORRELATION = 0.05
FIRST_MONDAY = date(2025, 9, 1)
SHARED_PLAYERS = 0.02
"""Of every club's players, so many are registered with the club before, too."""


def club_uuid(club: int) -> str:
    return str(UUID(int=(0xC1 << 120) | (0x8 << 76) | club))


def player_uuids(club: int, players: int) -> np.ndarray:
    return np.array([str(UUID(int=(0xA1 << 120) | (0x8 << 76) | (club << 32) | one)) for one in range(players)])


def made_part(
    *, club: int, season: int = 0, players: int = 20, practices: int = 10, strength: float = 12
) -> pl.DataFrame:
    """The rows of one club and season: every player strikes with both feet at two stages a practice, 31 on average."""
    random = np.random.default_rng([club, season])
    skill = np.random.default_rng([club]).beta(0.55 * strength, 0.45 * strength, (players, 2))
    ids = player_uuids(club, players)
    shared = round(SHARED_PLAYERS * players) if club else 0
    ids[:shared] = player_uuids(club - 1, players)[-shared:] if shared else ids[:0]
    player, practice, foot, turn = (
        one.ravel() for one in np.meshgrid(range(players), range(practices), range(2), range(2), indexing="ij")
    )
    stages = [(ladder.age_band, stage) for ladder in shipped_ladders() for stage in ladder.stages]
    stage = 7 * (player % 3) + np.minimum((practice * 5) // practices + turn, 6)
    n = np.where(turn == 1, 5, random.choice([10, 15], p=[0.9, 0.1], size=player.size))
    own = skill[player, foot] * (1 / CORRELATION - 1)
    y = random.binomial(n, random.beta(own, 1 / CORRELATION - 1 - own))
    week = np.datetime64(FIRST_MONDAY + timedelta(days=364 * season)) + np.timedelta64(7, "D") * (practice // 2)
    asked = {
        "age_band": [band for band, _ in stages],
        "ball_arrival": [one.ball_arrival.value for _, one in stages],
        "distance_m": [round(one.distance_m) for _, one in stages],
        "target_width_dm": [round(10 * one.target.width_m) for _, one in stages],
    }
    drawn = {
        "club_id": np.full(player.size, club_uuid(club)),
        "season": np.full(player.size, f"{2025 + season}-{26 + season}"),
        "week": week,
        "player_id": ids[player],
        **{name: np.array(values)[stage] for name, values in asked.items()},
        "foot": np.array(["left", "right"])[foot],
        "practice_attempts": n,
        "practices": np.ones_like(n),
        "attempts": n,
        "on_target": y,
        "sum_nn": n * n,
        "sum_yy": y * y,
    }
    frame = pl.DataFrame(drawn).select(pl.col(name).cast(kind) for name, kind in LAKE_TALLY.items())
    keys = [name for name in LAKE_TALLY if name not in ("practices", "attempts", "on_target", "sum_nn", "sum_yy")]
    return frame.group_by(keys).agg(pl.all().sum()).select(*LAKE_TALLY).sort("player_id", "week", pl.all())


def made_lake(folder: Path, *, clubs: int, seasons: int = 1, players: int = 20, practices: int = 10) -> list[Path]:
    """Writes a part for every club and season, and returns where they stand."""
    files = []
    for club in range(clubs):
        for season in range(seasons):
            part = made_part(club=club, season=season, players=players, practices=practices)
            file = part_of(folder, club_id=club_uuid(club), season=part["season"][0])
            write_rows(file, part)
            files.append(file)
    return files
