"""Norms as a small JSON file: written by a federation, read by its clubs."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict, fields
from typing import Any

from tracker.domain.norm import Norm
from tracker.domain.vocabulary import BallArrival, Foot
from tracker.errors import FileError

FORMAT, VERSION = "strike-ladder norms", 1
LARGEST_NORMS_BYTES = 10_000_000
_KINDS: dict[str, type | tuple[type, ...]] = {
    **dict.fromkeys(("age_band", "ball_arrival", "foot"), str),
    **dict.fromkeys(("distance_m", "target_width_dm", "players", "clubs"), int),
    **dict.fromkeys(("mean", "strength", "lower_quartile", "upper_quartile"), (int, float)),
    "club_strength": (int, float, type(None)),
}


def norms_text(norms: Sequence[Norm]) -> str:
    """The norms as JSON; the same norms give the same text."""
    rows = [{name: _rounded(value) for name, value in asdict(norm).items()} for norm in norms]
    return json.dumps({"format": FORMAT, "version": VERSION, "norms": rows}, ensure_ascii=False, indent=1) + "\n"


def parse_norms(text: str | bytes, *, source: str) -> tuple[Norm, ...]:
    """The norms of a file. Keys it has besides are passed over. Raises FileError naming the norm and what is wrong."""
    try:
        content = json.loads(text)
    except ValueError as error:
        raise FileError(f"{source} is not JSON: {error}. Nothing was stored.") from error
    if not isinstance(content, dict) or content.get("format") != FORMAT or not isinstance(content.get("norms"), list):
        raise FileError(f"{source} holds no norms: they are written by strikeladder lake norms. Nothing was stored.")
    if content.get("version") != VERSION:
        raise FileError(f"{source} has version {content.get('version')}; this program reads {VERSION}. Update it.")
    return tuple(_norm(row, f"{source}, norm {number}") for number, row in enumerate(content["norms"], 1))


def _norm(row: Any, place: str) -> Norm:
    if not isinstance(row, dict):
        raise FileError(f"{place}: must be an object. Nothing was stored.")
    for name, kind in _KINDS.items():
        if name not in row or isinstance(row[name], bool) or not isinstance(row[name], kind):
            raise FileError(f"{place}: {name} is missing or of the wrong kind. Nothing was stored.")
    given = {one.name: row[one.name] for one in fields(Norm)}
    try:
        return Norm(**{**given, "ball_arrival": BallArrival(row["ball_arrival"]), "foot": Foot(row["foot"])})
    except ValueError as error:
        raise FileError(f"{place}: {error}. Nothing was stored.") from error


def _rounded(value: Any) -> Any:
    return round(value, 4) if isinstance(value, float) else value
