"""The touchline routes on a database in memory, asked as a phone would, without a server process."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

import pytest
from builders import SquadBuilder
from phone import Phone
from starlette.applications import Starlette
from starlette.testclient import TestClient

from tracker.domain.practice import Practice
from tracker.review.pad import give_pass
from tracker.serve.pad_routes import pad_routes
from tracker.serve.process import hold, let_go


@pytest.fixture
def practice(squad: SquadBuilder) -> Practice:
    return squad.practice(datetime.now().astimezone().date())


@pytest.fixture
def phone(squad: SquadBuilder, practice: Practice) -> Iterator[Phone]:
    hold(squad.database)
    with TestClient(Starlette(routes=pad_routes())) as client:
        given = give_pass(squad.database, practice, logger="Tess")
        yield Phone(client=client, given=given, player_id=squad.player("Ana").player_id)
    let_go()
