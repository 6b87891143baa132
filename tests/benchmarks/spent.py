"""What a piece of work takes: a process of its own, its time and its memory, the best of a few."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True, slots=True)
class Spent:
    """Seconds on the clock and of the processor (user and system, both cores), and the most memory held, MB."""

    seconds: float
    cpu_seconds: float
    memory_mb: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Line:
    """A row of the table: our work and the same work done by a referee in the same run."""

    work: str
    ours: Spent
    referee: str
    theirs: Spent

    def markdown(self) -> str:
        """The row: seconds and processor seconds of both, ratios of processor seconds, memory of both."""
        return (
            f"| {self.work} | {self.ours.seconds:.2f} ({self.ours.cpu_seconds:.2f}) | {self.referee} | "
            f"{self.theirs.seconds:.2f} ({self.theirs.cpu_seconds:.2f}) | "
            f"{self.ours.cpu_seconds / self.theirs.cpu_seconds:.2f} | "
            f"{self.ours.memory_mb:.0f} / {self.theirs.memory_mb:.0f} |"
        )


HEAD = (
    "| work | ours s (cpu) | referee: same work, same data, same run | its s (cpu) | cpu ratio | MB ours / its |\n"
    "| --- | ---: | --- | ---: | ---: | ---: |"
)


def spent(command: Sequence[str], *, runs: int = 3) -> Spent:
    """The quickest of a few runs of a process.

    A process that prints a last line of JSON with ``seconds`` and ``cpu_seconds`` says itself what the work took, its
    start left out; otherwise the whole process counts.
    """
    found = [_once(command) for _ in range(runs)]
    return min(found, key=lambda one: one.cpu_seconds)


def script(text: str, *arguments: str) -> list[str]:
    """The command that runs a Python text."""
    return [sys.executable, "-c", text, *arguments]


def _once(command: Sequence[str]) -> Spent:
    before = os.times()
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True) as process:
        assert process.stdout is not None
        said = process.stdout.read().strip().splitlines()
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        raise SystemExit(f"{' '.join(command)[:200]} ended with {process.returncode}")
    own = _own_words(said[-1] if said else "")
    return Spent(
        seconds=own.get("seconds", os.times().elapsed - before.elapsed),
        cpu_seconds=own.get("cpu_seconds", used.ru_utime + used.ru_stime),
        memory_mb=used.ru_maxrss / 1024,
    )


def _own_words(line: str) -> dict[str, float]:
    try:
        said = json.loads(line)
    except ValueError:
        return {}
    return said if isinstance(said, dict) and "cpu_seconds" in said else {}
