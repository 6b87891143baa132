"""A federation's question: what is usual at an age, with which foot, at which stage, and how far do clubs differ?"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import polars as pl

from tracker.domain.file_content import whole_file
from tracker.domain.norm import Norm
from tracker.domain.vocabulary import BallArrival, Foot
from tracker.errors import FileError
from tracker.intake.norm_file import norms_text
from tracker.lake.counts import LakeCounts
from tracker.lake.rates import FOOT_AT_STAGE, LakeDimension, correlation_at_stages, grouped, lake_rates, with_labels
from tracker.stats.norms import fitted_norm, quartiles
from tracker.stats.summed import design_effect_of_sums


def norms_of(counts: LakeCounts) -> list[Norm]:
    """One norm per age band, stage and foot whose cell is shown and whose players are enough to tell their spread.

    A player counts with effective attempts, as in ``review.pooled``. One known to two clubs counts in each.
    """
    known, place = correlation_at_stages(counts)
    rows = with_labels(counts.by_player).with_columns(pl.Series("allowed", known.allowed[place]))
    keys = ["age_band", "stage", "foot"]
    shown = lake_rates(counts, by=[LakeDimension(key) for key in keys]).drop_nulls("players")
    norms = []
    for cell in shown.drop_nulls(keys).iter_rows(named=True):
        of_cell = rows.filter(*(pl.col(key) == cell[key] for key in keys)).drop_nulls(FOOT_AT_STAGE)
        norm = _norm(of_cell, players=cell["players"], clubs=cell["clubs"])
        if norm is not None:
            norms.append(norm)
    return norms


def norm_table(counts: LakeCounts, norms: list[Norm]) -> pl.DataFrame:
    """Rates with their intervals by age band, stage and foot, beside what is usual.

    age_band, stage, foot, players, clubs, attempts, rate, low, high, half_of_players, half_of_clubs, strength. The
    halves are strikes on target of ten, null where they cannot be told; small cells are null.
    """
    cell = ("age_band", "stage", "foot")
    rated = lake_rates(counts).select(*cell, "players", "clubs", "attempts", "rate", "low", "high")
    usual = pl.DataFrame(
        [
            {
                "age_band": norm.age_band,
                "stage": stage_label(norm),
                "foot": norm.foot.value,
                "half_of_players": _of_ten(norm.lower_quartile, norm.upper_quartile),
                "half_of_clubs": _of_ten(*quartiles(norm.mean, norm.club_strength)) if norm.club_strength else None,
                "strength": norm.strength,
            }
            for norm in norms
        ],
        schema={
            **dict.fromkeys((*cell, "half_of_players", "half_of_clubs"), pl.String),
            "strength": pl.Float64,
        },
    )
    return rated.join(usual, on=cell, how="left", maintain_order="left")


def write_norms(path: Path, norms: list[Norm]) -> None:
    """Writes a file that a club can take in. Raises FileError."""
    try:
        with whole_file(path) as part:
            part.write_text(norms_text(norms), encoding="utf-8")
    except OSError as error:
        raise FileError(f"{path} cannot be written ({error.strerror}). Name another place with --out.") from error


def stage_label(norm: Norm) -> str:
    """What the stage asks, in the words of the rates."""
    whole, tenth = divmod(norm.target_width_dm, 10)
    return f"{norm.ball_arrival.value}, {norm.distance_m} m, {whole}.{tenth} m wide"


def _norm(rows: pl.DataFrame, *, players: int, clubs: int) -> Norm | None:
    _, player = grouped(rows, ["club_id", "player_id"])
    effect = design_effect_of_sums(
        rows["attempts"].to_numpy(), rows["sum_nn"].to_numpy(), player, rows["allowed"].to_numpy()
    )
    attempts, on_target = (np.bincount(player, rows[name].to_numpy()) / effect for name in ("attempts", "on_target"))
    _, club = grouped(grouped(rows, ["club_id", "player_id"])[0], ["club_id"])
    fitted = fitted_norm(attempts, on_target, club)
    if fitted is None:
        return None
    first = rows.row(0, named=True)
    return Norm(
        age_band=first["age_band"],
        ball_arrival=BallArrival(first["ball_arrival"]),
        distance_m=first["distance_m"],
        target_width_dm=first["target_width_dm"],
        foot=Foot(first["foot"]),
        players=players,
        clubs=clubs,
        mean=fitted.mean,
        strength=fitted.strength,
        lower_quartile=fitted.lower_quartile,
        upper_quartile=fitted.upper_quartile,
        club_strength=fitted.club_strength,
    )


def _of_ten(low: float, high: float) -> str:
    least, most = round(10 * low), round(10 * high)
    return f"{least} to {most} of 10" if least < most else f"about {least} of 10"
