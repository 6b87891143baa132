"""The touchline page and what it talks to. Streamlit guards none of these routes, so they guard themselves."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from datetime import UTC, datetime
from functools import lru_cache
from importlib import resources
from pathlib import Path
from typing import Any, TypeVar
from uuid import UUID

from pydantic import BaseModel, ValidationError
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import FileResponse, JSONResponse, Response
from starlette.routing import BaseRoute, Mount, Route, Router
from starlette.types import Receive, Scope, Send

from tracker.domain.strike import ON_TARGET_MEANS
from tracker.errors import DatabaseError
from tracker.review.pad import PadAccess, PadBriefing, Roster, WatchTurn, access_of, briefing, roster
from tracker.review.watch import WatchReason
from tracker.serve.answers import DeliveryAnswer, Rejected
from tracker.serve.incoming import body_within, is_same_origin
from tracker.serve.openapi import openapi_description
from tracker.serve.payloads import CorrectionList, Listed, StrikeList, corrections_of, strikes_of
from tracker.serve.process import held_database, held_writer

Shape = TypeVar("Shape", bound=BaseModel)
LARGEST_BODY_BYTES = 1_000_000

_PAGE_HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
        "manifest-src 'self'; worker-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cache-Control": "no-cache",
    "Service-Worker-Allowed": "/pad",
}
_TYPES = {
    ".html": "text/html",
    ".css": "text/css",
    ".js": "text/javascript",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".webmanifest": "application/manifest+json",
}
# Whoever logs is told whom to watch, but no result: nothing here says how anybody did.
_WATCH_REASONS = {
    WatchReason.AT_THE_LINE: "one more set would tell",
    WatchReason.CLOSE_TO_THE_LINE: "one more set may tell",
    WatchReason.NO_STRIKES: "no strikes at this stage yet",
    WatchReason.FEW_STRIKES: "few strikes so far",
    WatchReason.LONG_UNSEEN: "not seen for {weeks} weeks",
    WatchReason.READY: "can wait",
    WatchReason.NOT_TODAY: "not seen today",
    WatchReason.WELL_KNOWN: "can wait",
}
_ANSWER_HEADERS = {"Cache-Control": "no-store", "X-Content-Type-Options": "nosniff"}


class _Refused(Exception):
    """An answer other than 200: its status and one sentence."""

    def __init__(self, status: int, why: str) -> None:
        super().__init__(why)
        self.status = status


def pad_routes() -> list[BaseRoute]:
    """``/pad`` with its files, and ``/api``, where whatever is not there is a 404, never the dashboard's page."""
    api = Router(
        routes=[
            Route("/practice", _answered(_practice), methods=["GET"]),
            Route("/strikes", _answered(_strikes), methods=["POST"]),
            Route("/corrections", _answered(_corrections), methods=["POST"]),
            Route("/openapi.json", _answered(_description), methods=["GET"]),
        ],
        default=_nothing_here,
        redirect_slashes=False,  # a redirect would have to decode a query string of any bytes
    )
    return [
        Route("/pad", _page),
        Route("/pad/", _page),
        Route("/pad/{name}", _page_file),
        Route("/api", _no_such_address),
        Mount("/api", app=api),
    ]


def pad_folder() -> Path:
    """The folder with the page's files."""
    return Path(str(resources.files("dashboards"))) / "pad"


async def _page(_: Request) -> Response:
    return FileResponse(pad_folder() / "index.html", media_type="text/html", headers=_PAGE_HEADERS)


async def _page_file(request: Request) -> Response:
    name = request.path_params["name"]
    path = pad_folder() / name
    if path.suffix not in _TYPES or "/" in name or "\\" in name or not path.is_file():
        return JSONResponse({"error": "there is no such file"}, status_code=404, headers=_ANSWER_HEADERS)
    return FileResponse(path, media_type=_TYPES[path.suffix], headers=_PAGE_HEADERS)


async def _nothing_here(scope: Scope, receive: Receive, send: Send) -> None:
    answer = await _no_such_address(Request(scope))
    await answer(scope, receive, send)


async def _no_such_address(_: Request) -> Response:
    return JSONResponse({"error": "there is no such address"}, status_code=404, headers=_ANSWER_HEADERS)


async def _description(_: Request) -> dict[str, Any]:
    """What these addresses take and answer, for a program."""
    return openapi_description()


async def _practice(request: Request) -> dict[str, Any]:
    """What the page needs to know of its practice."""
    access = await _access(request)
    if access.has_expired(datetime.now(UTC)):
        raise _Refused(401, "This pass has expired. What the phone holds can still be delivered.")
    return await run_in_threadpool(_briefing, access)


async def _strikes(request: Request) -> dict[str, Any]:
    """Stores strikes; answers only once they are on disk."""
    access = await _delivering(request)
    entries = (await _body(request, StrikeList)).strikes
    if any(
        entry.model_extra and entry.model_extra.get("practice") not in (None, str(access.practice_id))
        for entry in entries
    ):
        raise _Refused(403, "This pass is for another practice.")
    known = await run_in_threadpool(_roster, access.squad_id, held_database().club_changes)
    strikes, rejected = strikes_of(entries, access=access, roster=known, now=datetime.now(UTC))
    if not strikes:
        return _outcome([], [], rejected)
    delivery, _ = await asyncio.wrap_future(held_writer().deliver_strikes(strikes, practice_id=access.practice_id))
    return _outcome(delivery.stored, delivery.already_there, rejected)


async def _corrections(request: Request) -> dict[str, Any]:
    """Voids strikes of this practice; answers only once that is on disk."""
    access = await _delivering(request)
    entries: list[Listed] = (await _body(request, CorrectionList)).corrections
    corrections, rejected = corrections_of(entries, access=access)
    if not corrections:
        return _outcome([], [], rejected)
    delivery, absent = await asyncio.wrap_future(
        held_writer().deliver_corrections(corrections, practice_id=access.practice_id)
    )
    unknown = [
        Rejected(strike_id=one, field="strike_id", why="there is no such strike in this practice") for one in absent
    ]
    return _outcome(delivery.stored, delivery.already_there, [*rejected, *unknown])


# Both are the same for every delivery until the club changes something, and are asked for with every tap.
@lru_cache(maxsize=512)
def _known_access(token: str, _club_changes: int) -> PadAccess | None:
    return access_of(held_database(), token)


@lru_cache(maxsize=64)
def _roster(squad_id: UUID, _club_changes: int) -> Roster:
    return roster(held_database(), squad_id)


def _briefing(access: PadAccess) -> dict[str, Any]:
    database = held_database()
    told = briefing(database, access)
    return {
        "practice": {
            "practice_id": str(access.practice_id),
            "held_on": access.held_on.isoformat(),
            "label": access.label,
        },
        "squad": told.squad.name,
        "logger": access.logger,
        "expires_at": access.expires_at.isoformat(),
        "server_time": datetime.now(UTC).isoformat(),
        "length_unit": told.length_unit.value,
        "ladder": told.ladder.name,
        "definition": ON_TARGET_MEANS,
        "players": [
            {"player_id": str(one.player_id), "display_name": one.display_name, "shirt_number": one.shirt_number}
            for one in told.players
        ],
        "stages": _stages(told),
        "watch": [
            {
                "player_id": str(one.player_id),
                "foot": one.foot.value,
                "stage": one.stage,
                "reason": _watch_reason(one),
            }
            for one in told.watch
        ],
        "today": [
            {"player_id": row["player_id"], "foot": row["foot"], "attempts": row["attempts"]}
            for row in told.today.iter_rows(named=True)
        ],
    }


def _watch_reason(turn: WatchTurn) -> str:
    if turn.planned is None:
        return _WATCH_REASONS[turn.why].format(weeks=turn.weeks_unseen)
    return f"minute {turn.planned.starts_at} to {turn.planned.ends_at}, logger {turn.planned.logger}"


def _stages(told: PadBriefing) -> list[dict[str, Any]]:
    return [
        {
            "name": stage.name,
            "ball_arrival": stage.ball_arrival.value,
            "distance_m": stage.distance_m,
            "surfaces": [one.value for one in stage.surfaces],
            "set_sizes": list(stage.set_sizes),
            "target_width_m": stage.target.width_m,
            "is_gate": stage.target.is_gate,
        }
        for stage in told.ladder.stages
    ]


def _outcome(stored: list[str], already_there: list[str], rejected: list[Rejected]) -> dict[str, Any]:
    return DeliveryAnswer(stored=stored, already_there=already_there, rejected=rejected).model_dump()


async def _access(request: Request) -> PadAccess:
    scheme, _, token = request.headers.get("authorization", "").partition(" ")
    access = None
    if scheme.lower() == "bearer" and token.strip():
        access = await run_in_threadpool(_known_access, token.strip(), held_database().club_changes)
    if access is None:
        raise _Refused(401, "This pass is not known here, or was revoked. Ask the coach for a new one.")
    return access


async def _delivering(request: Request) -> PadAccess:
    """The access of somebody who delivers: JSON from our own page, with a pass that may still deliver."""
    if not is_same_origin(request.headers):
        raise _Refused(403, "Only the page itself may deliver.")
    if request.headers.get("content-type", "").partition(";")[0].strip().lower() != "application/json":
        raise _Refused(415, "The content must be application/json.")
    access = await _access(request)
    if not access.may_deliver(datetime.now(UTC)):
        raise _Refused(401, "This pass expired more than seven days ago. Save to a file and give it to the coach.")
    return access


async def _body(request: Request, shape: type[Shape]) -> Shape:
    """The body in this shape. Refuses with 413 what is too long, with 422 what has another shape."""
    content = await body_within(request, most_bytes=LARGEST_BODY_BYTES)
    if content is None:
        raise _Refused(413, "That is too much at once: at most 500 strikes a call.")
    try:
        return shape.model_validate_json(content)
    except ValidationError as error:
        first = error.errors()[0]
        if first["type"] == "too_long":
            raise _Refused(413, "That is too much at once: at most 500 strikes a call.") from error
        place = ".".join(str(part) for part in first["loc"])
        raise _Refused(422, f"{place or 'the body'}: {first['msg']}") from error


def _answered(handler: Callable[[Request], Awaitable[dict[str, Any]]]) -> Callable[[Request], Awaitable[Response]]:
    """The handler with refusals, and whatever else goes wrong, as JSON."""

    async def endpoint(request: Request) -> Response:
        try:
            return JSONResponse(await handler(request), headers=_ANSWER_HEADERS)
        except _Refused as refusal:
            return JSONResponse({"error": str(refusal)}, status_code=refusal.status, headers=_ANSWER_HEADERS)
        except DatabaseError as error:  # a full disk, say: the phone keeps what it has and tries again
            return JSONResponse({"error": str(error)}, status_code=503, headers=_ANSWER_HEADERS)

    return endpoint
