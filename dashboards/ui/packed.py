"""A finished zip, kept until it is downloaded."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True, slots=True)
class Packed:
    """Its name, what is in it, and for how many players."""

    name: str
    content: bytes
    players: int
