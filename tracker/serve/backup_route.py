"""``POST /api/backup``: another command of the same person asks the process that holds the database for a backup.

While it serves, the process keeps a small file beside the database that only its owner can read: where it listens, and
a random key made for this run. Whoever can read that file could read the database itself.
"""

from __future__ import annotations

import json
import logging
import os
import secrets
import ssl
import threading
import urllib.error
import urllib.request
from datetime import UTC, datetime
from http.client import HTTPException
from pathlib import Path

from pydantic import BaseModel, Field, ValidationError
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from tracker.errors import DatabaseError, TrackerError
from tracker.review.backups import back_up, back_up_if_due
from tracker.serve.incoming import body_within
from tracker.serve.log import write
from tracker.serve.process import held_database, held_outlet
from tracker.store.database import Database

ADDRESS = "/api/backup"
LONGEST_BACKUP_SECONDS = 600.0
LONGEST_BODY_BYTES = 10_000
SECONDS_BETWEEN_LOOKS = 3600.0
_keys: list[str] = []


class BackupRequest(BaseModel):
    """The body: the whole path of the file to write."""

    path: str = Field(min_length=1, max_length=4096)


def backup_route() -> Route:
    """The route; without the key of this run it answers 401."""
    return Route(ADDRESS, _backup, methods=["POST"])


def key_file(database: Path) -> Path:
    """Where the process that serves a database leaves its address and key."""
    return database.with_name(f"{database.name}.serving")


def let_backups_in(database: Database) -> None:
    """Makes a key for this run and writes the key file."""
    outlet = held_outlet()
    if database.path is None or outlet is None:
        return
    _keys[:] = [secrets.token_urlsafe(32)]
    path = key_file(database.path)
    path.unlink(missing_ok=True)
    with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w", encoding="utf-8") as file:
        json.dump({"address": outlet.here, "key": _keys[0]}, file)


def keep_backups_out(database: Database) -> None:
    """Forgets the key and removes its file."""
    _keys.clear()
    if database.path is not None:
        key_file(database.path).unlink(missing_ok=True)


def back_up_every_day(database: Database, stop: threading.Event) -> None:
    """Makes the day's backup when it is due, until told to stop. What goes wrong is logged and tried again."""
    while not stop.is_set():
        try:
            back_up_if_due(database, now=datetime.now(UTC))
        except (TrackerError, OSError) as error:
            write("the day's backup could not be made", level=logging.WARNING, why=str(error))
        stop.wait(SECONDS_BETWEEN_LOOKS)


def ask_for_backup(database: Path, target: Path) -> None:
    """Has the process that serves ``database`` write a backup to ``target``.

    Raises DatabaseError with what it answered, or FileNotFoundError when no process serves it.
    """
    told = json.loads(key_file(database).read_text(encoding="utf-8"))
    request = urllib.request.Request(
        f"{told['address']}{ADDRESS}",
        data=json.dumps({"path": str(target)}).encode(),
        headers={"Authorization": f"Bearer {told['key']}", "Content-Type": "application/json"},
    )
    # This computer only: no proxy stands between, and the certificate is of its own making.
    opener = urllib.request.build_opener(
        urllib.request.ProxyHandler({}), urllib.request.HTTPSHandler(context=ssl._create_unverified_context())
    )
    try:
        opener.open(request, timeout=LONGEST_BACKUP_SECONDS).close()
    except urllib.error.HTTPError as error:
        with error:
            said = json.loads(error.read() or b"{}").get("error", f"answer {error.code}")
        raise DatabaseError(said) from error
    except (OSError, HTTPException) as error:
        raise DatabaseError(
            f"The process that serves {database} did not answer ({error}). Nothing was written; try again."
        ) from error


async def _backup(request: Request) -> Response:
    scheme, _, key = request.headers.get("authorization", "").partition(" ")
    if scheme.lower() != "bearer" or not _keys or not secrets.compare_digest(key.strip().encode(), _keys[0].encode()):
        return JSONResponse({"error": "Only a command on this computer may ask for a backup."}, status_code=401)
    body = await body_within(request, most_bytes=LONGEST_BODY_BYTES)
    if body is None:
        return JSONResponse({"error": "That is too long for a path."}, status_code=413)
    try:
        target = Path(BackupRequest.model_validate_json(body).path)
        await run_in_threadpool(back_up, held_database(), target)
    except ValidationError:
        return JSONResponse({"error": "The body must name a path."}, status_code=422)
    except DatabaseError as error:
        return JSONResponse({"error": str(error)}, status_code=409)
    return JSONResponse({"path": str(target)})
