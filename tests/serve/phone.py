"""A phone with a pass, for tests."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any
from uuid import UUID

from httpx2 import Response
from starlette.testclient import TestClient

from tracker.domain.identity import uuid7
from tracker.review.pad import PadPass


@dataclass(frozen=True, kw_only=True, slots=True)
class Phone:
    """A phone with a pass."""

    client: TestClient
    given: PadPass
    player_id: UUID

    def get(self, path: str, *, token: str | None = None) -> Response:
        return self.client.get(path, headers={"Authorization": f"Bearer {token or self.given.token}"})

    def post(self, path: str, body: object, *, token: str | None = None, **headers: str) -> Response:
        return self.client.post(
            path, json=body, headers={"Authorization": f"Bearer {token or self.given.token}", **headers}
        )

    def strike(self, **changes: Any) -> dict[str, Any]:
        """A strike as the page sends it."""
        return {
            "strike_id": str(uuid7()),
            "practice": str(self.given.practice_id),
            "player": str(self.player_id),
            "stage": "Rolling ball",
            "foot": "left",
            "surface": "inside",
            "outcome": "off target",
            "miss": "over",
            "distance_m": None,
            "struck_at": datetime.now(UTC).isoformat(),
            "set_id": None,
            "source": "tap",
        } | changes
