"""A small OpenID Connect provider for tests: whoever asks is signed in as the account it was told, without a page."""

from __future__ import annotations

import secrets
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import parse_qs, urlencode

import uvicorn
from joserfc import jwt
from joserfc.jwk import RSAKey
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

CLIENT, SECRET = "strike-ladder", "a client secret for tests"


@dataclass(kw_only=True)
class Provider:
    """Authorization code flow of OpenID Connect Core 1.0, ID tokens signed with RS256."""

    port: int
    account: str = "kim@club.example"
    verified: bool = True
    key: RSAKey = field(
        default_factory=lambda: RSAKey.generate_key(2048, {"kid": "test", "alg": "RS256", "use": "sig"})
    )
    nonces: dict[str, str | None] = field(default_factory=dict)

    @property
    def issuer(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def application(self) -> Starlette:
        return Starlette(
            routes=[
                Route("/.well-known/openid-configuration", self._metadata),
                Route("/jwks", self._keys),
                Route("/authorize", self._authorize),
                Route("/token", self._token, methods=["POST"]),
            ]
        )

    async def _metadata(self, _: Request) -> Response:
        return JSONResponse(
            {
                "issuer": self.issuer,
                "authorization_endpoint": f"{self.issuer}/authorize",
                "token_endpoint": f"{self.issuer}/token",
                "jwks_uri": f"{self.issuer}/jwks",
                "response_types_supported": ["code"],
                "subject_types_supported": ["public"],
                "id_token_signing_alg_values_supported": ["RS256"],
                "code_challenge_methods_supported": ["S256"],
            }
        )

    async def _keys(self, _: Request) -> Response:
        return JSONResponse({"keys": [self.key.as_dict(private=False)]})

    async def _authorize(self, request: Request) -> Response:
        asked = request.query_params
        assert asked["client_id"] == CLIENT
        assert asked["code_challenge_method"] == "S256"
        code = secrets.token_urlsafe(16)
        self.nonces[code] = asked.get("nonce")
        return RedirectResponse(f"{asked['redirect_uri']}?{urlencode({'code': code, 'state': asked['state']})}")

    async def _token(self, request: Request) -> Response:
        form = parse_qs((await request.body()).decode())
        code = form["code"][0]
        now = int(time.time())
        claims: dict[str, Any] = {
            "iss": self.issuer,
            "sub": "account-1",
            "aud": CLIENT,
            "iat": now,
            "exp": now + 300,
            "nonce": self.nonces.pop(code),
            "email": self.account,
            "email_verified": self.verified,
        }
        token = jwt.encode({"alg": "RS256", "kid": "test"}, claims, self.key)
        return JSONResponse({"access_token": "unused", "token_type": "Bearer", "expires_in": 300, "id_token": token})


@contextmanager
def running_provider(port: int) -> Iterator[Provider]:
    """The provider on a port of this computer, until the block ends."""
    provider = Provider(port=port)
    server = uvicorn.Server(uvicorn.Config(provider.application(), port=port, log_level="error", lifespan="off"))
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    yield provider
    server.should_exit = True
    thread.join()
