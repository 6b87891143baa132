"""Tries thousands of hostile inputs at every door and prints what came of them, as a Markdown table.

Run: ``python -m tests.hostile --inputs 10000``, or one door with ``--door "strike CSV"``. Exit code 1 where anything
crashed, was stored in part or took longer than five seconds; the first inputs that did so are shown.
"""

from __future__ import annotations

import argparse
import logging
import random
import sys
import warnings
from collections import Counter
from dataclasses import dataclass, field
from typing import Any

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import seed as seeded

from tests.hostile.surfaces import LONGEST_SECONDS, Door, Surface, Verdict, opened

MOST_SHOWN = 5
FRESH_AFTER = 1000


@dataclass(kw_only=True, slots=True)
class Tally:
    """What came of the inputs tried at one door."""

    inputs: int = 0
    refused: int = 0
    crashes: int = 0
    half_stored: int = 0
    hangs: int = 0
    longest_seconds: float = 0.0
    shown: list[tuple[Any, Verdict]] = field(default_factory=list)
    kinds: Counter[str] = field(default_factory=Counter)

    def add(self, thing: Any, verdict: Verdict) -> None:
        """Counts one input."""
        self.inputs += 1
        self.refused += verdict.refused is not None
        self.crashes += verdict.crash is not None
        self.half_stored += verdict.half_stored is not None
        self.hangs += verdict.seconds > LONGEST_SECONDS
        self.longest_seconds = max(self.longest_seconds, verdict.seconds)
        if verdict.is_fault:
            kind = (
                f"{type(verdict.crash).__name__}: {verdict.crash}"[:60]
                if verdict.crash
                else str(verdict.half_stored)[:60]
            )
            self.kinds[kind] += 1
            if self.kinds[kind] == 1 and len(self.shown) < MOST_SHOWN:
                self.shown.append((thing, verdict))

    @property
    def faults(self) -> int:
        """Inputs that did what none may."""
        return self.crashes + self.half_stored + self.hangs


def tried(door: Door, *, inputs: int, seed: int) -> Tally:
    """What comes of so many inputs at one door; behind it stands a fresh database every thousand."""
    tally = Tally()
    for start in range(0, inputs, FRESH_AFTER):
        with opened(door) as surface:
            _try(surface, tally, inputs=min(FRESH_AFTER, inputs - start), seed=seed + start)
    return tally


def _try(surface: Surface, tally: Tally, *, inputs: int, seed: int) -> None:
    @seeded(seed)
    @settings(
        max_examples=inputs,
        database=None,
        deadline=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(thing=surface.inputs)
    def attempt(thing: Any) -> None:
        tally.add(thing, surface.verdict(thing))

    attempt()


def main() -> int:
    """Prints one row a door."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--inputs", type=int, default=10_000)
    parser.add_argument("--door", choices=[door.value for door in Door], action="append")
    parser.add_argument("--seed", type=int, default=random.randrange(2**32))
    asked = parser.parse_args()
    warnings.simplefilter("ignore")
    logging.disable(logging.CRITICAL)
    _say(
        f"seed {asked.seed}\n\n"
        "| Surface | Inputs | Refused in a sentence | Tracebacks | Partial writes | Over 5 s | Longest, s |"
    )
    _say("| --- | ---: | ---: | ---: | ---: | ---: | ---: |")
    faults = 0
    for door in [Door(one) for one in asked.door] if asked.door else Door:
        tally = tried(door, inputs=asked.inputs, seed=asked.seed)
        _say(
            f"| {door.value} | {tally.inputs:,} | {tally.refused:,} | {tally.crashes} | {tally.half_stored} | "
            f"{tally.hangs} | {tally.longest_seconds:.2f} |"
        )
        for thing, verdict in tally.shown:
            _say(f"    {verdict.crash!r} {verdict.half_stored or ''} {verdict.seconds:.1f} s: {thing!r:.3000}")
        faults += tally.faults
    return 1 if faults else 0


def _say(text: str) -> None:
    sys.stdout.write(f"{text}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    sys.exit(main())
