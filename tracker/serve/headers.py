"""Headers of every answer: what a page may load (nothing of another host), and who may show it in a frame."""

from __future__ import annotations

import base64
import hashlib
import re
from functools import cache
from importlib import resources

from starlette.datastructures import MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

_INLINE_SCRIPT = re.compile(rb"<script>(.*?)</script>", re.DOTALL)
# What a football page never needs.
_PERMISSIONS = (
    *("camera", "microphone", "display-capture", "geolocation"),
    *("payment", "usb", "serial", "bluetooth", "midi"),
)


class SecurityHeaders:
    """Adds the headers that an answer does not bring itself; the touchline page and the passcode page are stricter."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app
        self._headers = security_headers()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Passes on; the answer gets its headers on the way back."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return

        async def with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in self._headers.items():
                    headers.setdefault(name, value)
            await send(message)

        await self._app(scope, receive, with_headers)


def security_headers() -> dict[str, str]:
    """The headers by name."""
    return {
        "Content-Security-Policy": dashboard_policy(),
        "X-Content-Type-Options": "nosniff",
        "X-Frame-Options": "DENY",
        "Referrer-Policy": "same-origin",
        "Permissions-Policy": ", ".join(f"{one}=()" for one in _PERMISSIONS),
        "Cross-Origin-Opener-Policy": "same-origin",
        "Cross-Origin-Resource-Policy": "same-origin",
    }


@cache
def dashboard_policy() -> str:
    """As strict as Streamlit's page works with: no eval (its charts interpret their expressions), no script but its own
    files and the inline ones of its index page by their hash. Its styles are made at run time, so they may be inline.

    Source: Content Security Policy Level 3, W3C.
    """
    page = (resources.files("streamlit") / "static" / "index.html").read_bytes()
    hashes = [
        f"'sha256-{base64.b64encode(hashlib.sha256(text).digest()).decode()}'" for text in _INLINE_SCRIPT.findall(page)
    ]
    return "; ".join(
        (
            "default-src 'none'",
            f"script-src 'self' {' '.join(hashes)}".strip(),
            "style-src 'self' 'unsafe-inline'",
            "img-src 'self' data: blob:",
            "font-src 'self' data:",
            "connect-src 'self'",
            "media-src 'self' blob:",
            "worker-src 'self' blob:",
            "manifest-src 'self'",
            "form-action 'self'",
            "base-uri 'none'",
            "frame-ancestors 'none'",
        )
    )
