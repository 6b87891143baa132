"""The log of the web process: one JSON object a line beside the database, without names, turned over when full."""

from __future__ import annotations

import json
import logging
import time
import traceback
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from logging.handlers import RotatingFileHandler
from pathlib import Path

from starlette.types import ASGIApp, Message, Receive, Scope, Send

LOGGER = logging.getLogger("strike_ladder")
LARGEST_LOG_BYTES, OLD_LOGS = 1_000_000, 4
SLOW_SECONDS = 1.0
_FIELDS = "fields"
# The first part of every address there is; what else somebody types may be a name, and is not written down.
_KNOWN = {"_stcore", "api", "auth", "enter", "healthz", "media", "oauth2callback", "pad", "static"}

_KNOWN_CALLS = {"backup", "corrections", "practice", "strikes"}


class JsonLine(logging.Formatter):
    """``at`` (UTC), ``level``, ``event``, and the fields given."""

    def format(self, record: logging.LogRecord) -> str:
        """One line."""
        at = datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds")
        line = {"at": at, "level": record.levelname.lower(), "event": record.getMessage()}
        return json.dumps(line | getattr(record, _FIELDS, {}), ensure_ascii=False)


@contextmanager
def logging_beside(database: Path | None) -> Iterator[Path | None]:
    """Writes the log to ``<database>.log`` until the block ends; a database in memory, or a folder that takes no more
    files, has none. The log is never a reason not to start."""
    handler = None
    if database is not None:
        try:
            handler = RotatingFileHandler(
                log_file(database), maxBytes=LARGEST_LOG_BYTES, backupCount=OLD_LOGS, encoding="utf-8"
            )
        except OSError:
            yield None
            return
        handler.setFormatter(JsonLine())
        LOGGER.addHandler(handler)
    LOGGER.setLevel(logging.INFO)
    LOGGER.propagate = False
    try:
        yield log_file(database) if database else None
    finally:
        LOGGER.propagate = True
        if handler:
            LOGGER.removeHandler(handler)
            handler.close()


def log_file(database: Path) -> Path:
    """Where the log of a database stands."""
    return database.with_name(f"{database.name}.log")


def write(event: str, *, level: int = logging.INFO, **fields: object) -> None:
    """Logs an event. Neither it nor a field may hold a name or anything that was typed."""
    LOGGER.log(level, event, extra={_FIELDS: fields})


class RequestLog:
    """Logs requests that failed or were slow, deliveries and tries of the passcode: method, address without query,
    status and milliseconds. Never who, from where, or what was sent."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Passes on, and logs afterwards."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        begun, status = time.perf_counter(), [500]

        async def noting(message: Message) -> None:
            if message["type"] == "http.response.start":
                status[0] = message["status"]
            await send(message)

        try:
            await self._app(scope, receive, noting)
        except Exception as error:
            write("failed", level=logging.ERROR, where=_place(error), error=type(error).__name__)
            raise
        finally:
            took = time.perf_counter() - begun
            address = known_address(scope["path"])
            if status[0] >= 400 or took > SLOW_SECONDS or (scope["method"] == "POST" and address != "/_stcore"):
                write("request", method=scope["method"], address=address, status=status[0], ms=round(1000 * took))


def known_address(path: str) -> str:
    """The part of an address that cannot hold what somebody typed.

    >>> known_address("/api/strikes"), known_address("/pad/app.js"), known_address("/Zoe"), known_address("/")
    ('/api/strikes', '/pad', '/…', '/')
    """
    first, _, rest = path.strip("/").partition("/")
    if not first:
        return "/"
    if first not in _KNOWN:
        return "/…"
    return f"/{first}/{rest}" if first == "api" and rest in _KNOWN_CALLS else f"/{first}"


def _place(error: BaseException) -> str:
    """File and line where it was raised."""
    frames = traceback.extract_tb(error.__traceback__)
    return f"{Path(frames[-1].filename).name}:{frames[-1].lineno}" if frames else ""
