"""What was broken on purpose, and what was lost.

Run: ``python -m tests.faults``. It takes several minutes, uses loopback and a temporary folder only, and prints one
Markdown table. Small disks are mounted where the user may (root on Linux), and left out elsewhere.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

from tests.faults import crashes, refusals
from tests.faults.served import Outcome


def main() -> None:
    """Prints the table; exit code 1 when anything was lost or doubled."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=30)
    parser.add_argument("--tears", type=int, default=100)
    asked = parser.parse_args()
    faults: list[Callable[[Path], list[Outcome] | Outcome | None]] = [
        lambda folder: crashes.torn(folder, tries=asked.tears),
        crashes.file_limit,
        lambda folder: crashes.disk_full(folder, rooms_kb=[150, 600, 2000]),
        lambda folder: crashes.checkpoint_without_room(folder, rooms_mb=[5, 16, 18, 20, 24]),
        refusals.read_only,
        refusals.clocks,
        lambda folder: refusals.two_processes(folder, tries=5),
        refusals.older_schemas,
        refusals.newer_version,
        lambda folder: crashes.killed(folder, tries=asked.kills),
    ]
    out = sys.stdout.write
    out("| fault | tries | acknowledged | lost | doubled | seconds to recover, at most | note |\n")
    out("| --- | --: | --: | --: | --: | --: | --- |\n")
    harmed = 0
    for fault in faults:
        with tempfile.TemporaryDirectory(prefix="strike-ladder-faults-") as folder:
            found = fault(Path(folder))
        for one in found if isinstance(found, list) else [found] if found else []:
            seconds = f"{one.seconds:.1f}" if one.seconds else "–"
            out(f"| {one.fault} | {one.tries} | {one.acknowledged} | {one.lost} | {one.doubled} | {seconds} | ")
            out(f"{one.note} |\n")
            sys.stdout.flush()
            harmed += one.lost + one.doubled
    sys.exit(int(harmed > 0))


if __name__ == "__main__":
    main()
