"""The log beside the database: one JSON object a line, turned over when full, and never a name in it."""

from __future__ import annotations

import json
import logging
from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import PlainTextResponse
from starlette.routing import Route
from starlette.testclient import TestClient

from tracker.serve.log import LARGEST_LOG_BYTES, OLD_LOGS, RequestLog, log_file, logging_beside, write

NAME = "Zéphyrine"


async def _page(_: Request) -> PlainTextResponse:
    return PlainTextResponse("records")


async def _broken(_: Request) -> PlainTextResponse:
    raise ValueError(f"{NAME} is not in the squad")


APPLICATION = Starlette(
    routes=[Route("/", _page), Route("/api/strikes", _page, methods=["POST"]), Route("/pad", _broken)],
    middleware=[Middleware(RequestLog)],
)


@pytest.fixture
def database_file(tmp_path: Path) -> Iterator[Path]:
    path = tmp_path / "club.duckdb"
    with logging_beside(path):
        yield path


def lines(database_file: Path) -> list[dict[str, object]]:
    return [json.loads(one) for one in log_file(database_file).read_text(encoding="utf-8").splitlines()]


def test_an_event_is_one_line_with_its_fields(database_file: Path) -> None:
    write("started", version="1.2", tls=True)
    (line,) = lines(database_file)
    assert str(line.pop("at")).endswith("+00:00")
    assert line == {"level": "info", "event": "started", "version": "1.2", "tls": True}


def test_deliveries_and_failures_are_logged_and_pages_are_not(database_file: Path) -> None:
    client = TestClient(APPLICATION)
    client.get("/")
    client.post("/api/strikes", json={})
    client.get("/nobody")
    found = [(one["event"], one["method"], one["address"], one["status"]) for one in lines(database_file)]
    assert found == [("request", "POST", "/api/strikes", 200), ("request", "GET", "/…", 404)]


def test_no_name_gets_in_by_an_address_a_query_or_an_error(database_file: Path) -> None:
    client = TestClient(APPLICATION, raise_server_exceptions=False)
    client.get(f"/{NAME}?player={NAME}")
    assert client.get("/pad").status_code == 500
    logged = log_file(database_file).read_text(encoding="utf-8")
    assert NAME not in logged
    assert json.dumps(NAME)[1:-1] not in logged
    assert {"failed", "request"} == {one["event"] for one in lines(database_file)}
    assert any(
        one.get("error") == "ValueError" and str(one["where"]).startswith("test_log.py:")
        for one in lines(database_file)
    )


def test_a_full_log_is_turned_over_and_the_oldest_goes(database_file: Path) -> None:
    for number in range(OLD_LOGS + 3):
        write("x" * (LARGEST_LOG_BYTES - 100), number=number)
    files = sorted(path.name for path in database_file.parent.iterdir())
    assert files == ["club.duckdb.log", *(f"club.duckdb.log.{number}" for number in range(1, OLD_LOGS + 1))]


def test_a_folder_that_takes_no_log_is_no_reason_not_to_start(tmp_path: Path) -> None:
    with logging_beside(tmp_path / "nowhere" / "club.duckdb") as path:
        assert path is None
        write("started")


def test_after_the_block_nothing_is_written_any_more(tmp_path: Path) -> None:
    with logging_beside(tmp_path / "club.duckdb"):
        write("started")
    write("later", level=logging.DEBUG)
    assert [one["event"] for one in lines(tmp_path / "club.duckdb")] == ["started"]
