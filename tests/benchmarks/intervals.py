"""A million intervals, ours beside statsmodels' on the same arrays in the same run.

The best of three runs each.
"""

from __future__ import annotations

import resource
import time
from collections.abc import Callable
from functools import partial

import numpy as np
from statsmodels.stats.proportion import proportion_confint

from tests.benchmarks.spent import HEAD, Line, Spent
from tracker.domain.vocabulary import IntervalMethod
from tracker.stats.proportion import proportion

ROWS = 1_000_000
METHODS = {IntervalMethod.WILSON: "wilson", IntervalMethod.CLOPPER_PEARSON: "beta"}


def lines() -> list[Line]:
    """Each kind of interval, whatever the strikes."""
    random = np.random.default_rng(7)
    attempts = random.integers(1, 400, ROWS)
    hits = random.binomial(attempts, random.uniform(0, 1, ROWS))
    return [
        Line(
            work=f"a million intervals: {method.value}",
            ours=best_of_three(partial(proportion, hits, attempts, method=method)),
            referee="statsmodels on the same arrays",
            theirs=best_of_three(partial(proportion_confint, hits, attempts, method=name)),
        )
        for method, name in METHODS.items()
    ]


def best_of_three(work: Callable[[], object]) -> Spent:
    """The quickest of three runs, in this process."""
    found = []
    for _ in range(3):
        clock, cpu = time.perf_counter(), time.process_time()
        work()
        found.append((time.process_time() - cpu, time.perf_counter() - clock))
    cpu_seconds, seconds = min(found)
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return Spent(seconds=seconds, cpu_seconds=cpu_seconds, memory_mb=memory)


if __name__ == "__main__":
    for line in [HEAD, *(one.markdown() for one in lines())]:
        print(line)  # noqa: T201
