"""A gate: many pass at once, and whoever closes it has the place alone."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager


class Gate:
    """Open until it is closed. Whoever passes must not close it meanwhile, nor pass a second time."""

    def __init__(self) -> None:
        self._changed = threading.Condition()
        self._passing = 0
        self._is_closed = False

    @contextmanager
    def passing(self) -> Iterator[None]:
        """Waits while the gate is closed, then passes; any number at once."""
        with self._changed:
            self._changed.wait_for(lambda: not self._is_closed)
            self._passing += 1
        try:
            yield
        finally:
            with self._changed:
                self._passing -= 1
                self._changed.notify_all()

    @contextmanager
    def closed(self) -> Iterator[None]:
        """Lets nobody in, waits until everybody is through, and opens the gate again at the end."""
        with self._changed:
            self._changed.wait_for(lambda: not self._is_closed)
            self._is_closed = True
            self._changed.wait_for(lambda: not self._passing)
        try:
            yield
        finally:
            with self._changed:
                self._is_closed = False
                self._changed.notify_all()
