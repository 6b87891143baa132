"""The doors hostile input may come through, and what is tried at each: nothing may crash, hang, or be half stored."""

from __future__ import annotations

import asyncio
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime
from enum import StrEnum
from pathlib import Path
from typing import Any

from hypothesis import strategies as st
from starlette.testclient import TestClient
from streamlit.runtime import Runtime

from tests.hostile import materials
from tracker.domain.identity import uuid7
from tracker.domain.squad import Player, Squad
from tracker.domain.vocabulary import Foot, Outcome
from tracker.errors import TrackerError
from tracker.review import club
from tracker.review.exchange import import_file, import_players
from tracker.review.hand_over import hand_over
from tracker.review.logbook import log_strike, practice_on
from tracker.review.pad import give_pass
from tracker.review.take_over import take_over
from tracker.serve.application import web_application
from tracker.serve.outlet import Outlet
from tracker.serve.process import hold, let_go
from tracker.store.database import Database

LONGEST_SECONDS = 5.0


class Door(StrEnum):
    """Where input comes in."""

    STRIKES = "strike CSV"
    TALLIES = "tally CSV"
    PLAYERS = "players CSV"
    PARQUET = "strike Parquet"
    LADDER = "ladder TOML"
    HAND_OVER = "hand-over zip"
    STRIKE_BODY = "POST /api/strikes"
    CORRECTION_BODY = "POST /api/corrections"
    REQUEST = "path, query, headers"
    ADDRESS = "dashboard address"


class HalfStored(AssertionError):
    """What is stored is not what was said to be."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Verdict:
    """What became of one input: refused in a sentence, taken in, or one of the faults that must never be."""

    refused: str | None = None
    crash: BaseException | None = None
    half_stored: str | None = None
    seconds: float

    @property
    def is_fault(self) -> bool:
        """Whether this may not be."""
        return self.crash is not None or self.half_stored is not None or self.seconds > LONGEST_SECONDS


@dataclass(frozen=True, kw_only=True, slots=True)
class Surface:
    """A door that is open: what to try there, and the trying. ``attempt`` raises a TrackerError for a refusal."""

    inputs: st.SearchStrategy[Any]
    attempt: Callable[[Any], None]

    def verdict(self, thing: Any) -> Verdict:
        """Tries one input. Anything but a sentence for a person is a crash."""
        start = time.perf_counter()
        refused: str | None = None
        crash: BaseException | None = None
        half_stored: str | None = None
        try:
            self.attempt(thing)
        except HalfStored as error:
            half_stored = str(error)
        except TrackerError as error:
            refused = str(error)
        except BaseException as error:
            if isinstance(error, KeyboardInterrupt):
                raise
            crash = error
        seconds = time.perf_counter() - start
        return Verdict(refused=refused, crash=crash, half_stored=half_stored, seconds=seconds)


@contextmanager
def opened(door: Door) -> Iterator[Surface]:
    """The door with a database of its own behind it."""
    with ExitStack() as stack:
        database = stack.enter_context(Database.open(None))
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="strike-ladder-hostile-")))
        squad = club.make_squad(database, name="Quillhaven U12")
        ana = club.add_player(database, squad, display_name="Ana")
        club.add_player(database, squad, display_name="Ben")
        yield stack.enter_context(_SURFACES[door](Ground(database=database, folder=folder, squad=squad, ana=ana)))
        faults = database.faults()
        if faults["faults"].sum():
            raise HalfStored(f"{door.value}: {faults.filter(faults['faults'] > 0).to_dicts()}")


@dataclass(frozen=True, kw_only=True, slots=True)
class Ground:
    """What lies behind a door: a squad with players Ana and Ben, and a folder to put files in."""

    database: Database
    folder: Path
    squad: Squad
    ana: Player

    def strikes_and_corrections(self) -> dict[str, int]:
        """How many of both are stored."""
        return self.database.query("counts").select("strikes", "corrections").row(0, named=True)

    @contextmanager
    def all_or_nothing(self) -> Iterator[None]:
        """Whatever is refused, or breaks, has committed nothing."""
        before = self.database.changes
        try:
            yield
        except BaseException as error:
            if self.database.changes != before:
                raise HalfStored(f"something was committed though refused: {error}") from error
            raise

    def strikes(self) -> int:
        """How many strikes are stored."""
        return int(self.database.query("counts")["strikes"][0])


@contextmanager
def _file(ground: Ground, name: str, right: dict[str, str]) -> Iterator[Surface]:
    path = ground.folder / name
    said = [0]
    make = materials.parquet_bytes if path.suffix == ".parquet" else materials.csv_bytes

    def attempt(content: bytes) -> None:
        path.write_bytes(content)
        with ground.all_or_nothing():
            summary = import_file(ground.database, path, squad=ground.squad)
        said[0] += summary.stored
        if ground.strikes() != said[0]:
            raise HalfStored(f"{ground.strikes()} strikes, but {said[0]} were said to be stored")

    yield Surface(inputs=make(right), attempt=attempt)


@contextmanager
def _players(ground: Ground) -> Iterator[Surface]:
    path = ground.folder / "players.csv"

    def attempt(content: bytes) -> None:
        path.write_bytes(content)
        with ground.all_or_nothing():
            import_players(ground.database, path, squad=ground.squad)

    yield Surface(inputs=materials.csv_bytes(materials.PLAYER), attempt=attempt)


@contextmanager
def _ladder(ground: Ground) -> Iterator[Surface]:
    from tracker.domain.ladder_file import read_ladder

    path = ground.folder / "ladder.toml"

    def attempt(content: bytes) -> None:
        path.write_bytes(content)
        ladder = read_ladder(path)
        with ground.all_or_nothing():
            club.use_ladder(ground.database, ground.squad, text=content.decode(), source=path.name)
        now_on = next(one for one in club.squads(ground.database) if one.squad_id == ground.squad.squad_id)
        if club.ladder_of(ground.database, now_on) != ladder:
            raise HalfStored("the ladder in use is not the ladder in the file")

    yield Surface(inputs=materials.ladder_bytes(), attempt=attempt)


@contextmanager
def _hand_over(ground: Ground) -> Iterator[Surface]:
    with Database.open(None) as elsewhere:
        squad = club.make_squad(elsewhere, name="Marlow U12")
        cleo = club.add_player(elsewhere, squad, display_name="Cleo", shirt_number=9)
        practice = practice_on(elsewhere, squad, date(2026, 3, 7))
        for outcome in (Outcome.ON_TARGET, Outcome.OFF_TARGET):
            log_strike(elsewhere, practice, player=cleo, foot=Foot.LEFT, outcome=outcome, stage=None)
        right = hand_over(elsewhere, squad, with_notes=True)

    said = [0]

    def attempt(content: bytes) -> None:
        with ground.all_or_nothing():
            taken = take_over(ground.database, content, source="cleo.zip")
        said[0] += taken.strikes
        if ground.strikes() != said[0]:
            raise HalfStored(f"{ground.strikes()} strikes, but {said[0]} were said to be taken over")

    yield Surface(inputs=materials.hand_overs(right), attempt=attempt)


@contextmanager
def _web(ground: Ground) -> Iterator[tuple[TestClient, str, str]]:
    """The whole web application on this ground, a pass for a practice of today, and that practice's id."""
    outlet = Outlet(port=8460)
    hold(ground.database, outlet)
    practice = practice_on(ground.database, ground.squad, datetime.now().astimezone().date())
    given = give_pass(ground.database, practice, logger="Tess")
    try:
        with TestClient(web_application(outlet), base_url="http://127.0.0.1", client=("127.0.0.1", 50_000)) as client:
            yield client, given.token, str(given.practice_id)
    finally:
        let_go()
        Runtime._instance = None  # of a process's one runtime there is no other end, and the next door starts another


def _answer_is_right(ground: Ground, client: TestClient, path: str, token: str, content: bytes) -> None:
    """Refused with a sentence, or stored exactly as said."""
    before, changes = ground.strikes_and_corrections(), ground.database.changes
    headers = {"Authorization": f"Bearer {token}", "Content-Type": "application/json"}
    answer = client.post(path, content=content, headers=headers)
    told = answer.json()
    grown = ground.strikes_and_corrections() if ground.database.changes != changes else before
    table = "corrections" if path.endswith("corrections") else "strikes"
    said = len(told["stored"]) if answer.status_code == 200 else 0
    if grown != before | {table: before[table] + said}:
        raise HalfStored(f"{before} became {grown}, but {said} were said to be stored ({answer.status_code})")
    if answer.status_code != 200:
        if answer.status_code not in (403, 413, 422) or not told["error"]:
            raise AssertionError(f"{answer.status_code}: {told}")
        raise TrackerError(told["error"])


@contextmanager
def _strike_body(ground: Ground) -> Iterator[Surface]:
    with _web(ground) as (client, token, practice):
        right: dict[str, object] = {
            "strike_id": str(uuid7()),
            "practice": practice,
            "player": str(ground.ana.player_id),
            "stage": "Rolling ball",
            "foot": "left",
            "surface": "inside",
            "outcome": "off target",
            "miss": "over",
            "distance_m": 8.0,
            "struck_at": datetime.now(UTC).isoformat(),
            "struck_at_phone": None,
            "set_id": None,
            "source": "tap",
        }
        yield Surface(
            inputs=materials.bodies(right, listed_as="strikes"),
            attempt=lambda content: _answer_is_right(ground, client, "/api/strikes", token, content),
        )


@contextmanager
def _correction_body(ground: Ground) -> Iterator[Surface]:
    with _web(ground) as (client, token, _):
        practice = practice_on(ground.database, ground.squad, datetime.now().astimezone().date())
        struck = log_strike(
            ground.database, practice, player=ground.ana, foot=Foot.LEFT, outcome=Outcome.ON_TARGET, stage=None
        )
        right: dict[str, object] = {
            "strike_id": str(struck.strike_id),
            "why": "undo",
            "at": datetime.now(UTC).isoformat(),
        }
        yield Surface(
            inputs=materials.bodies(right, listed_as="corrections"),
            attempt=lambda content: _answer_is_right(ground, client, "/api/corrections", token, content),
        )


@contextmanager
def _request(ground: Ground) -> Iterator[Surface]:
    """Requests as the server hands them to the application, so that no client mends them on the way."""
    with _web(ground) as (client, token, _):
        assert client.portal is not None
        portal = client.portal

        def attempt(request: tuple[str, bytes, bytes, list[tuple[bytes, bytes]]]) -> None:
            before = ground.database.changes
            status, body = portal.call(_asked, client.app, *request)
            if ground.database.changes != before:
                raise HalfStored("a request without a body stored something")
            if status >= 500 or b"Traceback" in body:
                raise AssertionError(f"{status}: {body[:200]!r}")

        yield Surface(inputs=materials.requests(token), attempt=attempt)


async def _asked(
    app: Any, method: str, path: bytes, query: bytes, headers: list[tuple[bytes, bytes]]
) -> tuple[int, bytes]:
    """What the application answers: status and body."""
    scope = {
        "type": "http",
        "asgi": {"version": "3.0"},
        "http_version": "1.1",
        "method": method,
        "scheme": "http",
        "path": path.decode("utf-8", "replace"),
        "raw_path": path,
        "root_path": "",
        "query_string": query,
        "headers": headers,
        "client": ("127.0.0.1", 50_000),
        "server": ("127.0.0.1", 8460),
    }
    sent: list[dict[str, Any]] = []
    body: list[dict[str, Any]] = [{"type": "http.request", "body": b"", "more_body": False}]

    async def receive() -> dict[str, Any]:
        if body:
            return body.pop()
        return await asyncio.Future()  # whoever asks for more waits until the answer is sent

    async def send(message: dict[str, Any]) -> None:
        sent.append(message)

    await asyncio.wait_for(app(scope, receive, send), timeout=2 * LONGEST_SECONDS)
    status = next(one["status"] for one in sent if one["type"] == "http.response.start")
    return status, b"".join(one.get("body", b"") for one in sent)


@contextmanager
def _address(ground: Ground) -> Iterator[Surface]:
    """The choices every page of answers starts with, run as Streamlit runs a page."""
    from streamlit.testing.v1 import AppTest

    from dashboards.ui.filters import Part

    hold(ground.database)
    club.make_squad(ground.database, name="Marlow U12")
    club.make_season(ground.database, name="2025/26", starts_on=date(2025, 8, 1), ends_on=date(2026, 7, 31))

    def attempt(address: dict[str, str]) -> None:
        app = AppTest.from_function(_page, default_timeout=30)
        for name, value in address.items():
            app.query_params[name] = value
        app.run()
        if app.exception:
            raise AssertionError(app.exception[0].message)
        if any(value and value in shown.value for value in address.values() if "<" in value for shown in app.warning):
            raise AssertionError("the page repeats what the address says")

    known = [
        str(ground.squad.squad_id),
        str(ground.ana.player_id),
        "2026-03-14",
        "8-12yd",
        "40-99m",
        "laces",
        "Rolling ball",
    ]
    values = st.sampled_from(known) | materials.odd_text.filter(lambda text: text.isascii() or text.isprintable())
    names = st.sampled_from([part.value for part in Part]) | st.text(min_size=1, max_size=8)
    try:
        yield Surface(inputs=st.dictionaries(names, values, max_size=5), attempt=attempt)
    finally:
        let_go()


def _page() -> None:
    from dashboards.ui import choices, filters, state
    from tracker.review import club
    from tracker.serve.process import held_database

    filters.restore()
    squad = choices.choose_squad(held_database())
    if club.players(held_database(), squad):
        choices.choose_player(choices.squad_players(held_database(), squad), state.PLAYER_SHOWN)
    choices.choose_scope(held_database(), squad)


_SURFACES: dict[Door, Callable[[Ground], Any]] = {
    Door.STRIKES: lambda ground: _file(ground, "strikes.csv", materials.STRIKE),
    Door.TALLIES: lambda ground: _file(ground, "tallies.csv", materials.TALLY),
    Door.PLAYERS: _players,
    Door.PARQUET: lambda ground: _file(ground, "strikes.parquet", materials.STRIKE),
    Door.LADDER: _ladder,
    Door.HAND_OVER: _hand_over,
    Door.STRIKE_BODY: _strike_body,
    Door.CORRECTION_BODY: _correction_body,
    Door.REQUEST: _request,
    Door.ADDRESS: _address,
}
