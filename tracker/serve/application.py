"""Starts the web process: ``streamlit.App`` with every setting passed in."""

from __future__ import annotations

import importlib.util
import ssl
import threading
import time
import urllib.request
import webbrowser
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

import streamlit as st
from starlette.middleware import Middleware
from starlette.middleware.trustedhost import TrustedHostMiddleware
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.routing import Route

from tracker import __version__
from tracker.errors import RequestError
from tracker.serve.access import CoachGuard
from tracker.serve.backup_route import back_up_every_day, backup_route, keep_backups_out, let_backups_in
from tracker.serve.certificate_page import serve_certificate
from tracker.serve.headers import SecurityHeaders
from tracker.serve.log import RequestLog, logging_beside, write
from tracker.serve.outlet import Outlet
from tracker.serve.pad_routes import pad_routes
from tracker.serve.process import held_database, hold, let_go
from tracker.serve.theme import THEME
from tracker.serve.warming import warm_up
from tracker.store.database import Database

LONGEST_START_SECONDS = 60.0


def serve_dashboard(database: Database, outlet: Outlet, *, open_browser: bool) -> None:
    """Serves the dashboard and the touchline page on this database until it is stopped, then closes the database."""
    hold(database, outlet)
    if outlet.certificates and outlet.certificates.authority and outlet.certificate_page:
        port = int(outlet.certificate_page.rpartition(":")[2])
        serve_certificate(outlet.certificates.authority, address=outlet.listens_on, port=port)
    if open_browser:
        threading.Thread(target=_open_when_ready, args=(outlet.here,), daemon=True).start()
    with logging_beside(database.path):
        write("started", version=__version__, network=bool(outlet.lan_names), tls=outlet.certificates is not None)
        web_application(outlet).run(config=settings(outlet))


def web_application(outlet: Outlet) -> st.App:
    """The ASGI application: dashboard, touchline page, and ``/healthz``, which answers 200 while the database does."""
    return st.App(
        dashboard_script(),
        lifespan=_while_it_runs,
        routes=[Route("/healthz", _health), backup_route(), *pad_routes()],
        middleware=[
            Middleware(RequestLog),
            Middleware(SecurityHeaders),
            Middleware(TrustedHostMiddleware, allowed_hosts=outlet.hosts),
            Middleware(CoachGuard, is_secure=outlet.certificates is not None, login=outlet.login),
        ],
    )


def settings(outlet: Outlet) -> dict[str, object]:
    """Everything the web process is told. Nothing is read from a file, and nothing is sent or fetched elsewhere."""
    tls: dict[str, object] = {}
    if outlet.certificates:
        tls = {
            "server.sslCertFile": str(outlet.certificates.certificate),
            "server.sslKeyFile": str(outlet.certificates.key),
        }
    sign_in: dict[str, object] = {"secrets.files": [str(outlet.login.file)] if outlet.login else []}
    return {
        "server.address": outlet.listens_on,
        "server.port": outlet.port,
        "server.headless": True,
        "server.allowedHosts": outlet.hosts,
        "server.enableXsrfProtection": True,
        "server.enableCORS": True,
        "server.fileWatcherType": "none",
        "server.runOnSave": False,
        "server.maxUploadSize": 200,
        "browser.gatherUsageStats": False,
        "browser.serverAddress": outlet.hosts[-1] if outlet.lan_names or outlet.login else outlet.hosts[0],
        "browser.serverPort": outlet.port,
        "client.showErrorDetails": "none",
        "client.showErrorLinks": False,
        "client.toolbarMode": "minimal",
        "client.disableDataExport": True,  # the page's own exports neutralise formulas; the widget's would not
        "logger.hideWelcomeMessage": True,
        "logger.level": "warning",
        **tls,
        **sign_in,
        **THEME,
    }


def dashboard_script() -> Path:
    """The dashboard's entry file, wherever the package is installed."""
    found = importlib.util.find_spec("dashboards")
    if found is None or not found.submodule_search_locations:
        raise RequestError("The dashboard is not installed. Install Strike Ladder again.")
    return Path(found.submodule_search_locations[0]) / "app.py"


async def _health(_: Request) -> Response:
    held_database().query("counts")
    return PlainTextResponse("ok")


@asynccontextmanager
async def _while_it_runs(_: object) -> AsyncIterator[None]:
    """Warms up and makes the day's backup beside the first requests, and closes the database at the end."""
    database = held_database()
    warming = threading.Thread(target=warm_up, args=(database,), daemon=True)
    warming.start()
    stop = threading.Event()
    backing_up = threading.Thread(target=back_up_every_day, args=(database, stop), daemon=True)
    backing_up.start()
    let_backups_in(database)
    yield
    keep_backups_out(database)
    stop.set()
    backing_up.join()
    warming.join()
    let_go()
    slowest = {one.name: round(1000 * one.slowest_s) for one in database.query_times.slowest(5)}
    write("stopped", slowest_queries_ms=slowest)
    database.close()


def _open_when_ready(address: str) -> None:
    """Opens the browser once the server answers, so that it never shows a page that is not there yet."""
    # Only whether this computer's own server is up is asked; its certificate is not what matters here.
    unchecked = ssl._create_unverified_context()
    deadline = time.monotonic() + LONGEST_START_SECONDS
    while time.monotonic() < deadline:
        try:
            with urllib.request.urlopen(f"{address}/healthz", timeout=1, context=unchecked):
                webbrowser.open(address)
                return
        except OSError:
            time.sleep(0.1)
