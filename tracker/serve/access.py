"""Who may open what. On this computer: everything. From elsewhere: the touchline page with its pass, and the dashboard
after the coach's passcode. On a club's server, with a login file: the dashboard for the accounts named there alone."""

from __future__ import annotations

import secrets
import time
from collections import defaultdict, deque
from html import escape
from ipaddress import ip_address
from urllib.parse import parse_qs

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import Headers
from starlette.requests import HTTPConnection, Request
from starlette.responses import HTMLResponse, PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Receive, Scope, Send

from tracker.domain.vocabulary import AuditEvent
from tracker.review import audit
from tracker.review.passcode import is_passcode
from tracker.serve.incoming import is_same_origin
from tracker.serve.login import SIGN_IN_PATHS, Login
from tracker.serve.process import held_database

COOKIE = "strike_ladder_coach"
ENTRANCE = "/enter"
OPEN_PATHS = ("/pad", "/api", "/healthz", ENTRANCE)
SESSION_SECONDS = 12 * 3600
MOST_TRIES, TRIES_SECONDS = 5, 60.0
LONGEST_FORM_BYTES = 4_000

FORWARDED = ("forwarded", "x-forwarded-for", "x-forwarded-host", "x-real-ip", "via")
_HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; style-src 'unsafe-inline'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cache-Control": "no-store",
}
_PAGE = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Strike Ladder</title>
<meta name="viewport" content="width=device-width, initial-scale=1">
<style>body{{font:20px/1.5 system-ui,sans-serif;color:#111;background:#fff;max-width:22rem;margin:12vh auto;
padding:0 1rem}}
input,button{{font:inherit;width:100%;box-sizing:border-box;padding:.8rem;margin:.4rem 0;border:2px solid #111;
border-radius:.4rem}}button{{background:#111;color:#fff}}</style></head><body><h1>Strike Ladder</h1>
<p role="alert">{message}</p>
<form method="post" action="/enter"><label>Coach's passcode<input type="password" name="passcode" autofocus
autocomplete="current-password" required></label><button>Open the dashboard</button></form></body></html>"""


_STRANGER = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Strike Ladder</title>
<meta name="viewport" content="width=device-width, initial-scale=1">
<style>body{{font:20px/1.5 system-ui,sans-serif;color:#111;background:#fff;max-width:22rem;margin:12vh auto;
padding:0 1rem}}</style></head><body><h1>Strike Ladder</h1><p>{account} is signed in, but is no coach here. Ask whoever
runs this server to add it.</p><p><a href="/auth/logout">Sign out</a></p></body></html>"""


class CoachGuard:
    """Lets loopback through, and others only to the open paths or with a coach's session; http and websocket alike.

    With a ``login`` nobody is let through for being on this computer: a proxy in front is on this computer too.
    """

    def __init__(self, app: ASGIApp, *, is_secure: bool, login: Login | None = None) -> None:
        self._app = app
        self._is_secure = is_secure
        self._login = login
        self._sessions: dict[str, float] = {}
        self._tries: defaultdict[str, deque[float]] = defaultdict(deque)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Passes on, answers itself, or refuses."""
        if scope["type"] not in ("http", "websocket"):
            await self._app(scope, receive, send)
            return
        # Streamlit, left to judge a live connection, would ask a host on the internet for this computer's address.
        if scope["type"] == "websocket" and not is_same_origin(Headers(scope=scope)):
            await send({"type": "websocket.close", "code": 4403, "reason": "only the page itself may connect"})
        elif self._login:
            await self._guarded_by_login(self._login, scope, receive, send)
        elif scope["type"] == "http" and scope["path"] == ENTRANCE:
            answer = await self._enter(Request(scope, receive))
            await answer(scope, receive, send)
        elif _is_local(scope) or _is_open(scope["path"]) or self._has_session(HTTPConnection(scope)):
            await self._app(scope, receive, send)
        elif scope["type"] == "websocket":
            await send({"type": "websocket.close", "code": 4401, "reason": "passcode needed"})
        else:
            answer = _refusal(Headers(scope=scope))
            await answer(scope, receive, send)

    async def _guarded_by_login(self, login: Login, scope: Scope, receive: Receive, send: Send) -> None:
        account = login.account(HTTPConnection(scope))
        is_coach = login.is_coach(account)
        if scope["path"] == ENTRANCE and scope["type"] == "http":
            answer: Response = RedirectResponse("/" if is_coach else login.start(), status_code=303)
            await answer(scope, receive, send)
        elif is_coach or _is_open(scope["path"]) or _is_below(scope["path"], SIGN_IN_PATHS):
            await self._app(scope, receive, send)
        elif scope["type"] == "websocket":
            await send({"type": "websocket.close", "code": 4401, "reason": "sign-in needed"})
        elif account is not None:
            answer = HTMLResponse(_STRANGER.format(account=escape(account)), status_code=403, headers=_HEADERS)
            await answer(scope, receive, send)
        else:
            answer = _refusal(Headers(scope=scope))
            await answer(scope, receive, send)

    def _has_session(self, connection: HTTPConnection) -> bool:
        until = self._sessions.get(connection.cookies.get(COOKIE, ""))
        return until is not None and time.monotonic() < until

    async def _enter(self, request: Request) -> Response:
        """The passcode page, and what it sends."""
        if request.method != "POST":
            return _entrance("Opened from another device, the dashboard asks for the coach's passcode.", status=200)
        if not is_same_origin(request.headers):
            return PlainTextResponse("Only the page itself may send this.", status_code=403)
        client = request.client.host if request.client else ""
        if self._too_many(client):
            return _entrance("Too many tries. Wait a minute.", status=429)
        form = parse_qs((await request.body())[:LONGEST_FORM_BYTES].decode("utf-8", "replace"))
        given = form.get("passcode", [""])[0]
        self._tries[client].append(time.monotonic())
        if not await run_in_threadpool(is_passcode, held_database(), given):
            return _entrance("That is not the passcode.", status=403)
        self._tries.pop(client, None)
        session = secrets.token_urlsafe(32)
        self._sessions[session] = time.monotonic() + SESSION_SECONDS
        await run_in_threadpool(audit.note, held_database(), AuditEvent.SIGN_IN, who="coach with the passcode")
        answer = RedirectResponse("/", status_code=303)
        answer.set_cookie(
            COOKIE, session, max_age=SESSION_SECONDS, httponly=True, samesite="strict", secure=self._is_secure
        )
        return answer

    def _too_many(self, client: str) -> bool:
        """Whether this client, or all together, tried more often in the last minute than a person would."""
        now = time.monotonic()
        for known in list(self._tries):
            while self._tries[known] and now - self._tries[known][0] > TRIES_SECONDS:
                self._tries[known].popleft()
            if not self._tries[known]:
                del self._tries[known]
        everyone = sum(len(tries) for tries in self._tries.values())
        return len(self._tries.get(client, ())) >= MOST_TRIES or everyone >= 10 * MOST_TRIES


def _is_local(scope: Scope) -> bool:
    """Whether the request came from this computer, and not by way of a proxy on it."""
    headers = Headers(scope=scope)
    if any(name in headers for name in FORWARDED):
        return False
    client = scope.get("client")
    try:
        return client is not None and ip_address(client[0]).is_loopback
    except ValueError:
        return False


def _is_open(path: str) -> bool:
    return _is_below(path, OPEN_PATHS)


def _is_below(path: str, tops: tuple[str, ...]) -> bool:
    return any(path == one or path.startswith(one + "/") for one in tops)


def _refusal(headers: Headers) -> Response:
    if "text/html" in headers.get("accept", ""):
        return RedirectResponse(ENTRANCE, status_code=303)
    return PlainTextResponse("The coach's passcode is needed.", status_code=401)


def _entrance(message: str, *, status: int) -> Response:
    return HTMLResponse(_PAGE.format(message=escape(message)), status_code=status, headers=_HEADERS)
