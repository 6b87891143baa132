"""What the last import of a file came to, kept until the next one."""

from __future__ import annotations

from dataclasses import dataclass

import polars as pl


@dataclass(frozen=True, kw_only=True, slots=True)
class ImportOutcome:
    """Sentences about an import, and its wrong rows as a frame and as the file to download."""

    lines: tuple[str, ...]
    is_done: bool
    rejects: pl.DataFrame | None = None
    rejects_csv: bytes | None = None
