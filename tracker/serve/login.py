"""Sign-in with a club's own accounts (OpenID Connect) by Streamlit's login, instead of a passcode.

The login file is TOML that only its owner can read::

    coaches = ["kim@club.example"]            # whose accounts may open the dashboard
    [auth]
    redirect_uri = "https://ladder.club.example/oauth2callback"
    cookie_secret = "…"                        # 32 random characters or more
    client_id = "…"
    client_secret = "…"
    server_metadata_url = "https://accounts.club.example/.well-known/openid-configuration"
"""

from __future__ import annotations

import json
import os
import stat
import time
import tomllib
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlsplit

from starlette.requests import HTTPConnection
from streamlit.auth_util import encode_provider_token, get_cookie_with_chunks, is_authlib_installed
from streamlit.web.server.server_util import get_cookie_secret
from streamlit.web.server.starlette.starlette_app_utils import decode_signed_value
from streamlit.web.server.starlette.starlette_server_config import USER_COOKIE_NAME

from tracker.errors import RequestError

SIGN_IN_PATHS = ("/auth", "/oauth2callback")
CALLBACK = "/oauth2callback"
SHORTEST_SECRET = 32
SESSION_SECONDS = 12 * 3600
_NEEDED = ("redirect_uri", "cookie_secret", "client_id", "client_secret", "server_metadata_url")


@dataclass(frozen=True, kw_only=True, slots=True)
class Login:
    """A login file that was read: whose accounts open the dashboard, and the address browsers know it by."""

    file: Path = field(repr=False)
    coaches: frozenset[str]
    origin: str

    @property
    def host(self) -> str:
        """The host name in that address."""
        return urlsplit(self.origin).hostname or ""

    def start(self) -> str:
        """Where a browser that is not signed in goes; good for two minutes."""
        return f"/auth/login?provider={encode_provider_token('default')}"

    def account(self, connection: HTTPConnection) -> str | None:
        """The address of the account signed in, whoever it is; None without one, or when it was too long ago."""
        claims = _claims(connection)
        issued = claims.get("iat")
        if not isinstance(issued, int | float) or time.time() - issued > SESSION_SECONDS:
            return None
        email = claims.get("email")
        if not isinstance(email, str) or claims.get("email_verified") is False:
            return None
        return email

    def is_coach(self, account: str | None) -> bool:
        """Whether this account may open the dashboard."""
        return account is not None and account.casefold() in self.coaches


def read_login(file: Path) -> Login:
    """A login file. Raises RequestError that says what is wrong with it, without showing a secret."""
    if not is_authlib_installed():
        raise RequestError("Sign-in needs one more package. Install it with: pip install 'strike-ladder[club-server]'")
    try:
        if os.name == "posix" and stat.S_IMODE(file.stat().st_mode) & 0o077:
            raise RequestError(f"{file} holds secrets and others can read it. Run: chmod 600 {file}")
        told = tomllib.loads(file.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise RequestError(f"The login file {file} cannot be read ({type(error).__name__}).") from error
    auth = told.get("auth")
    auth = auth if isinstance(auth, dict) else {}
    missing = [one for one in _NEEDED if not isinstance(auth.get(one), str) or not auth[one]]
    if missing:
        raise RequestError(f"{file} lacks in [auth]: {', '.join(missing)}.")
    if len(auth["cookie_secret"]) < SHORTEST_SECRET:
        raise RequestError(f"{file}: cookie_secret needs {SHORTEST_SECRET} random characters or more.")
    address = urlsplit(auth["redirect_uri"])
    if address.path != CALLBACK or address.scheme not in ("http", "https") or not address.hostname:
        raise RequestError(f"{file}: redirect_uri must be the dashboard's own address followed by {CALLBACK}.")
    if address.scheme == "http" and address.hostname not in ("localhost", "127.0.0.1"):
        raise RequestError(f"{file}: redirect_uri must begin with https; only this computer itself may do without.")
    coaches = told.get("coaches")
    if not isinstance(coaches, list) or not coaches or not all(isinstance(one, str) and "@" in one for one in coaches):
        raise RequestError(f'{file} must name whose accounts may open the dashboard: coaches = ["kim@club.example"]')
    return Login(
        file=file.resolve(),
        coaches=frozenset(one.strip().casefold() for one in coaches),
        origin=f"{address.scheme}://{address.netloc}",
    )


def _claims(connection: HTTPConnection) -> dict[str, object]:
    """What the provider said of the account, from the cookie that Streamlit signed; empty when it is not ours."""

    def one(name: str) -> bytes | None:
        value = connection.cookies.get(name)
        if value is None:
            return None
        return decode_signed_value(get_cookie_secret(), name, value.encode("latin-1", "replace"))

    content = get_cookie_with_chunks(one, USER_COOKIE_NAME)
    try:
        claims = json.loads(content or b"{}")
    except ValueError:
        return {}
    return claims if isinstance(claims, dict) else {}
