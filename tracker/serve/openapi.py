"""What the touchline page's addresses take and answer, as OpenAPI 3.1, made from the models that check it.

Source: OpenAPI Specification 3.1.0, https://spec.openapis.org/oas/v3.1.0. Served at ``/api/openapi.json``.
"""

from __future__ import annotations

from functools import cache
from typing import Any

from pydantic import BaseModel
from pydantic.json_schema import models_json_schema

from tracker import __version__
from tracker.serve.answers import DeliveryAnswer, PracticeAnswer, Refusal
from tracker.serve.payloads import MOST_A_CALL, CorrectionList, CorrectionPayload, StrikeList, StrikePayload

_SCHEMA = "#/components/schemas/{model}"
_REFUSALS = {
    "401": "The pass is not known, was revoked, or has expired.",
    "403": "The pass is for another practice, or the request comes from another page.",
    "413": f"More than {MOST_A_CALL} entries or a megabyte at once.",
    "415": "The content is not application/json.",
    "422": "The body has another shape; the sentence names the field.",
}


@cache
def openapi_description() -> dict[str, Any]:
    """The whole description, ready for JSON."""
    models: list[type[BaseModel]] = [StrikeList, StrikePayload, CorrectionList, CorrectionPayload]
    models += [DeliveryAnswer, PracticeAnswer, Refusal]
    _, made = models_json_schema([(model, "validation") for model in models], ref_template=_SCHEMA)
    schemas = made["$defs"]
    # An entry of another shape spoils no other: it is answered among the rejected ones, as long as its id is one.
    for whole, name, entry in (
        (StrikeList, "strikes", StrikePayload),
        (CorrectionList, "corrections", CorrectionPayload),
    ):
        items = schemas[whole.__name__]["properties"][name]
        items["items"] = {"anyOf": [{"$ref": _SCHEMA.format(model=entry.__name__)}, items["items"]]}
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "Strike Ladder, the touchline page",
            "version": __version__,
            "description": "A pass logs one practice. A 200 to a delivery means that what it stored is on disk.",
        },
        "security": [{"pass": []}],
        "paths": {
            "/api/practice": {"get": _operation("What the page needs to know of its practice.", answer=PracticeAnswer)},
            "/api/strikes": {"post": _delivery("Stores strikes, each id once.", body=StrikeList)},
            "/api/corrections": {"post": _delivery("Voids strikes of this practice.", body=CorrectionList)},
        },
        "components": {
            "schemas": schemas,
            "securitySchemes": {"pass": {"type": "http", "scheme": "bearer", "description": "The token of a pass."}},
        },
    }


def _operation(what: str, *, answer: type[BaseModel], refusals: tuple[str, ...] = ("401",)) -> dict[str, Any]:
    return {
        "summary": what,
        "responses": {
            "200": {"description": what, "content": _json(answer)},
            **{status: {"description": _REFUSALS[status], "content": _json(Refusal)} for status in refusals},
        },
    }


def _delivery(what: str, *, body: type[BaseModel]) -> dict[str, Any]:
    described = _operation(what, answer=DeliveryAnswer, refusals=("401", "403", "413", "415", "422"))
    return {**described, "requestBody": {"required": True, "content": _json(body)}}


def _json(model: type[BaseModel]) -> dict[str, Any]:
    return {"application/json": {"schema": {"$ref": _SCHEMA.format(model=model.__name__)}}}
