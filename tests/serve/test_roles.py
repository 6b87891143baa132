"""Who may open what, at every kind of address of a real server: this computer, a coach elsewhere, a logger, nobody."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

import httpx2
import pytest
from builders import SquadBuilder
from serving import running

from tracker.review.pad import give_pass
from tracker.review.passcode import set_passcode
from tracker.store.database import Database

PASSCODE = "three small words"
ELSEWHERE = {"X-Forwarded-For": "192.0.2.7"}
"""A request that came by way of a proxy is not one of this computer."""

YES, REFUSED = "yes", "refused"
# address: (this computer, coach elsewhere, logger, nobody)
TABLE = {
    "GET /": (YES, YES, REFUSED, REFUSED),
    "GET /squad": (YES, YES, REFUSED, REFUSED),
    "GET /no-such-page": (YES, YES, REFUSED, REFUSED),
    "GET /favicon.png": (YES, YES, REFUSED, REFUSED),
    "GET /_stcore/health": (YES, YES, REFUSED, REFUSED),
    "GET /_stcore/host-config": (YES, YES, REFUSED, REFUSED),
    "GET /_stcore/metrics": (YES, YES, REFUSED, REFUSED),
    "GET /_stcore/agent/openapi.json": (YES, YES, REFUSED, REFUSED),
    "GET /media/report.pdf": (YES, YES, REFUSED, REFUSED),
    "GET /auth/login": (YES, YES, REFUSED, REFUSED),
    "GET /oauth2callback": (YES, YES, REFUSED, REFUSED),
    "GET /padlock": (YES, YES, REFUSED, REFUSED),
    "GET /healthz": (YES, YES, YES, YES),
    "GET /enter": (YES, YES, YES, YES),
    "GET /pad": (YES, YES, YES, YES),
    "GET /pad/app.js": (YES, YES, YES, YES),
    "GET /api/practice": (REFUSED, REFUSED, YES, REFUSED),
    "POST /api/strikes": (REFUSED, REFUSED, YES, REFUSED),
    "POST /api/corrections": (REFUSED, REFUSED, YES, REFUSED),
    "POST /api/backup": (REFUSED, REFUSED, REFUSED, REFUSED),
}


@dataclass(frozen=True, kw_only=True, slots=True)
class Served:
    """A served database with a passcode, and a pass to its practice."""

    address: str
    token: str


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    path = tmp_path_factory.mktemp("roles") / "club.duckdb"
    with Database.open(path, create=True) as database:
        squad = SquadBuilder.start(database, "Quillhaven U12", Ana="right")
        set_passcode(database, PASSCODE)
        given = give_pass(database, squad.practice(datetime.now().astimezone().date()), logger="Tess")
    with running("serve", "--db", str(path)) as address:
        yield Served(address=address, token=given.token)


@pytest.fixture(scope="module")
def roles(served: Served) -> Iterator[list[httpx2.Client]]:
    """A client for each column of the table."""
    here = httpx2.Client(base_url=served.address)
    coach, logger, nobody = (httpx2.Client(base_url=served.address, headers=ELSEWHERE) for _ in range(3))
    assert coach.post("/enter", data={"passcode": PASSCODE}).status_code == 303
    logger.headers["Authorization"] = f"Bearer {served.token}"
    clients = [here, coach, logger, nobody]
    yield clients
    for one in clients:
        one.close()


@pytest.mark.parametrize("address", TABLE)
def test_each_role_opens_what_is_its_own_and_nothing_else(roles: list[httpx2.Client], address: str) -> None:
    method, _, path = address.partition(" ")
    bodies = {"/api/strikes": {"strikes": []}, "/api/corrections": {"corrections": []}}
    answers = [one.request(method, path, json=bodies.get(path)) for one in roles]
    assert tuple(REFUSED if one.status_code == 401 else YES for one in answers) == TABLE[address]
    assert all(one.status_code < 500 for one in answers)


@pytest.mark.parametrize("address", [one for one in TABLE if one.startswith("GET")])
def test_every_answer_brings_its_headers(roles: list[httpx2.Client], address: str) -> None:
    for client in roles:
        headers = client.get(address.partition(" ")[2]).headers
        assert "frame-ancestors 'none'" in headers["content-security-policy"]
        assert "unsafe-eval" not in headers["content-security-policy"]
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] in ("no-referrer", "same-origin")
        assert "geolocation=()" in headers["permissions-policy"]


def test_another_host_name_is_refused(served: Served) -> None:
    assert httpx2.get(served.address, headers={"Host": "elsewhere.example"}).status_code == 400


def test_an_upload_without_the_token_against_forgery_is_refused(roles: list[httpx2.Client]) -> None:
    answer = roles[0].put("/_stcore/upload_file/session/file", files={"file": ("a.csv", b"player\n")})
    assert answer.status_code == 403
