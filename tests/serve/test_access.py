"""Who may open what, from this computer and from elsewhere."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import PlainTextResponse
from starlette.routing import Route, WebSocketRoute
from starlette.testclient import TestClient
from starlette.websockets import WebSocket, WebSocketDisconnect

from tracker.errors import RequestError
from tracker.review.audit import entries
from tracker.review.passcode import has_passcode, is_passcode, set_passcode
from tracker.serve.access import COOKIE, MOST_TRIES, CoachGuard
from tracker.serve.process import hold, let_go
from tracker.store.database import Database
from tracker.store.ladders import settings

PASSCODE = "three small words"


async def _page(_: Request) -> PlainTextResponse:
    return PlainTextResponse("records")


async def _socket(socket: WebSocket) -> None:
    await socket.accept()
    await socket.send_text("live")
    await socket.close()


APPLICATION = Starlette(
    routes=[
        Route("/", _page),
        Route("/squad", _page),
        Route("/pad", _page),
        Route("/padlock", _page),
        Route("/healthz", _page),
        WebSocketRoute("/_stcore/stream", _socket),
    ],
    middleware=[Middleware(CoachGuard, is_secure=True)],
)


@pytest.fixture
def guarded(database: Database) -> Iterator[Database]:
    set_passcode(database, PASSCODE)
    hold(database)
    yield database
    let_go()


def elsewhere() -> TestClient:
    return TestClient(
        APPLICATION, base_url="https://testserver", client=("192.168.1.20", 50000), follow_redirects=False
    )


def here() -> TestClient:
    return TestClient(APPLICATION, client=("127.0.0.1", 50000), follow_redirects=False)


def test_this_computer_needs_no_passcode(guarded: Database) -> None:
    assert here().get("/squad").text == "records"


def test_another_device_is_sent_to_the_passcode_page(guarded: Database) -> None:
    answer = elsewhere().get("/squad", headers={"Accept": "text/html"})
    assert (answer.status_code, answer.headers["location"]) == (303, "/enter")
    assert elsewhere().get("/squad").status_code == 401
    assert elsewhere().get("/padlock").status_code == 401


@pytest.mark.parametrize("path", ["/pad", "/healthz", "/enter"])
def test_another_device_may_open_the_touchline_page(guarded: Database, path: str) -> None:
    assert elsewhere().get(path).status_code == 200


def test_the_live_connection_is_guarded_too(guarded: Database) -> None:
    with pytest.raises(WebSocketDisconnect), elsewhere().websocket_connect("/_stcore/stream"):
        pytest.fail("the connection was let in")
    with here().websocket_connect("/_stcore/stream") as socket:
        assert socket.receive_text() == "live"


@pytest.mark.parametrize("origin", ["https://elsewhere.example", "http://testserver.elsewhere.example", "null"])
def test_a_live_connection_from_a_page_of_another_site_is_refused(guarded: Database, origin: str) -> None:
    with pytest.raises(WebSocketDisconnect), here().websocket_connect("/_stcore/stream", headers={"Origin": origin}):
        pytest.fail("the connection was let in")
    with here().websocket_connect("/_stcore/stream", headers={"Origin": "http://testserver"}) as socket:
        assert socket.receive_text() == "live"


def test_a_request_by_way_of_a_proxy_is_not_one_of_this_computer(guarded: Database) -> None:
    for name in ("X-Forwarded-For", "Forwarded", "Via"):
        assert here().get("/squad", headers={name: "192.0.2.7"}).status_code == 401


def test_who_signed_in_is_noted(guarded: Database) -> None:
    elsewhere().post("/enter", data={"passcode": "not the passcode"})
    elsewhere().post("/enter", data={"passcode": PASSCODE})
    assert entries(guarded).select("what", "who").rows() == [("sign-in", "coach with the passcode")]


def test_the_passcode_opens_the_dashboard_with_a_guarded_cookie(guarded: Database) -> None:
    client = elsewhere()
    answer = client.post("/enter", data={"passcode": PASSCODE})
    assert answer.status_code == 303
    cookie = answer.headers["set-cookie"].lower()
    assert COOKIE in cookie
    for flag in ("httponly", "samesite=strict", "secure"):
        assert flag in cookie
    assert client.get("/squad").text == "records"
    # The test client drops secure cookies from its plain websocket, so the cookie is handed over by hand.
    headers = {"Cookie": f"{COOKIE}={client.cookies[COOKIE]}"}
    with elsewhere().websocket_connect("/_stcore/stream", headers=headers) as socket:
        assert socket.receive_text() == "live"


def test_a_made_up_cookie_opens_nothing(guarded: Database) -> None:
    assert elsewhere().get("/squad", headers={"Cookie": f"{COOKIE}=made-up"}).status_code == 401


def test_guessing_is_slowed_down(guarded: Database) -> None:
    client = elsewhere()
    answers = [client.post("/enter", data={"passcode": f"guess {n}"}).status_code for n in range(MOST_TRIES + 2)]
    assert answers == [403] * MOST_TRIES + [429] * 2
    assert client.post("/enter", data={"passcode": PASSCODE}).status_code == 429


def test_a_page_of_another_site_may_not_send_the_form(guarded: Database) -> None:
    headers = {"Origin": "https://elsewhere.example"}
    assert elsewhere().post("/enter", data={"passcode": PASSCODE}, headers=headers).status_code == 403


def test_only_a_hash_of_the_passcode_is_kept(guarded: Database) -> None:
    kept = settings(guarded)["passcode_hash"]
    assert kept.startswith("$argon2id$")
    assert PASSCODE not in kept
    assert is_passcode(guarded, PASSCODE)
    assert not is_passcode(guarded, "three small word")


def test_without_a_passcode_nothing_is_one(database: Database) -> None:
    assert not has_passcode(database)
    assert not is_passcode(database, "")


def test_a_short_passcode_is_refused(database: Database) -> None:
    with pytest.raises(RequestError, match="at least 8"):
        set_passcode(database, "short")
