"""Faults that end the process, or the write, in the middle."""

from __future__ import annotations

import random
import shutil
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

import polars as pl

from tests.faults.served import ROOT, Club, Ledger, Outcome, Server, logging_on, wait_until
from tracker.domain.identity import uuid7
from tracker.errors import DatabaseError, DatabaseUnreadable
from tracker.review.backups import examined, restore
from tracker.serve.backup_route import ask_for_backup
from tracker.store.database import Database
from tracker.store.strikes import STRIKE_SCHEMA, append_strikes


def killed(folder: Path, *, tries: int, seed: int = 1) -> list[Outcome]:
    """SIGKILL at a random moment while eight phones log and backups are taken; restarted on the same file each time."""
    chance = random.Random(seed)
    club, ledger, slowest = Club.make(folder / "killed.duckdb"), Ledger(), 0.0
    promised: dict[Path, set[str]] = {}
    for number in range(tries):
        before, stop = len(ledger.acknowledged), threading.Event()
        with Server(club.path) as server, logging_on(club, ledger, server.base):
            slowest = max(slowest, server.seconds)
            copying = threading.Thread(target=_back_up, args=(club.path, number, ledger, promised, stop))
            copying.start()
            wait_until(lambda before=before: len(ledger.acknowledged) > before)
            time.sleep(chance.uniform(0.0, 1.5))
            server.kill()
            stop.set()
            copying.join()
    return [
        ledger.outcome("SIGKILL of the server under load", club.path, tries=tries, seconds=slowest),
        _kept_in_backups(ledger, promised),
    ]


def _back_up(path: Path, number: int, ledger: Ledger, promised: dict[Path, set[str]], stop: threading.Event) -> None:
    """Takes backups until the server is killed; notes what had been acknowledged when each was asked for."""
    taken = 0
    while not stop.is_set():
        target = path.with_name(f"copy-{number}-{taken}.duckdb")
        promised[target] = set(ledger.acknowledged)
        try:
            ask_for_backup(path, target)
        except (DatabaseError, FileNotFoundError):
            stop.wait(0.05)
        taken += 1


def _kept_in_backups(ledger: Ledger, promised: dict[Path, set[str]]) -> Outcome:
    """Whatever has a backup's name is whole, and has all that was acknowledged before it was asked for."""
    acknowledged = lost = doubled = whole = 0
    for file, ids in promised.items():
        if not file.exists():
            continue
        whole += 1
        assert examined(file).faults["faults"].sum() == 0
        with Database.open(file) as database:
            stored = [str(one) for (one,) in database._connection.execute("select strike_id from strike").fetchall()]
        acknowledged += len(ids)
        lost += len(ids - set(stored))
        doubled += len(stored) - len(set(stored) & ledger.made)
    note = f"{len(promised)} asked for, {whole} finished before the kill"
    return Outcome(
        fault="SIGKILL while a live backup is taken",
        tries=len(promised),
        acknowledged=acknowledged,
        lost=lost,
        doubled=doubled,
        seconds=0.0,
        note=note,
    )


_WRITER = """
import os, sys
from pathlib import Path
from tracker.store.database import Database
from tracker.store.strikes import STRIKE_SCHEMA, append_strikes
from tests.builders import SquadBuilder
from tracker.domain.vocabulary import Foot
from datetime import date
path = Path(sys.argv[1])
database = Database.open(path, create=True)
squad = SquadBuilder.start(database, "Quillhaven U12", Ana="right")
wal = path.with_name(path.name + ".wal")
for number in range(120):
    (strike,) = squad.strikes("Ana", Foot.LEFT, "+", day=date(2026, 3, 7))
    if number == 39:
        database._connection.execute("checkpoint").fetchall()
    print(strike.strike_id, wal.stat().st_size if wal.exists() else 0, flush=True)
os.kill(os.getpid(), 9)
"""


def torn(folder: Path, *, tries: int, seed: int = 1) -> list[Outcome]:
    """The write-ahead file cut short, and garbled, at random places: bits, blocks and tails."""
    path = folder / "torn.duckdb"
    made = subprocess.run([sys.executable, "-c", _WRITER, str(path)], cwd=ROOT, capture_output=True, text=True)
    ends = [(one, int(end)) for one, end in (line.split() for line in made.stdout.splitlines())]
    main, log = path.read_bytes(), path.with_name(f"{path.name}.wal").read_bytes()
    written = [(one, 0 if place < 40 else end) for place, (one, end) in enumerate(ends)]
    chance = random.Random(seed)
    return [_torn(folder, main, log, written, damage, tries, chance) for damage in ("cut short", "garbled")]


def _torn(
    folder: Path,
    main: bytes,
    log: bytes,
    written: list[tuple[str, int]],
    damage: str,
    tries: int,
    chance: random.Random,
) -> Outcome:
    lost = doubled = acknowledged = said = 0
    slowest = 0.0
    copy = folder / f"torn {damage}.duckdb"
    for number in range(tries):
        at = chance.randrange(len(log))
        copy.write_bytes(main)
        copy.with_name(f"{copy.name}.wal").write_bytes(log[:at] if damage == "cut short" else _garbled(log, at, chance))
        opened, start = copy, time.monotonic()
        try:
            Database.open(copy).close()
        except DatabaseUnreadable as error:
            said += "strikeladder restore" in str(error)
            opened = folder / f"mended {damage} {number}.duckdb"
            restore(copy, opened)
        slowest = max(slowest, time.monotonic() - start)
        with Database.open(opened) as database:
            stored = [str(one) for (one,) in database._connection.execute("select strike_id from strike").fetchall()]
        # An entry that was damaged takes its own commit and the later ones along, never an earlier one.
        before = {one for one, end in written if end <= at}
        acknowledged += len(before)
        lost += len(before - set(stored))
        doubled += len(stored) - len(set(stored))
        assert set(stored) == {one for one, _ in written[: len(stored)]}
    note = f"{said} refused with a sentence, mended by restore" if said else "opened at once"
    return Outcome(
        fault=f"write-ahead file {damage}",
        tries=tries,
        acknowledged=acknowledged,
        lost=lost,
        doubled=doubled,
        seconds=slowest,
        note=note,
    )


def _garbled(log: bytes, at: int, chance: random.Random) -> bytes:
    kind, changed = chance.choice(["bit", "block", "zeros", "noise"]), bytearray(log)
    if kind == "bit":
        changed[at] ^= 1 << chance.randrange(8)
    elif kind == "block":
        changed[at : at + 64] = chance.randbytes(len(changed[at : at + 64]))
    else:
        changed[at:] = bytes(len(log) - at) if kind == "zeros" else chance.randbytes(len(log) - at)
    return bytes(changed)


def file_limit(folder: Path, *, limit_bytes: int = 1_000_000) -> Outcome:
    """No room left in the file, by a limit the kernel sets the process; then a start without it."""
    club, ledger = Club.make(folder / "limited.duckdb"), Ledger()
    with Server(club.path, file_limit_bytes=limit_bytes) as server:
        with logging_on(club, ledger, server.base, most_a_call=400):
            wait_until(lambda: len(ledger.refusals) > 10)
        server.stop()
    before = len(ledger.acknowledged)
    with Server(club.path) as again:
        with logging_on(club, ledger, again.base):
            wait_until(lambda: len(ledger.acknowledged) > before)
        again.stop()
    return ledger.outcome("no room: file size limit", club.path, tries=1, seconds=again.seconds, note=_first(ledger))


def disk_full(folder: Path, *, rooms_kb: list[int]) -> Outcome | None:
    """A disk with little room, then more room while the server runs on. None where no small disk can be mounted."""
    total, slowest, answers = Ledger(), 0.0, set()
    lost = doubled = 0
    for room in rooms_kb:
        with _small_disk(folder / f"disk{room}") as disk:
            if disk is None:
                return None
            club, ledger = Club.make(disk / "full.duckdb"), Ledger()
            slowest = max(slowest, _filled_and_freed(club, ledger, disk, room_kb=room))
            found = ledger.outcome("", club.path, tries=1, seconds=0.0)
            lost, doubled = lost + found.lost, doubled + found.doubled
            total.acknowledged |= ledger.acknowledged
            answers.add(_first(ledger))
    return Outcome(
        fault="disk full, then room again",
        tries=len(rooms_kb),
        acknowledged=len(total.acknowledged),
        lost=lost,
        doubled=doubled,
        seconds=slowest,
        note="; ".join(sorted(answers)),
    )


def _filled_and_freed(club: Club, ledger: Ledger, disk: Path, *, room_kb: int) -> float:
    """Logs until the disk is full, gives it room, and returns the seconds until a strike is acknowledged again."""
    other = disk / "other file"
    _fill(other, room_kb=room_kb)
    with Server(club.path) as server:
        with logging_on(club, ledger, server.base, most_a_call=100):
            wait_until(lambda: len(ledger.refusals) > 20)
            other.unlink()
            start, before = time.monotonic(), len(ledger.acknowledged)
            wait_until(lambda: len(ledger.acknowledged) > before)
            seconds = time.monotonic() - start
        server.stop()
    return seconds


def _fill(other: Path, *, room_kb: int) -> None:
    other.write_bytes(bytes(max(0, shutil.disk_usage(other.parent).free - 1000 * room_kb)))


def checkpoint_without_room(folder: Path, *, rooms_mb: list[int]) -> Outcome | None:
    """A disk that fills up while DuckDB moves the write-ahead file into the database; then room again, no restart."""
    acknowledged = lost = doubled = 0
    slowest = 0.0
    for room in rooms_mb:
        with _small_disk(folder / f"checkpoint{room}", size_mb=64) as disk:
            if disk is None:
                return None
            club, ledger = Club.make(disk / "full.duckdb"), Ledger()
            _fill(disk / "other file", room_kb=1000 * room)
            with Database.open(club.path) as database:
                while _logged(database, club, ledger):
                    assert len(ledger.acknowledged) < 400_000
                assert not _logged(database, club, ledger)
                (disk / "other file").unlink()
                start = time.monotonic()
                assert _logged(database, club, ledger)
                slowest = max(slowest, time.monotonic() - start)
            found = ledger.outcome("", club.path, tries=1, seconds=0.0)
            acknowledged += found.acknowledged
            lost, doubled = lost + found.lost, doubled + found.doubled
    return Outcome(
        fault="disk full in a checkpoint, then room again",
        tries=len(rooms_mb),
        acknowledged=acknowledged,
        lost=lost,
        doubled=doubled,
        seconds=slowest,
        note="the file is opened again by itself",
    )


def _logged(database: Database, club: Club, ledger: Ledger, *, number: int = 2000) -> bool:
    """Stores strikes in one commit; whether they were acknowledged."""
    ids = [str(uuid7()) for _ in range(number)]
    ledger.made.update(ids)
    strike = club.strike(club.passes[0])
    known = {"player_id": strike["player"], "practice_id": strike["practice"], "source": "tap"}
    row = {key: strike[key] for key in ("stage", "foot", "outcome")} | known | {"struck_at": datetime.now(UTC)}
    frame = pl.DataFrame([dict.fromkeys(STRIKE_SCHEMA) | row], schema=STRIKE_SCHEMA)
    rows = pl.concat([frame] * number).with_columns(pl.Series("strike_id", ids))
    try:
        with database.transaction() as transaction:
            append_strikes(transaction, rows)
    except DatabaseError:
        return False
    ledger.acknowledged.update(ids)
    return True


def _first(ledger: Ledger) -> str:
    return f"answers {ledger.refusals[0][:3]}" if ledger.refusals else "no refusal"


@contextmanager
def _small_disk(folder: Path, *, size_mb: int = 24) -> Iterator[Path | None]:
    folder.mkdir()
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", f"size={size_mb}m", "tmpfs", str(folder)], capture_output=True
    )
    try:
        yield folder if mounted.returncode == 0 else None
    finally:
        if mounted.returncode == 0:
            subprocess.run(["umount", "-l", str(folder)], check=False)
