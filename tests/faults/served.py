"""A real ``strikeladder serve`` on a file, phones that log on it, and what they were promised."""

from __future__ import annotations

import random
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Self

import httpx2
import polars as pl

from tests.builders import SquadBuilder
from tracker.domain.identity import uuid7
from tracker.review.integrity import faults
from tracker.review.pad import PadPass, give_pass
from tracker.serve.outlet import free_port
from tracker.store.database import Database

ROOT = Path(__file__).parents[2]
LONGEST_START_SECONDS = 240.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Outcome:
    """What came of a fault: strikes acknowledged, of those lost, stored twice; the slowest way back in seconds."""

    fault: str
    tries: int
    acknowledged: int
    lost: int
    doubled: int
    seconds: float
    note: str = ""


@dataclass(kw_only=True, slots=True)
class Ledger:
    """Every strike the phones made, and those they were told are stored."""

    made: set[str] = field(default_factory=set)
    acknowledged: set[str] = field(default_factory=set)
    refusals: list[str] = field(default_factory=list)

    def outcome(self, fault: str, path: Path, *, tries: int, seconds: float, note: str = "") -> Outcome:
        """Opens the file, checks it, and compares what it holds with what was promised."""
        with Database.open(path) as database:
            wrong = faults(database).filter(pl.col("faults") > 0)
            assert not wrong.height, wrong
            stored = [str(one) for (one,) in rows(database, "select strike_id::varchar from strike")]
        lost = self.acknowledged - set(stored)
        doubled = len(stored) - len(set(stored) & self.made)
        return Outcome(
            fault=fault,
            tries=tries,
            acknowledged=len(self.acknowledged),
            lost=len(lost),
            doubled=doubled,
            seconds=seconds,
            note=note,
        )


def rows(database: Database, statement: str) -> list[tuple[object, ...]]:
    """The rows of a statement that is no part of the program."""
    found: list[tuple[object, ...]] = database._connection.execute(statement).fetchall()
    return found


@dataclass(kw_only=True, slots=True)
class Club:
    """A database file with a squad, today's practice, and a pass for each phone."""

    path: Path
    passes: list[PadPass]
    player_id: str

    @classmethod
    def make(cls, path: Path, *, phones: int = 8) -> Club:
        """A new file."""
        with Database.open(path, create=True) as database:
            squad = SquadBuilder.start(database, "Quillhaven U12", Ana="right", Ben="left")
            practice = squad.practice(datetime.now().astimezone().date())
            passes = [give_pass(database, practice, logger=f"Phone {number}") for number in range(phones)]
            return cls(path=path, passes=passes, player_id=str(squad.player("Ana").player_id))

    def strike(self, given: PadPass, **changed: object) -> dict[str, object]:
        """A strike as the page sends it."""
        return {
            "strike_id": str(uuid7()),
            "practice": str(given.practice_id),
            "player": self.player_id,
            "stage": "Rolling ball",
            "foot": "left",
            "outcome": "on target",
            "struck_at": datetime.now(UTC).isoformat(),
        } | changed


class Server:
    """The process. ``seconds`` is how long it took until it answered."""

    def __init__(self, path: Path, *, before: str = "", file_limit_bytes: int | None = None) -> None:
        self.port = free_port(0)  # any: many may look for one at this moment
        said = path.with_suffix(".said")
        self.base = f"http://127.0.0.1:{self.port}"
        # Limits and clocks are set inside the child: a thread of this process may hold a lock while it forks.
        limit = (
            f"from resource import *; setrlimit(RLIMIT_FSIZE, ({file_limit_bytes}, RLIM_INFINITY))\n"
            if file_limit_bytes
            else ""
        )
        code = f"{limit}{before}\nfrom tracker.cli.main import main\nmain()"
        command = [sys.executable, "-c", code, "serve", "--no-browser", "--port", str(self.port), "--db", str(path)]
        start = time.monotonic()
        with said.open("w", encoding="utf-8") as file:
            self.process = subprocess.Popen(command, cwd=ROOT, stdout=file, stderr=file)
        while not self._answers():
            if self.process.poll() is not None or time.monotonic() - start > LONGEST_START_SECONDS:
                self.process.kill()
                raise AssertionError(f"the server did not start: {said.read_text(encoding='utf-8')}")
            time.sleep(0.05)
        self.seconds = time.monotonic() - start

    def _answers(self) -> bool:
        try:
            return httpx2.get(f"{self.base}/healthz", timeout=5).status_code == 200
        except httpx2.HTTPError:
            return False

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        if self.process.poll() is None:
            self.kill()

    def kill(self) -> None:
        """SIGKILL: nothing is tidied up."""
        self.process.kill()
        self.process.wait()

    def stop(self) -> None:
        """SIGTERM, as Ctrl+C does."""
        self.process.terminate()
        self.process.wait(timeout=30)


def wait_until(is_so: Callable[[], bool], *, seconds: float = 300.0) -> None:
    """Waits for something to become so; fails when it does not."""
    deadline = time.monotonic() + seconds
    while not is_so():
        assert time.monotonic() < deadline, "it took too long"
        time.sleep(0.02)


@contextmanager
def logging_on(club: Club, ledger: Ledger, base: str, *, most_a_call: int = 3) -> Iterator[None]:
    """Every phone logs as fast as it is answered while the block runs; what is not answered is brought again later."""
    stop = threading.Event()
    threads = [
        threading.Thread(target=_phone, args=(club, ledger, base, given, stop, most_a_call)) for given in club.passes
    ]
    for thread in threads:
        thread.start()
    try:
        yield
    finally:
        stop.set()
        for thread in threads:
            thread.join()


def _phone(club: Club, ledger: Ledger, base: str, given: PadPass, stop: threading.Event, most_a_call: int) -> None:
    waiting: list[dict[str, object]] = []
    headers = {"Authorization": f"Bearer {given.token}"}
    with httpx2.Client(base_url=base, headers=headers, timeout=20) as client:
        while not stop.is_set():
            if not waiting:
                waiting = [club.strike(given) for _ in range(random.randint(1, most_a_call))]
                ledger.made.update(str(one["strike_id"]) for one in waiting)
            try:
                answer = client.post("/api/strikes", json={"strikes": waiting})
            except httpx2.HTTPError:
                stop.wait(0.02)
                continue
            if answer.status_code != 200:
                ledger.refusals.append(f"{answer.status_code} {answer.text}")
                stop.wait(0.02)
                continue
            said = answer.json()
            ledger.acknowledged.update(said["stored"], said["already_there"])
            waiting = []
