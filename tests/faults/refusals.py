"""Faults that must end with a sentence, and nothing changed: clocks, permissions, other processes, other versions."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

import duckdb
import httpx2

from tests.faults.served import ROOT, Club, Ledger, Outcome, Server
from tracker.errors import DatabaseError, DatabaseTooNew
from tracker.review.backups import examined
from tracker.store.backup import backup_files
from tracker.store.database import Database
from tracker.store.sql_files import files_in

# The clock of a server that jumps: each answer to "what time is it" is moved by what a file says, in days.
_JUMPING = """
import datetime as module
from pathlib import Path
class Jumping(module.datetime):
    @classmethod
    def now(cls, tz=None):
        return module.datetime.now(tz) + module.timedelta(days=float(Path({days!r}).read_text()))
import tracker.review.backups, tracker.review.pad, tracker.serve.backup_route, tracker.serve.pad_routes
for one in (tracker.review.backups, tracker.review.pad, tracker.serve.backup_route, tracker.serve.pad_routes):
    one.datetime = Jumping
"""


def clocks(folder: Path) -> Outcome:
    """Phones whose clocks are years off, and a server whose clock jumps by years while they log."""
    club, ledger, days = Club.make(folder / "clocks.duckdb", phones=1), Ledger(), folder / "days"
    days.write_text("0")
    refused = 0
    with Server(club.path, before=_JUMPING.format(days=str(days))) as server:
        for server_off in (0.0, 3650.0, -3650.0, 0.5, 0.0):
            days.write_text(str(server_off))
            for phone_off in (0, -3650, 3650, -1, 1):
                refused += _log(club, ledger, server.base, struck_at=datetime.now(UTC) + timedelta(days=phone_off))
        server.stop()
    note = f"{refused} refused with a reason"
    return ledger.outcome("clocks years off, of phones and server", club.path, tries=25, seconds=0.0, note=note)


def _log(club: Club, ledger: Ledger, base: str, *, struck_at: datetime) -> int:
    """Sends a strike; returns whether it was refused."""
    given = club.passes[0]
    strike = club.strike(given, struck_at=struck_at.isoformat())
    ledger.made.add(str(strike["strike_id"]))
    headers = {"Authorization": f"Bearer {given.token}"}
    answer = httpx2.post(f"{base}/api/strikes", json={"strikes": [strike]}, headers=headers, timeout=60)
    said = answer.json()
    ledger.acknowledged.update(said.get("stored", []))
    return len(said.get("rejected", [])) + (answer.status_code != 200)


_CONTENDER = """
import sys, time
from pathlib import Path
from tests.faults.served import Club
from tracker.errors import DatabaseInUse
from tracker.domain.identity import uuid7
from tracker.store.database import Database
try:
    database = Database.open(Path(sys.argv[1]))
except DatabaseInUse as error:
    sys.exit(error.exit_code)
for number in range(20):
    name = str(uuid7())
    with database.transaction() as transaction:
        transaction.run("save_setting", name=name, value="x")
    print(name, flush=True)
time.sleep(1)
"""


def two_processes(folder: Path, *, tries: int) -> Outcome:
    """Three processes open one file at once: one writes, the others get exit code 3."""
    path = folder / "contended.duckdb"
    Club.make(path)
    acknowledged: set[str] = set()
    refused = 0
    start = time.monotonic()
    for _ in range(tries):
        command = [sys.executable, "-c", _CONTENDER, str(path)]
        running = [subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) for _ in range(3)]
        for one in running:
            said, _ = one.communicate()
            acknowledged.update(said.split())
            assert one.returncode in (0, 3)
            refused += one.returncode == 3
    with Database.open(path) as database:
        stored = [name for (name,) in database._connection.execute("select name from setting").fetchall()]
    return Outcome(
        fault="several processes on one file",
        tries=tries,
        acknowledged=len(acknowledged),
        lost=len(acknowledged - set(stored)),
        doubled=len(stored) - len(set(stored)),
        seconds=(time.monotonic() - start) / tries,
        note=f"{refused} refused with exit code 3",
    )


def older_schemas(folder: Path) -> Outcome:
    """A file of every earlier schema, filled, its process gone without closing; opened by this program."""
    acknowledged = lost = doubled = 0
    slowest = 0.0
    versions = [int(file.name[:4]) for file in files_in("migrations")][1:-1]
    for version in versions:
        path = folder / f"schema{version}.duckdb"
        before = _of_schema(path, version)
        start = time.monotonic()
        with Database.open(path) as database:
            slowest = max(slowest, time.monotonic() - start)
            after = _contents(database._connection)
            assert not database.faults()["faults"].sum()
        acknowledged += len(before)
        lost += len(before - after)
        doubled += len([one for one in after - before if one[0] != "schema_migration"])
        (kept,) = backup_files(path)
        with duckdb.connect(str(kept.path), read_only=True) as old:
            assert _contents(old) == before
    return Outcome(
        fault="upgrade from every earlier schema",
        tries=len(versions),
        acknowledged=acknowledged,
        lost=lost,
        doubled=doubled,
        seconds=slowest,
        note="records of all tables; each kept as it was in a backup",
    )


_FILLER = """
import os, sys
import duckdb
from pathlib import Path
from tracker.store import migrations
from tracker.store.sql_files import files_in
version = int(sys.argv[2])
migrations.files_in = lambda part: files_in(part)[: version + 1] if part == "migrations" else []
connection = duckdb.connect(sys.argv[1])
migrations.apply_migrations(connection, path=Path(sys.argv[1]))
connection.execute(Path(sys.argv[3]).read_text())
os.kill(os.getpid(), 9)
"""


def _of_schema(path: Path, version: int) -> set[tuple[str, str]]:
    """Makes a file of an earlier schema, filled and not closed; returns its contents."""
    fill = path.with_suffix(".sql")
    fill.write_text((Path(__file__).parent / "fill.sql").read_text(encoding="utf-8"), encoding="utf-8")
    subprocess.run([sys.executable, "-c", _FILLER, str(path), str(version), str(fill)], cwd=ROOT)
    for end in ("", ".wal"):
        path.with_name(f"look{path.name}{end}").write_bytes(path.with_name(f"{path.name}{end}").read_bytes())
    with duckdb.connect(str(path.with_name(f"look{path.name}"))) as connection:
        found = _contents(connection)
    assert sum(table == "strike" for table, _ in found) == 500
    return found


def _contents(connection: duckdb.DuckDBPyConnection) -> set[tuple[str, str]]:
    """Every record as (table, its values in columns that the first schemas have too)."""
    tables = ["schema_migration", "setting", "ladder", "squad", "season", "player", "practice", "placement"]
    keys = {"strike": "strike_id, player_id, foot, outcome, miss, struck_at", "correction": "strike_id, why"}
    found: set[tuple[str, str]] = set()
    connection.execute("set TimeZone = 'UTC'").fetchall()
    for table in (*tables, *keys):
        cells = connection.execute(f"select {keys.get(table, '*')} from {table}").fetchall()  # noqa: S608 - our own names
        found.update((table, str(row[: 3 if table == "schema_migration" else None])) for row in cells)
    return found


def newer_version(folder: Path) -> Outcome:
    """A file that a newer program has changed: refused, and not a byte of it touched."""
    path = folder / "newer.duckdb"
    Club.make(path)
    with duckdb.connect(str(path)) as newer:
        newer.execute("insert into schema_migration values (999, '0999_later', 'x', '9.9', now())")
    before = hashlib.sha256(path.read_bytes()).digest()
    lost = 1
    try:
        Database.open(path).close()
    except DatabaseTooNew:
        lost = int(hashlib.sha256(path.read_bytes()).digest() != before)
    return Outcome(
        fault="a file of a newer program",
        tries=1,
        acknowledged=0,
        lost=lost,
        doubled=0,
        seconds=0.0,
        note="refused",
    )


def read_only(folder: Path) -> Outcome | None:
    """A disk that may only be read: every opening ends with a sentence. None where none can be mounted."""
    disk = folder / "read only"
    disk.mkdir()
    club = Club.make(disk / "kept.duckdb")
    if os.geteuid():
        disk.chmod(0o500)
        club.path.chmod(0o400)
    elif subprocess.run(["mount", "--bind", str(disk), str(disk)], capture_output=True).returncode:
        return None
    else:
        subprocess.run(["mount", "-o", "remount,ro,bind", str(disk)], check=True)
    try:
        before, said = club.path.read_bytes(), []
        for path, create in ((club.path, False), (disk / "new.duckdb", True), (disk / "folder" / "new.duckdb", True)):
            try:
                Database.open(path, create=create).close()
            except DatabaseError as error:
                said.append(str(error))
        assert len(said) == 3, said
        assert all("written" in one or "writing" in one or "cannot be made" in one for one in said), said
        assert examined(club.path).counts["squads"][0] == 1
        lost = int(club.path.read_bytes() != before)
    finally:
        subprocess.run(["umount", "-l", str(disk)], capture_output=True)
        disk.chmod(0o700)
    return Outcome(
        fault="a folder only to be read",
        tries=3,
        acknowledged=0,
        lost=lost,
        doubled=0,
        seconds=0.0,
        note="refused",
    )
