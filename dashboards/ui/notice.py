"""What a press of a button tells afterwards: done, or why not."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True, slots=True)
class Notice:
    """A sentence about what was just done (``is_done``), or why it could not be."""

    text: str
    is_done: bool
