"""The description of the touchline page's addresses is true: they are asked what it allows, and what it does not."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
import schemathesis
from builders import SquadBuilder
from hypothesis import HealthCheck, given, settings
from schemathesis import GenerationMode
from starlette.applications import Starlette
from starlette.testclient import TestClient

from tracker.domain.identity import uuid7
from tracker.domain.practice import Practice
from tracker.review.pad import give_pass
from tracker.serve.answers import PracticeAnswer
from tracker.serve.openapi import openapi_description
from tracker.serve.pad_routes import pad_routes
from tracker.serve.process import hold, let_go

ADDRESSES = [("/api/practice", "GET"), ("/api/strikes", "POST"), ("/api/corrections", "POST")]
DOCUMENTED = {"200", "401", "403", "413", "415", "422"}


@dataclass(frozen=True, kw_only=True, slots=True)
class Service:
    """The routes on a database of their own, a pass for today's practice, and the description they serve."""

    client: TestClient
    practice: Practice
    player: str
    authorization: dict[str, str]
    schema: Any

    def post(self, path: str, body: object = None, **more: Any) -> Any:
        return self.client.post(
            path, **({"json": body} if body is not None else {}), **({"headers": self.authorization} | more)
        )


@pytest.fixture
def service(squad: SquadBuilder) -> Iterator[Service]:
    hold(squad.database)
    practice = squad.practice(datetime.now().astimezone().date())
    given_pass = give_pass(squad.database, practice, logger="Tess")
    app = Starlette(routes=pad_routes())
    with TestClient(app) as client:
        yield Service(
            client=client,
            practice=practice,
            player=str(squad.player("Ana").player_id),
            authorization={"Authorization": f"Bearer {given_pass.token}"},
            schema=schemathesis.openapi.from_asgi("/api/openapi.json", app),
        )
    let_go()


def test_the_description_is_served_to_anybody_and_made_from_the_models(service: Service) -> None:
    answer = service.client.get("/api/openapi.json")
    assert answer.status_code == 200
    assert answer.json() == openapi_description()
    assert {(path, verb.upper()) for path, verbs in answer.json()["paths"].items() for verb in verbs} == set(ADDRESSES)
    service.schema.validate()


@pytest.mark.parametrize("mode", list(GenerationMode))
@pytest.mark.parametrize(("path", "method"), ADDRESSES)
def test_whatever_is_asked_the_answer_is_one_the_description_names(
    service: Service, path: str, method: str, mode: GenerationMode
) -> None:
    if path == "/api/practice" and mode is GenerationMode.NEGATIVE:
        pytest.skip("it takes nothing that could be wrong")

    @settings(max_examples=10 if method == "GET" else 30, suppress_health_check=list(HealthCheck))
    @given(case=service.schema[path][method].as_strategy(generation_mode=mode))
    def asked(case: Any) -> None:
        answer = case.call(headers=service.authorization, session=service.client)
        assert str(answer.status_code) in case.operation.definition.raw["responses"] or answer.status_code in (404, 405)
        case.validate_response(answer, excluded_checks=[schemathesis.checks.CHECKS.get_one("unsupported_method")])

    asked()


def test_each_refusal_that_is_described_happens(service: Service) -> None:
    strike = {"strike_id": str(uuid7()), "practice": str(service.practice.practice_id)}
    other = {"strike_id": str(uuid7()), "practice": str(uuid7())}
    seen = {
        "200": service.post("/api/strikes", {"strikes": []}),
        "401": service.client.post("/api/strikes", json={"strikes": []}),
        "403": service.post("/api/strikes", {"strikes": [other]}),
        "413": service.post("/api/strikes", {"strikes": [strike] * 501}),
        "415": service.post("/api/strikes", content="strikes"),
        "422": service.post("/api/strikes", {"strikes": "seven"}),
    }
    assert {status: str(answer.status_code) for status, answer in seen.items()} == dict(zip(seen, seen, strict=True))
    assert seen.keys() == openapi_description()["paths"]["/api/strikes"]["post"]["responses"].keys() == DOCUMENTED
    assert all(answer.json().keys() == {"error"} for status, answer in seen.items() if status != "200")


def test_what_a_practice_is_told_has_the_described_shape(service: Service) -> None:
    told = service.client.get("/api/practice", headers=service.authorization).json()
    assert PracticeAnswer.model_validate(told).model_dump(mode="json").keys() == told.keys()


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"stage": "a\x07b"}, "stage"),
        ({"stage": "\u202e"}, "stage"),
        ({"stage": "x" * 81}, "stage"),
        ({"struck_at": "0001-01-01T00:00:00+14:00"}, "struck_at"),
        ({"struck_at": "9999-12-31T23:59:59-14:00"}, "struck_at"),
        ({"struck_at_phone": "9999-12-31T23:59:59-14:00"}, "struck_at_phone"),
        ({"distance_m": 1e308}, "distance_m"),
        ({"distance_m": 10**400}, "distance_m"),
        ({"set_id": "not one"}, "set_id"),
    ],
)
def test_one_strange_strike_is_told_which_field_and_spoils_no_other(
    service: Service, change: dict[str, object], field: str
) -> None:
    right = {
        "practice": str(service.practice.practice_id),
        "player": service.player,
        "foot": "left",
        "outcome": "on target",
        "struck_at": (datetime.now(UTC) - timedelta(minutes=1)).isoformat(),
    }
    odd, plain = {**right, "strike_id": str(uuid7()), **change}, {**right, "strike_id": str(uuid7())}
    told = service.post("/api/strikes", {"strikes": [odd, plain]}).json()
    assert told["stored"] == [plain["strike_id"]]
    assert [(one["strike_id"], one["field"]) for one in told["rejected"]] == [(odd["strike_id"], field)]


@pytest.mark.parametrize(
    "content",
    [
        b'{"strikes": NaN}',
        b'{"strikes": [{"strike_id": Infinity}]}',
        b"[" * 100_000,
        b'{"strikes":' * 50_000,
        b'{"strikes": [' + b"9" * 100_000 + b"]}",
        b'{"strikes": [{"strike_id": "\\ud800"}]}',
        b"\xff\xfe{\x00}\x00",
        b"",
    ],
    ids=["nan", "infinity", "deep lists", "deep objects", "huge integer", "half a character", "utf-16", "nothing"],
)
def test_json_that_is_none_or_too_deep_is_refused_in_a_sentence(service: Service, content: bytes) -> None:
    answer = service.post(
        "/api/strikes", content=content, headers=service.authorization | {"Content-Type": "application/json"}
    )
    assert answer.status_code == 422
    assert answer.json()["error"]


def test_of_two_keys_of_one_name_the_last_counts(service: Service) -> None:
    content = b'{"strikes": "seven", "strikes": []}'
    headers = service.authorization | {"Content-Type": "application/json"}
    answer = service.post("/api/strikes", content=content, headers=headers)
    assert answer.json() == {"stored": [], "already_there": [], "rejected": []}
