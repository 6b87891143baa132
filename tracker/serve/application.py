"""Starts the web process: ``streamlit.App`` with every setting passed in, bound to this computer only."""

from __future__ import annotations

import importlib.util
import socket
import threading
import time
import urllib.request
import webbrowser
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from pathlib import Path

import streamlit as st
from starlette.middleware import Middleware
from starlette.middleware.trustedhost import TrustedHostMiddleware
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.routing import Route

from tracker.errors import RequestError
from tracker.serve.pad_routes import pad_routes
from tracker.serve.process import held_database, hold, let_go
from tracker.serve.theme import THEME
from tracker.store.database import Database

LOCAL_ADDRESS = "127.0.0.1"
FIRST_PORT, PORTS_TRIED = 8460, 20
LONGEST_START_SECONDS = 60.0


def serve_dashboard(
    database: Database, *, port: int | None, open_browser: bool, announce: Callable[[str], None]
) -> None:
    """Serves the dashboard on this database until it is stopped, then closes the database.

    ``announce`` is told the address once the port is known. Raises RequestError when the port is taken.
    """
    chosen = free_port(port)
    address = f"http://{LOCAL_ADDRESS}:{chosen}"
    hold(database)
    announce(address)
    if open_browser:
        threading.Thread(target=_open_when_ready, args=(address,), daemon=True).start()
    web_application().run(config=settings(port=chosen))


def web_application() -> st.App:
    """The ASGI application: the dashboard, and ``/healthz``, which answers 200 while the database answers."""
    return st.App(
        dashboard_script(),
        lifespan=_close_database_at_the_end,
        routes=[Route("/healthz", _health), *pad_routes()],
        middleware=[Middleware(TrustedHostMiddleware, allowed_hosts=[LOCAL_ADDRESS, "localhost"])],
    )


def settings(*, port: int) -> dict[str, object]:
    """Everything the web process is told. Nothing is read from a file, and nothing is sent or fetched elsewhere."""
    return {
        "server.address": LOCAL_ADDRESS,
        "server.port": port,
        "server.headless": True,
        "server.allowedHosts": [LOCAL_ADDRESS, "localhost"],
        "server.fileWatcherType": "none",
        "server.runOnSave": False,
        "server.maxUploadSize": 200,
        "browser.gatherUsageStats": False,
        "browser.serverAddress": LOCAL_ADDRESS,
        "browser.serverPort": port,
        "client.showErrorDetails": "none",
        "client.showErrorLinks": False,
        "client.toolbarMode": "minimal",
        "logger.hideWelcomeMessage": True,
        "logger.level": "warning",
        **THEME,
    }


def dashboard_script() -> Path:
    """The dashboard's entry file, wherever the package is installed."""
    found = importlib.util.find_spec("dashboards")
    if found is None or not found.submodule_search_locations:
        raise RequestError("The dashboard is not installed. Install Strike Ladder again.")
    return Path(found.submodule_search_locations[0]) / "app.py"


def free_port(wanted: int | None) -> int:
    """The wanted port if it is free, or without one the first free of twenty. Raises RequestError."""
    for port in [wanted] if wanted is not None else range(FIRST_PORT, FIRST_PORT + PORTS_TRIED):
        with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as trial:
            trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                trial.bind((LOCAL_ADDRESS, port))
            except OSError:
                continue
            return int(trial.getsockname()[1])
    raise RequestError(
        f"Port {wanted} is taken by another program. Leave --port out, or name another."
        if wanted is not None
        else f"The ports {FIRST_PORT} to {FIRST_PORT + PORTS_TRIED - 1} are all taken. Name another with --port."
    )


async def _health(_: Request) -> Response:
    held_database().query("counts")
    return PlainTextResponse("ok")


@asynccontextmanager
async def _close_database_at_the_end(_: object) -> AsyncIterator[None]:
    yield
    database = held_database()
    let_go()
    database.close()


def _open_when_ready(address: str) -> None:
    """Opens the browser once the server answers, so that it never shows a page that is not there yet."""
    deadline = time.monotonic() + LONGEST_START_SECONDS
    while time.monotonic() < deadline:
        try:
            with urllib.request.urlopen(f"{address}/healthz", timeout=1):
                webbrowser.open(address)
                return
        except OSError:
            time.sleep(0.1)
