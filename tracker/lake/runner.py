"""Where the work on many parts runs: in line, on the processors of this machine, or on others (``dask_runner``)."""

from __future__ import annotations

import multiprocessing
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from typing import Protocol, TypeVar

from tracker.errors import RequestError

Job = TypeVar("Job")
Result = TypeVar("Result")


class Runner(Protocol):
    """Does one piece of work for many jobs. A job must be pure: it may be done twice, when a worker is lost."""

    def map(self, work: Callable[[Job], Result], jobs: Sequence[Job]) -> list[Result]:
        """The result of every job, in the order of the jobs."""


@dataclass(frozen=True, kw_only=True, slots=True)
class LineRunner:
    """One job after another, in this process."""

    def map(self, work: Callable[[Job], Result], jobs: Sequence[Job]) -> list[Result]:
        """The result of every job, in the order of the jobs."""
        return [work(job) for job in jobs]


@dataclass(frozen=True, kw_only=True, slots=True)
class PoolRunner:
    """A few processes on this machine."""

    workers: int

    def map(self, work: Callable[[Job], Result], jobs: Sequence[Job]) -> list[Result]:
        """The result of every job, in the order of the jobs. Raises RequestError when a process was ended."""
        # Spawned: a forked process would share the threads and locks of DuckDB and polars.
        spawned = multiprocessing.get_context("spawn")
        with ProcessPoolExecutor(self.workers, mp_context=spawned) as pool:
            try:
                return list(pool.map(work, jobs, chunksize=1 + len(jobs) // (16 * self.workers)))
            except BrokenProcessPool as error:
                raise RequestError(
                    "A worker process was ended from outside, perhaps for want of memory. "
                    "Try again with fewer --workers."
                ) from error
