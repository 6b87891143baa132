"""A full day on one server: many loggers with coaches reading beside them, and a season's worth of strikes at a run.

Run: ``python -m tests.benchmarks.load --loggers 64 --coaches 8 --seconds 300`` and
``python -m tests.benchmarks.load --soak 1000000``. Loopback only, and it ends by itself.

A coach is a session of the dashboard over its websocket, in Streamlit's own messages: the whole page is worked out and
sent, only no browser draws it. Each opens another page every ten seconds.
"""

from __future__ import annotations

import argparse
import asyncio
import os
import sys
import tempfile
import time
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from statistics import median, quantiles
from uuid import uuid4

import httpx2
from streamlit.proto.BackMsg_pb2 import BackMsg
from streamlit.proto.ForwardMsg_pb2 import ForwardMsg
from websockets.asyncio.client import connect

from tests.faults.served import Club, Server
from tracker.review.club import players
from tracker.review.demonstration import demo_database
from tracker.review.logbook import practice_on
from tracker.review.pad import PadPass, give_pass
from tracker.review.scope import squad_named
from tracker.store.database import Database

PAGES = ("", "squad", "player", "feet", "ladder", "setup")
SECONDS_BETWEEN_PAGES = 10.0
STRIKES_A_CALL = 500


@dataclass(kw_only=True, slots=True)
class Growth:
    """Samples over the run: seconds; megabytes: resident in the server, of the file, of its write-ahead file."""

    samples: list[tuple[float, float, float, float]] = field(default_factory=list)

    async def watch(self, server: Server, path: Path, *, every: float) -> None:
        """Samples until it is cancelled."""
        start = time.monotonic()
        wal = path.with_name(f"{path.name}.wal")
        while True:
            status = Path(f"/proc/{server.process.pid}/status").read_text(encoding="ascii")
            resident = next(int(line.split()[1]) for line in status.splitlines() if line.startswith("VmRSS"))
            sizes = [one.stat().st_size / 1e6 if one.exists() else 0.0 for one in (path, wal)]
            self.samples.append((time.monotonic() - start, resident / 1024, *sizes))
            await asyncio.sleep(every)


def main() -> None:
    """Prints Markdown tables."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--loggers", type=int, default=64)
    parser.add_argument("--coaches", type=int, default=8)
    parser.add_argument("--seconds", type=int, default=300)
    parser.add_argument("--at-most", type=int, default=3600, metavar="SECONDS", help="end a soak then")
    parser.add_argument("--soak", type=int, default=0, metavar="STRIKES", help="instead: so many strikes at a run")
    asked = parser.parse_args()
    growth, out = Growth(), sys.stdout.write
    with tempfile.TemporaryDirectory(prefix="strike-ladder-load-") as scratch:
        club, before = prepared(Path(scratch), phones=1 if asked.soak else asked.loggers)
        with Server(club.path) as server:
            start = time.monotonic()
            if asked.soak:
                acknowledged, pages = (
                    asyncio.run(soak(club, server, growth, strikes=asked.soak, at_most=asked.at_most)),
                    [],
                )
            else:
                acknowledged, pages = asyncio.run(day(club, server, growth, asked.coaches, asked.seconds))
            seconds = time.monotonic() - start
            server.stop()
        with Database.open(club.path) as database:
            stored = database.query("counts")["strikes"][0] - before
            faults = database.faults()["faults"].sum()
    out(f"{seconds:.0f} s, load average of the machine {os.getloadavg()[1]:.1f} over five minutes\n\n")
    out("| what | number | p50 ms | p95 ms | most ms |\n| --- | --: | --: | --: | --: |\n")
    called = f"call of {STRIKES_A_CALL} strikes" if asked.soak else "strike to committed answer"
    for name, times in ((called, acknowledged), ("page of a coach, whole", pages)):
        if len(times) > 1:
            p95 = quantiles(times, n=20)[18]
            out(f"| {name} | {len(times)} | {median(times):.0f} | {p95:.0f} | {max(times):.0f} |\n")
    told = len(acknowledged) * (STRIKES_A_CALL if asked.soak else 1)
    out(f"\nAcknowledged {told}, stored {stored}, faults found by check {faults}.\n\n")
    out("| second | resident MB | file MB | write-ahead MB |\n| --: | --: | --: | --: |\n")
    step = max(1, len(growth.samples) // 10)
    for sample in growth.samples[::step]:
        out("| " + " | ".join(f"{value:.0f}" for value in sample) + " |\n")


def prepared(folder: Path, *, phones: int) -> tuple[Club, int]:
    """The demo season with a pass for each phone, and how many strikes it holds."""
    with demo_database(folder) as database:
        squad = squad_named(database, None)
        practice = practice_on(database, squad, datetime.now().astimezone().date())
        passes = [give_pass(database, practice, logger=f"Phone {number}") for number in range(phones)]
        player_id = str(players(database, squad)[0].player_id)
        strikes = database.query("counts")["strikes"][0]
    return Club(path=folder / "demo.duckdb", passes=passes, player_id=player_id), strikes


async def day(
    club: Club, server: Server, growth: Growth, coaches: int, seconds: int
) -> tuple[list[float], list[float]]:
    """Milliseconds of every acknowledged strike, and of every page a coach opened."""
    watching = asyncio.create_task(growth.watch(server, club.path, every=seconds / 20))
    loggers = [
        logger(club, server, given, seconds, delay=number / len(club.passes))
        for number, given in enumerate(club.passes)
    ]
    readers = [coach(server, number, seconds) for number in range(coaches)]
    found = await asyncio.gather(*loggers, *readers)
    watching.cancel()
    return [one for times in found[: len(loggers)] for one in times], [
        one for times in found[len(loggers) :] for one in times
    ]


async def logger(club: Club, server: Server, given: PadPass, seconds: int, *, delay: float) -> list[float]:
    """One strike a second, brought again until it is acknowledged; milliseconds from the first sending of each."""
    times: list[float] = []
    await asyncio.sleep(delay)
    ends = time.monotonic() + seconds
    headers = {"Authorization": f"Bearer {given.token}"}
    async with httpx2.AsyncClient(base_url=server.base, headers=headers, timeout=60) as client:
        while time.monotonic() < ends:
            strike = club.strike(given)
            start = time.perf_counter()
            while True:
                try:
                    answer = (await client.post("/api/strikes", json={"strikes": [strike]})).json()
                except httpx2.HTTPError:
                    continue
                if strike["strike_id"] in answer["stored"] + answer["already_there"]:
                    break
            taken = time.perf_counter() - start
            times.append(1000 * taken)
            await asyncio.sleep(max(0.0, 1 - taken))
    return times


async def coach(server: Server, number: int, seconds: int) -> list[float]:
    """Opens a page every ten seconds; milliseconds from asking until the script is through."""
    times: list[float] = []
    await asyncio.sleep(number * SECONDS_BETWEEN_PAGES / 8)
    ends = time.monotonic() + seconds - number * SECONDS_BETWEEN_PAGES / 8
    address = f"ws://127.0.0.1:{server.port}/_stcore/stream"
    async with connect(
        address, subprotocols=["streamlit"], max_size=None, open_timeout=120, ping_interval=None
    ) as socket:
        turn = number
        while time.monotonic() < ends:
            asked = BackMsg()
            asked.rerun_script.page_name = PAGES[turn % len(PAGES)]
            start = time.perf_counter()
            await socket.send(asked.SerializeToString())
            while True:
                message = ForwardMsg()
                message.ParseFromString(await socket.recv())
                if message.WhichOneof("type") == "script_finished":
                    break
            taken = time.perf_counter() - start
            times.append(1000 * taken)
            turn += 1
            await asyncio.sleep(max(0.0, SECONDS_BETWEEN_PAGES - taken))
    return times


async def soak(club: Club, server: Server, growth: Growth, *, strikes: int, at_most: float) -> list[float]:
    """Milliseconds of each call of 500 strikes, two callers side by side, until all are acknowledged, or time is up."""
    watching = asyncio.create_task(growth.watch(server, club.path, every=5.0))
    calls, ends = iter(range(strikes // STRIKES_A_CALL)), time.monotonic() + at_most
    times: list[float] = []
    given = club.passes[0]

    async def caller() -> None:
        headers = {"Authorization": f"Bearer {given.token}"}
        async with httpx2.AsyncClient(base_url=server.base, headers=headers, timeout=120) as client:
            for _ in calls:
                if time.monotonic() > ends:
                    return
                body = {"strikes": [club.strike(given, strike_id=str(uuid4())) for _ in range(STRIKES_A_CALL)]}
                start = time.perf_counter()
                answer = await client.post("/api/strikes", json=body)
                taken = time.perf_counter() - start
                assert len(answer.json()["stored"]) == STRIKES_A_CALL
                times.append(1000 * taken)

    await asyncio.gather(caller(), caller())
    watching.cancel()
    return times


if __name__ == "__main__":
    main()
