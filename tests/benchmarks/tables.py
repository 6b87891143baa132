"""All tables of every squad: rates, gaps, aim and readiness of every player, beside pandas, statsmodels and SciPy.

``python -m tests.benchmarks.tables ours|theirs|again DATABASE`` does the work once and says what it took; opening the
database and loading the libraries is left out for both.
"""

from __future__ import annotations

import json
import sys
import tempfile
import time
import warnings
from collections.abc import Callable
from pathlib import Path

import duckdb
import numpy as np
import pandas as pd  # noqa: TID251  the referee
from numpy.typing import NDArray
from scipy.optimize import minimize
from scipy.special import ndtr

from tests.benchmarks.grown import grown_apart
from tests.benchmarks.spent import Line, Spent, spent

STRIKES = 5_000_000


def lines(*, strikes: int = STRIKES, folder: Path | None = None) -> list[Line]:
    """The tables of squads with so many strikes."""
    with tempfile.TemporaryDirectory(prefix="strike-ladder-benchmark-", dir=folder) as scratch:
        database = str(grown_apart(Path(scratch) / "grown.duckdb", strikes=strikes))
        ours, again, theirs = (
            _spent(what, database, runs) for what, runs in (("ours", 3), ("again", 1), ("theirs", 1))
        )
    referee = "pandas, statsmodels (clustered rates, StratifiedTable), SciPy's minimize (aim), a cumulative sum each"
    return [
        Line(work=f"all squad tables over {strikes:,} strikes", ours=ours, referee=referee, theirs=theirs),
        Line(work="readiness after one more practice", ours=again, referee="our tables from nothing", theirs=ours),
    ]


def _spent(what: str, database: str, runs: int) -> Spent:
    return spent([sys.executable, "-m", "tests.benchmarks.tables", what, database], runs=runs)


def ours(path: str) -> Callable[[], object]:
    """Our tables of everybody."""
    from tracker.review.accuracy import accuracy
    from tracker.review.aim import aim
    from tracker.review.gap import foot_gap
    from tracker.review.readiness import readiness
    from tracker.review.scope import Scope
    from tracker.store.database import Database

    database = Database.open(Path(path))
    return lambda: [table(database, Scope()) for table in (accuracy, foot_gap, readiness, aim)]


def again(path: str) -> Callable[[], object]:
    """Readiness once more, after a practice of one squad was added to what was looked at already."""
    from tracker.review.readiness import readiness
    from tracker.review.scope import Scope
    from tracker.store.database import Database

    database = Database.open(Path(path))
    readiness(database, Scope())
    with database._connection.cursor() as cursor:
        cursor.execute(ONE_MORE_PRACTICE).fetchall()
    database.changes += 1
    return lambda: readiness(database, Scope())


ONE_MORE_PRACTICE = """
insert into practice (practice_id, squad_id, held_on, week, label)
select uuidv7(), squad_id, held_on, week, 'one more' from practice order by held_on desc limit 1;
insert into strike (
    strike_id, practice_id, player_id, stage, foot, surface, outcome, miss, distance_m, target_width_m, struck_at,
    source
)
select
    uuidv7(), (select practice_id from practice where label = 'one more'), player_id, stage, foot, surface, outcome,
    miss, distance_m, target_width_m, struck_at + interval 1 hour, source
from strike
where practice_id = (
    select last.practice_id
    from practice as last
    inner join practice as more on last.squad_id = more.squad_id and more.label = 'one more' and last.label = ''
    where last.practice_id in (select practice_id from strike)
    order by last.held_on desc limit 1
);
"""

READ = """
select player.display_name as player, player.preferred_foot::varchar as preferred, foot::varchar as foot, stage,
    strike.practice_id::varchar as practice, surface::varchar as surface, round(distance_m) as distance, distance_m,
    target_width_m, outcome = 'on target' as hit, miss::varchar as miss, struck_at
from strike inner join player using (player_id)
where outcome <> 'blocked'
"""


def theirs(path: str) -> Callable[[], object]:
    """The tables as somebody with pandas would make them; aim without its profile intervals."""
    import statsmodels.api as sm
    from statsmodels.stats.contingency_tables import StratifiedTable

    connection = duckdb.connect(path, read_only=True)

    def tables() -> object:
        warnings.simplefilter("ignore")
        strikes = connection.sql(READ).df().astype({"hit": int})
        for name in ("player", "foot", "stage", "practice", "surface", "preferred"):
            strikes[name] = strikes[name].astype("category")
        rates, aims = {}, {}
        for who, part in strikes.groupby(["player", "foot"], observed=True):
            groups = {"groups": part.practice.cat.codes.to_numpy()}
            rates[who] = (
                sm.OLS(part.hit.to_numpy(), np.ones(len(part))).fit(cov_type="cluster", cov_kwds=groups).conf_int()
            )
            aims[who] = _aim_of(part)
        gaps = {
            who: StratifiedTable(tables).oddsratio_pooled_confint()
            for who, part in strikes.groupby(["player", "stage"], observed=True)
            if (tables := _two_by_two(part))
        }
        ordered = strikes.sort_values(["player", "foot", "stage", "struck_at"])
        scores = {
            who: _score_of(part.hit.to_numpy())
            for who, part in ordered.groupby(["player", "foot", "stage"], observed=True)
        }
        return rates, aims, gaps, scores

    return tables


def _aim_of(part: pd.DataFrame) -> NDArray[np.float64]:
    half = np.degrees(np.arctan(part.target_width_m / 2 / part.distance_m))
    sided = part.assign(half=half)[(part.hit == 1) | part.miss.isin(["left", "right"])]
    counts = sided.groupby("half").agg(
        hit=("hit", "sum"), left=("miss", lambda x: (x == "left").sum()), strikes=("hit", "size")
    )
    angle, hit, left = counts.index.to_numpy(), counts.hit.to_numpy(), counts.left.to_numpy()
    right = counts.strikes.to_numpy() - hit - left

    def loss(at: NDArray[np.float64]) -> float:
        bias, spread = at[0], np.exp(at[1])
        below, above = ndtr((-angle - bias) / spread), ndtr((bias - angle) / spread)
        return -float(np.sum(left * np.log(below) + right * np.log(above) + hit * np.log(1 - below - above)))

    best: NDArray[np.float64] = minimize(loss, [0.0, 2.0]).x
    return best


def _two_by_two(part: pd.DataFrame) -> list[NDArray[np.int64]]:
    is_preferred = part.foot.astype(str) == part.preferred.astype(str)
    counts = (
        part.assign(is_preferred=is_preferred)
        .groupby(["distance", "surface", "is_preferred"], observed=True)
        .hit.agg(["sum", "size"])
    )
    found = []
    for _, both in counts.groupby(level=[0, 1], observed=True):
        if len(both) == 2:
            found.append(np.column_stack([both["sum"], both["size"] - both["sum"]]))
    return found


def _score_of(hit: NDArray[np.int64]) -> float:
    total = np.cumsum(np.where(hit == 1, 0.288, -0.693))
    return float(total[-1] - min(0.0, total.min()))


if __name__ == "__main__":
    work = {"ours": ours, "theirs": theirs, "again": again}[sys.argv[1]](sys.argv[2])
    clock, cpu = time.perf_counter(), time.process_time()
    work()
    print(json.dumps({"seconds": time.perf_counter() - clock, "cpu_seconds": time.process_time() - cpu}))  # noqa: T201
