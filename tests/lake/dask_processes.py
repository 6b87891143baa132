"""A dask scheduler and workers as processes of their own on this computer's loopback."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from types import TracebackType
from typing import Self

SECONDS_TO_START = 60


@dataclass(kw_only=True, slots=True)
class DaskProcesses:
    """Use as a context manager: ends every process it started. ``tls`` are options for scheduler and workers alike."""

    folder: Path
    workers: int = 2
    tls: Sequence[str] = ()
    address: str = ""
    scheduler: subprocess.Popen[bytes] | None = None
    worker_processes: list[subprocess.Popen[bytes]] = field(default_factory=list)

    def __enter__(self) -> Self:
        told = self.folder / "scheduler.json"
        host = ["--host", "tls://127.0.0.1" if self.tls else "tcp://127.0.0.1", "--port", "0"]
        self.scheduler = self._started("scheduler", *host, "--no-dashboard", "--scheduler-file", str(told))
        self._wait_until(told.exists, "scheduler")
        time.sleep(0.2)
        self.address = json.loads(told.read_text(encoding="utf-8"))["address"]
        plain = ["--nthreads", "1", "--no-nanny", "--no-dashboard", "--local-directory", str(self.folder)]
        for _ in range(self.workers):
            self.worker_processes.append(self._started("worker", self.address, *plain))
        self._wait_until(lambda: self._log("worker").count("Registered to") >= self.workers, "worker")
        return self

    def __exit__(
        self, kind: type[BaseException] | None, value: BaseException | None, trace: TracebackType | None
    ) -> None:
        for process in [*self.worker_processes, *([self.scheduler] if self.scheduler else [])]:
            if process.poll() is None:
                process.terminate()
            try:
                process.wait(10)
            except subprocess.TimeoutExpired:
                process.kill()
                process.wait()

    def kill_a_worker(self) -> int:
        """Ends a worker without warning, as a power cut would; returns what it died of."""
        process = self.worker_processes[0]
        os.kill(process.pid, signal.SIGKILL)
        return process.wait()

    def _started(self, what: str, *arguments: str) -> subprocess.Popen[bytes]:
        root = Path(__file__).parents[2]  # where the program is imported from, as on a machine it is installed on
        with (self.folder / f"{what}.log").open("ab") as log:
            return subprocess.Popen(
                [sys.executable, "-m", "dask", what, *arguments, *self.tls],
                cwd=root,
                stdout=log,
                stderr=log,
                env={**os.environ, "PYTHONPATH": str(root), "PYTHONWARNINGS": "default"},
            )

    def _log(self, what: str) -> str:
        return (self.folder / f"{what}.log").read_text(encoding="utf-8", errors="replace")

    def _wait_until(self, is_so: Callable[[], bool], what: str) -> None:
        deadline = time.monotonic() + SECONDS_TO_START
        while not is_so():
            if time.monotonic() > deadline:
                raise TimeoutError(f"The {what} did not start: {self._log(what)}")
            time.sleep(0.05)
