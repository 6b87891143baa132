"""A club's accounts instead of a passcode: the whole way through a real provider and a real server, and the file."""

from __future__ import annotations

import json
import os
import time
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import httpx2
import pytest
from serving import free_port, running

from tracker.errors import RequestError
from tracker.serve.login import read_login

pytest.importorskip("authlib", reason="the club-server extra is not installed")
from sign_in_provider import CLIENT, SECRET, Provider, running_provider

COACH = "kim@club.example"


def login_file(folder: Path, *, origin: str, issuer: str) -> Path:
    path = folder / "login.toml"
    path.write_text(
        f'coaches = ["{COACH.upper()}"]\n[auth]\nredirect_uri = "{origin}/oauth2callback"\n'
        f'cookie_secret = "{"s" * 40}"\nclient_id = "{CLIENT}"\nclient_secret = "{SECRET}"\n'
        f'server_metadata_url = "{issuer}/.well-known/openid-configuration"\n',
        encoding="utf-8",
    )
    path.chmod(0o600)
    return path


@pytest.fixture(scope="module")
def provider() -> Iterator[Provider]:
    with running_provider(free_port()) as running:
        yield running


@pytest.fixture(scope="module")
def origin(provider: Provider, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """A served database that asks for sign-in, by its address."""
    folder = tmp_path_factory.mktemp("club")
    port = free_port()
    address = f"http://127.0.0.1:{port}"
    file = login_file(folder, origin=address, issuer=provider.issuer)
    with running("serve", "--db", str(folder / "club.duckdb"), "--login", str(file), port=port):
        yield address


def browser(origin: str) -> httpx2.Client:
    return httpx2.Client(base_url=origin, follow_redirects=True, headers={"Accept": "text/html"}, timeout=20)


def test_a_coach_signs_in_and_sees_the_dashboard(provider: Provider, origin: str) -> None:
    provider.account, provider.verified = COACH, True
    with browser(origin) as client:
        answer = client.get("/squad")
        way = [urlsplit(str(one.url)).path for one in answer.history]
        assert way == ["/squad", "/enter", "/auth/login", "/authorize", "/oauth2callback"]
        assert answer.status_code == 200
        assert "<title>Streamlit</title>" in answer.text
        assert client.get("/squad").history == []


def test_being_on_this_computer_opens_nothing(origin: str) -> None:
    answer = httpx2.get(f"{origin}/", follow_redirects=False)
    assert answer.status_code == 401
    answer = httpx2.get(f"{origin}/_stcore/health", follow_redirects=False)
    assert answer.status_code == 401


@pytest.mark.parametrize(("account", "verified"), [("parent@club.example", True), (COACH, False)])
def test_another_account_is_turned_away(provider: Provider, origin: str, account: str, verified: bool) -> None:  # noqa: FBT001
    provider.account, provider.verified = account, verified
    with browser(origin) as client:
        client.headers.pop("Accept")
        client.get("/enter")
        assert client.get("/", follow_redirects=False).status_code in (401, 403)


def test_a_cookie_of_ones_own_making_opens_nothing(origin: str) -> None:
    claims = json.dumps({"email": COACH, "iat": time.time(), "is_logged_in": True})
    answer = httpx2.get(f"{origin}/", headers={"Cookie": f"_streamlit_user={claims.encode().hex()}"})
    assert answer.status_code == 401


def test_the_touchline_page_stays_open_for_passes(origin: str) -> None:
    assert httpx2.get(f"{origin}/pad").status_code == 200
    assert httpx2.get(f"{origin}/api/practice").status_code == 401


@pytest.mark.parametrize(
    ("change", "why"),
    [
        (("coaches", "others"), "whose accounts"),
        (("client_secret", "no_secret"), "client_secret"),
        (("s" * 40, "short"), "32 random characters"),
        (("/oauth2callback", "/elsewhere"), "followed by /oauth2callback"),
        (("http://127.0.0.1", "http://club.example"), "https"),
        (("[auth]", "[auth"), "cannot be read"),
    ],
)
def test_a_login_file_that_would_not_work_is_refused(tmp_path: Path, change: tuple[str, str], why: str) -> None:
    file = login_file(tmp_path, origin="http://127.0.0.1:1", issuer="http://127.0.0.1:2")
    file.write_text(file.read_text(encoding="utf-8").replace(*change), encoding="utf-8")
    with pytest.raises(RequestError, match=why) as refused:
        read_login(file)
    assert SECRET not in str(refused.value)


@pytest.mark.skipif(os.name != "posix", reason="permissions of files are of POSIX")
def test_a_login_file_that_others_can_read_is_refused(tmp_path: Path) -> None:
    file = login_file(tmp_path, origin="http://127.0.0.1:1", issuer="http://127.0.0.1:2")
    file.chmod(0o644)
    with pytest.raises(RequestError, match="chmod 600"):
        read_login(file)
