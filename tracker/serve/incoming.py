"""What is asked of a request before anything is done with it: who may have sent it, and how much of it is read."""

from __future__ import annotations

from starlette.datastructures import Headers
from starlette.requests import Request


def is_same_origin(headers: Headers) -> bool:
    """Whether a request comes from the page itself, or from no page at all."""
    origin = headers.get("origin")
    return origin is None or origin.partition("://")[2] == headers.get("host")


async def body_within(request: Request, *, most_bytes: int) -> bytes | None:
    """The whole body, or None when it is longer; no more than that is read."""
    content = bytearray()
    async for part in request.stream():
        content += part
        if len(content) > most_bytes:
            return None
    return bytes(content)
