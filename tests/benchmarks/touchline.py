"""Many phones at a strike a second against the real server: is everything stored, and how long until the answer?

Run: ``python -m tests.benchmarks --only touchline --phones 16 --seconds 120``. Loopback only, and it ends by itself.
Beside it stands a bare single-row commit of DuckDB on the same disk, the least any server could take.
"""

from __future__ import annotations

import asyncio
import subprocess
import sys
import tempfile
import time
from datetime import UTC, datetime
from pathlib import Path
from statistics import median, quantiles
from uuid import uuid4

import duckdb
import httpx2

from tests.benchmarks.spent import Line, Spent
from tracker.review.club import players
from tracker.review.demonstration import demo_database
from tracker.review.logbook import practice_on
from tracker.review.pad import PadPass, give_pass
from tracker.review.scope import squad_named
from tracker.serve.outlet import free_port
from tracker.store.database import Database


def lines(*, phones: int, seconds: int) -> list[Line]:
    """The p95 from request to committed answer, beside that of a bare commit; times on the clock."""
    with tempfile.TemporaryDirectory(prefix="strike-ladder-load-") as scratch:
        bare = bare_commits(Path(scratch) / "bare.duckdb")
        answers, sent, stored = measured(Path(scratch), phones=phones, seconds=seconds)
    ours, theirs = (
        Spent(seconds=p95, cpu_seconds=p95, memory_mb=0.0)
        for p95 in (quantiles(times, n=20)[18] / 1000 for times in (answers, bare))
    )
    work = (
        f"{phones} phones, {seconds} s: p95 to the answer (sent {sent}, stored {stored}, p50 {median(answers):.0f} ms)"
    )
    return [Line(work=work, ours=ours, referee="p95 of a bare single-row commit, on the clock", theirs=theirs)]


def bare_commits(path: Path, *, rows: int = 300) -> list[float]:
    """Milliseconds of single-row commits into a table with a UUID key."""
    times = []
    with duckdb.connect(str(path)) as connection:
        connection.execute("create table strike (strike_id uuid primary key, outcome varchar)").fetchall()
        for _ in range(rows):
            start = time.perf_counter()
            connection.execute("insert into strike values (?, 'on target')", [uuid4()]).fetchall()
            times.append(1000 * (time.perf_counter() - start))
    return times


def measured(folder: Path, *, phones: int, seconds: int) -> tuple[list[float], int, int]:
    """Milliseconds to each answer, strikes sent, and strikes found in the database afterwards."""
    database = demo_database(folder)
    squad = squad_named(database, None)
    before = database.query("counts")["strikes"][0]
    practice = practice_on(database, squad, datetime.now().astimezone().date())
    passes = [give_pass(database, practice, logger=f"Phone {number}") for number in range(phones)]
    members = [str(one.player_id) for one in players(database, squad)]
    database.close()
    port = free_port(None)
    path = folder / "demo.duckdb"
    command = [
        sys.executable,
        "-m",
        "tracker.cli.main",
        "serve",
        "--no-browser",
        "--port",
        str(port),
        "--db",
        str(path),
    ]
    server = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        answers = asyncio.run(all_phones(f"http://127.0.0.1:{port}", passes, members, seconds))
    finally:
        server.terminate()
        server.wait(timeout=30)
    with Database.open(path) as again:
        stored = again.query("counts")["strikes"][0] - before
    return answers, phones * seconds, stored


async def all_phones(base: str, passes: list[PadPass], members: list[str], seconds: int) -> list[float]:
    """Every phone at once, each starting a little later than the one before."""
    async with httpx2.AsyncClient(base_url=base) as client:
        for _ in range(300):
            try:
                if (await client.get("/healthz")).status_code == 200:
                    break
            except httpx2.HTTPError:
                await asyncio.sleep(0.1)
    each = [
        phone(base, given, members[number % len(members)], seconds, delay=number / len(passes))
        for number, given in enumerate(passes)
    ]
    return [one for times in await asyncio.gather(*each) for one in times]


async def phone(base: str, given: PadPass, player: str, seconds: int, *, delay: float) -> list[float]:
    """One strike a second; milliseconds from sending each to its acknowledgement."""
    times: list[float] = []
    await asyncio.sleep(delay)
    headers = {"Authorization": f"Bearer {given.token}"}
    async with httpx2.AsyncClient(base_url=base, headers=headers, timeout=30) as client:
        for _ in range(seconds):
            strike = {
                "strike_id": str(uuid4()),
                "practice": str(given.practice_id),
                "player": player,
                "stage": "Rolling ball",
                "foot": "left",
                "outcome": "on target",
                "struck_at": datetime.now(UTC).isoformat(),
            }
            start = time.perf_counter()
            answer = await client.post("/api/strikes", json={"strikes": [strike]})
            taken = time.perf_counter() - start
            if answer.json()["stored"] == [strike["strike_id"]]:
                times.append(1000 * taken)
            await asyncio.sleep(max(0.0, 1 - taken))
    return times
