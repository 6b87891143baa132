"""What the command answered: its exit code and what it printed."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, kw_only=True, slots=True)
class Answer:
    """One run of the command."""

    code: int
    out: str
    err: str

    @property
    def rows(self) -> Any:
        """Standard output as JSON, which has no NaN."""
        return json.loads(self.out, parse_constant=_refuse)

    @property
    def sentence(self) -> str:
        """The one line on standard error, which is no traceback."""
        assert self.err.startswith("strikeladder: "), self.err
        assert "Traceback" not in self.err
        assert self.err.count("\n") == 1, self.err
        return self.err.removeprefix("strikeladder: ").strip()


Run = Callable[..., Answer]


def _refuse(constant: str) -> None:
    raise AssertionError(f"{constant} is no JSON")
