"""How long the queries of this run took, by name."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace


@dataclass(frozen=True, kw_only=True, slots=True)
class QueryTime:
    """What one query took so far, seconds."""

    name: str
    times: int = 0
    total_s: float = 0.0
    slowest_s: float = 0.0


class QueryTimes:
    """Adds up from any thread."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._known: dict[str, QueryTime] = {}

    @contextmanager
    def measured(self, name: str) -> Iterator[None]:
        """Counts what runs inside as one run of the query, also when it raises."""
        begun = time.perf_counter()
        try:
            yield
        finally:
            took = time.perf_counter() - begun
            with self._lock:
                so_far = self._known.get(name, QueryTime(name=name))
                self._known[name] = replace(
                    so_far,
                    times=so_far.times + 1,
                    total_s=so_far.total_s + took,
                    slowest_s=max(so_far.slowest_s, took),
                )

    def slowest(self, most: int) -> list[QueryTime]:
        """The queries with the longest single run, the slowest first."""
        with self._lock:
            return sorted(self._known.values(), key=lambda one: one.slowest_s, reverse=True)[:most]
