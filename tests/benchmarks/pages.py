"""A page drawn again, and another player chosen, over millions of strikes, beside an empty page of Streamlit.

``python -m tests.benchmarks.pages PAGE|empty|another DATABASE`` draws a page until it is warm, then again; *another*
turns to a player nobody has looked at. Without a browser: what the server does for a page, which is ours to make quick.
"""

from __future__ import annotations

import json
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from tests.benchmarks.grown import grown_apart
from tests.benchmarks.spent import Line, Spent, spent

APP = Path(__file__).parents[2] / "dashboards" / "app.py"
RERUNS = 5


def lines(*, strikes: int) -> list[Line]:
    """Every page that counts strikes."""
    with tempfile.TemporaryDirectory(prefix="strike-ladder-benchmark-") as scratch:
        database = str(grown_apart(Path(scratch) / "grown.duckdb", strikes=strikes))
        empty = drawn("empty", database)
        return [
            Line(
                work=f"page {name} again, over {strikes:,} strikes"
                if name != "another"
                else "another player, first look",
                ours=drawn(name, database),
                referee="an empty Streamlit page again",
                theirs=empty,
            )
            for name in ("squad", "player", "feet", "ladder", "another")
        ]


def drawn(what: str, database: str) -> Spent:
    """What one rerun takes."""
    return spent([sys.executable, "-m", "tests.benchmarks.pages", what, database], runs=1)


def work_on(what: str, database: str) -> Callable[[], object]:
    """A page that is warm, to be drawn once more."""
    from streamlit.testing.v1 import AppTest

    from tracker.serve.process import hold
    from tracker.serve.warming import warm_up
    from tracker.store.database import Database

    if what == "empty":
        page = AppTest.from_string("import streamlit as st\nst.title('Nothing')", default_timeout=600).run()
        return page.run
    held = Database.open(Path(database))
    hold(held)
    warm_up(held)
    page = AppTest.from_file(APP, default_timeout=600).run()
    page.switch_page(f"screens/{'player' if what == 'another' else what}.py").run()
    if what == "another":
        choice = next(one for one in page.selectbox if "player" in str(one.key))
        choice.set_value(choice.options[-1])
    else:
        page.run()
    return page.run


if __name__ == "__main__":
    again = work_on(sys.argv[1], sys.argv[2])
    best = (float("inf"), float("inf"))
    for _ in range(1 if sys.argv[1] == "another" else RERUNS):
        clock, cpu = time.perf_counter(), time.process_time()
        again()
        best = min(best, (time.process_time() - cpu, time.perf_counter() - clock))
    print(json.dumps({"seconds": best[1], "cpu_seconds": best[0]}))  # noqa: T201
