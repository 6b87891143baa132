"""A federation's lake, counted here and by dask workers, one of them killed. ``python -m tests.benchmarks.lake``.

The tallies are drawn directly (``tests/lake/made_lake.py``): clubs of 200 players and 80 practices a season, about half
a million strikes a club and season. Prints a Markdown table; every run must give the same rows as the first, exactly.
Files and processes are gone when it ends.
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import polars as pl

from tests.lake.dask_processes import DaskProcesses
from tests.lake.made_lake import club_uuid, made_part
from tracker.lake.counts import LakeCounts, lake_counts
from tracker.lake.dask_runner import DaskRunner
from tracker.lake.norms import norms_of
from tracker.lake.rates import LakeDimension, lake_rates
from tracker.lake.runner import LineRunner, PoolRunner
from tracker.store.lake import part_of, write_rows

STRIKES = 100_000_000
PLAYERS, PRACTICES = 200, 80
TICKS_A_SECOND = os.sysconf("SC_CLK_TCK")


@dataclass(frozen=True, kw_only=True, slots=True)
class Run:
    """One count of the whole lake: seconds on the clock, CPU seconds of all processes, and the largest worker in MB.

    ``busiest_cpu_seconds`` are those of the busiest worker: about what it takes on free processors, whatever else the
    machine does. For runs on this machine they are those of all processes.
    """

    what: str
    seconds: float
    cpu_seconds: float
    busiest_cpu_seconds: float
    largest_mb: float
    is_equal: bool

    def row(self, strikes: int, workers: int) -> str:
        """A row of the Markdown table."""
        return (
            f"| {self.what} | {self.seconds:.1f} | {self.cpu_seconds:.1f} | "
            f"{self.busiest_cpu_seconds:.1f} | {strikes / self.busiest_cpu_seconds / workers / 1e6:.1f} | "
            f"{self.largest_mb:.0f} | {'yes' if self.is_equal else 'NO'} |"
        )


def cpu_of(pid: int) -> float:
    """CPU seconds a process has used, user and system; 0 for one that is gone."""
    try:
        fields = Path(f"/proc/{pid}/stat").read_text(encoding="utf-8").rsplit(")", 1)[1].split()
    except OSError:
        return 0.0
    return (int(fields[11]) + int(fields[12])) / TICKS_A_SECOND


def peak_mb_of(pid: int) -> float:
    """The largest resident memory a process has had, MB; 0 for one that is gone."""
    try:
        lines = Path(f"/proc/{pid}/status").read_text(encoding="utf-8").splitlines()
    except OSError:
        return 0.0
    return next((int(line.split()[1]) / 1024 for line in lines if line.startswith("VmHWM")), 0.0)


def timed(
    what: str, count: Callable[[], LakeCounts], reference: LakeCounts | None, pids: Sequence[int] = ()
) -> tuple[Run, LakeCounts]:
    """Counts once, and compares every row with the reference. ``pids``: the scheduler, then the workers."""
    pids = [os.getpid(), *pids]
    own, before, start = os.times(), [cpu_of(pid) for pid in pids], time.perf_counter()
    counts = count()
    seconds, after = time.perf_counter() - start, os.times()
    of_children = after.children_user + after.children_system - own.children_user - own.children_system
    each = [max(cpu_of(pid) - earlier, 0.0) for pid, earlier in zip(pids, before, strict=True)]
    used, busiest = sum(each) + of_children, max(each[2:] or [sum(each) + of_children])
    is_equal = reference is None or (
        counts.by_player.equals(reference.by_player) and counts.by_practice_size.equals(reference.by_practice_size)
    )
    largest = max(peak_mb_of(pid) for pid in pids[2:] or pids)
    run = Run(
        what=what,
        seconds=seconds,
        cpu_seconds=used,
        busiest_cpu_seconds=busiest,
        largest_mb=largest,
        is_equal=is_equal,
    )
    return run, counts


def on_dask(files: list[Path], reference: LakeCounts, *, workers: int, kill: bool = False) -> Run:
    """Counts on dask workers; with ``kill`` one of them is ended when a third of the sums are there."""
    with (
        tempfile.TemporaryDirectory(prefix="lake-dask-") as folder,
        DaskProcesses(folder=Path(folder), workers=workers) as dask,
    ):
        results = Path(folder) / "results"

        def kill_on_the_way() -> None:
            while not results.exists() or len(list(results.iterdir())) < 2 * len(files) // 3:
                time.sleep(0.02)
            dask.kill_a_worker()

        killer = threading.Thread(target=kill_on_the_way, daemon=True)
        if kill:
            killer.start()
        assert dask.scheduler is not None
        pids = [dask.scheduler.pid, *(one.pid for one in dask.worker_processes)]
        runner = DaskRunner(scheduler=dask.address)
        what = f"dask, {workers} worker{'s' if workers > 1 else ''}{', one killed at a third' if kill else ''}"
        run, _ = timed(what, lambda: lake_counts(runner, files, results=results if kill else None), reference, pids)
        return run


def write_clubs(folder: Path, *, strikes: int) -> tuple[list[Path], int, int]:
    """Parts of clubs over two seasons until there are so many strikes: the files, the strikes and the rows in them."""
    files: list[Path] = []
    written = rows = 0
    while written < strikes:
        club, season = divmod(len(files), 2)
        part = made_part(club=club, season=season, players=PLAYERS, practices=PRACTICES)
        file = part_of(folder, club_id=club_uuid(club), season=part["season"][0])
        write_rows(file, part)
        files.append(file)
        written, rows = written + int(part["attempts"].sum()), rows + part.height
    return files, written, rows


def main() -> None:
    """Prints the table."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.lake", description=__doc__)
    parser.add_argument("--strikes", type=int, default=STRIKES, help="strikes in the lake (default: %(default)s)")
    asked = parser.parse_args().strikes
    out = sys.stdout.write
    with tempfile.TemporaryDirectory(prefix="strike-ladder-lake-") as name:
        start = time.perf_counter()
        files, strikes, rows = write_clubs(Path(name), strikes=asked)
        size = sum(file.stat().st_size for file in files)
        out(
            f"{strikes:,} strikes as {rows:,} rows in {len(files)} parts, {size / 1e6:.1f} MB "
            f"({size / strikes:.2f} bytes a strike), drawn in {time.perf_counter() - start:.0f} s\n\n"
            "| counted by | s | CPU s | busiest worker CPU s | M strikes a worker and CPU s "
            "| largest worker MB | equal |\n"
            "| --- | --: | --: | --: | --: | --: | --- |\n"
        )
        first, counts = timed("local, one process", lambda: lake_counts(LineRunner(), files), None)
        out(first.row(strikes, 1) + "\n")
        pool, _ = timed("local, --workers 2", lambda: lake_counts(PoolRunner(workers=2), files), counts)
        out(pool.row(strikes, 1) + "\n")
        for workers, kill in ((1, False), (2, False), (2, True)):
            out(on_dask(files, counts, workers=workers, kill=kill).row(strikes, workers) + "\n")
            sys.stdout.flush()
        out(f"\n{after_the_count(counts)}\n")


def after_the_count(counts: LakeCounts) -> str:
    """How long the statistics take over the sums, in words."""
    times: list[tuple[str, float, pl.DataFrame | list[object]]] = []
    for what, ask in (
        ("rates by age band, stage and foot", lambda: lake_rates(counts)),
        ("rates by player and foot", lambda: lake_rates(counts, by=[LakeDimension.PLAYER, LakeDimension.FOOT])),
        ("norms", lambda: norms_of(counts)),
    ):
        start = time.process_time()
        answer = ask()
        times.append((what, time.process_time() - start, answer))  # type: ignore[arg-type]
    words = ", ".join(f"{what} {seconds:.1f} CPU s ({len(answer):,} rows)" for what, seconds, answer in times)
    return f"Then, from {counts.by_player.height:,} merged rows: {words}."


if __name__ == "__main__":
    main()
