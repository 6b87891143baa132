"""Stores tallies for a test by the way a club would: a file that is imported."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

import numpy as np
from builders import SquadBuilder, csv_file

from tracker.review.exchange import import_file

FIELDS = ("date", "player", "foot", "attempts", "on_target", "stage", "surface", "distance_m")
SIDES = ("left", "right", "over", "short", "blocked")


def store_tallies(squad: SquadBuilder, folder: Path, rows: Iterable[Mapping[str, object]]) -> None:
    """Imports tallies; players the squad does not have are made. What a row does not say is left empty."""
    filled = [{field: row.get(field, "") for field in (*FIELDS, *SIDES)} for row in rows]
    import_file(squad.database, csv_file(folder / "tallies.csv", filled), squad=squad.squad, create_players=True)


def shared_out(total: int, parts: int) -> list[int]:
    """A count shared over parts as evenly as whole numbers allow, the larger shares spread over them."""
    return np.diff(np.arange(parts + 1) * total // parts).tolist()
