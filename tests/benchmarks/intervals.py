"""A million intervals, ours beside statsmodels' on the same arrays in the same run.

Run: ``python -m tests.benchmarks.intervals``. The best of three runs each, and the ratio.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable

import numpy as np
from statsmodels.stats.proportion import proportion_confint

from tracker.domain.vocabulary import IntervalMethod
from tracker.stats.proportion import proportion

ROWS = 1_000_000
METHODS = {IntervalMethod.WILSON: "wilson", IntervalMethod.CLOPPER_PEARSON: "beta"}


def main() -> None:
    """Prints one Markdown table."""
    random = np.random.default_rng(7)
    attempts = random.integers(1, 400, ROWS)
    hits = random.binomial(attempts, random.uniform(0, 1, ROWS))
    out = sys.stdout.write
    out("| a million intervals | ours s | statsmodels s | ratio |\n| --- | --: | --: | --: |\n")
    for method, name in METHODS.items():
        ours = best_of_three(lambda method=method: proportion(hits, attempts, method=method))
        theirs = best_of_three(lambda name=name: proportion_confint(hits, attempts, method=name))
        out(f"| {method.value} | {ours:.3f} | {theirs:.3f} | {ours / theirs:.2f} |\n")


def best_of_three(work: Callable[[], object]) -> float:
    """Seconds of the quickest of three runs."""
    times = []
    for _ in range(3):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


if __name__ == "__main__":
    main()
