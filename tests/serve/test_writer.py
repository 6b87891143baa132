"""Many phones at once: everything acknowledged is stored, each id once, and one failure is nobody else's."""

from __future__ import annotations

from concurrent.futures import Future, ThreadPoolExecutor
from datetime import UTC, datetime
from pathlib import Path
from uuid import UUID

import pytest
from builders import SquadBuilder

from tracker.domain.identity import uuid7
from tracker.domain.practice import Practice
from tracker.domain.strike import Strike
from tracker.domain.vocabulary import Foot, Outcome, Source
from tracker.serve.writer import Answer, GroupWriter
from tracker.store.database import Database


def strike(practice: Practice, player_id: UUID, *, strike_id: UUID | None = None) -> Strike:
    return Strike(
        strike_id=strike_id or uuid7(),
        practice_id=practice.practice_id,
        player_id=player_id,
        stage="Rolling ball",
        foot=Foot.LEFT,
        surface=None,
        outcome=Outcome.ON_TARGET,
        miss=None,
        distance_m=8.0,
        target_width_m=2.7,
        struck_at=datetime.now(UTC),
        set_id=None,
        source=Source.TAP,
        logger="Tess",
    )


def test_sixteen_phones_at_once_lose_and_double_nothing(tmp_path: Path) -> None:
    with Database.open(tmp_path / "strikes.duckdb", create=True) as database:
        squad = SquadBuilder.start(database, "Quillhaven U12", Ana="right")
        practice, player_id = squad.practice(datetime.now().astimezone().date()), squad.player("Ana").player_id
        writer = GroupWriter(database)

        def phone(_: int) -> list[str]:
            acknowledged: list[str] = []
            for _ in range(20):
                answer = writer.deliver_strikes([strike(practice, player_id)], practice_id=practice.practice_id)
                acknowledged += answer.result(timeout=30)[0].stored
            return acknowledged

        with ThreadPoolExecutor(16) as phones:
            acknowledged = [one for batch in phones.map(phone, range(16)) for one in batch]
        writer.close()
        stored = database.query("strikes_by_id", strike_ids=acknowledged)
        assert len(set(acknowledged)) == 320
        assert stored.height == 320
        assert database.query("counts")["strikes"].to_list() == [320]


def test_two_phones_that_bring_the_same_id_store_it_once(squad: SquadBuilder) -> None:
    practice, player_id = squad.practice(datetime.now().astimezone().date()), squad.player("Ana").player_id
    writer = GroupWriter(squad.database)
    same = uuid7()
    answers: list[Future[Answer]] = [
        writer.deliver_strikes([strike(practice, player_id, strike_id=same)], practice_id=practice.practice_id)
        for _ in range(5)
    ]
    results = [one.result(timeout=30)[0] for one in answers]
    writer.close()
    assert sum(len(one.stored) for one in results) == 1
    assert sum(len(one.already_there) for one in results) == 4


def test_a_delivery_that_cannot_be_stored_fails_alone(squad: SquadBuilder) -> None:
    practice, player_id = squad.practice(datetime.now().astimezone().date()), squad.player("Ana").player_id
    writer = GroupWriter(squad.database)
    bad = strike(practice, player_id)
    object.__setattr__(bad, "target_width_m", -1.0)  # the table itself refuses this
    answers = [
        writer.deliver_strikes([one], practice_id=practice.practice_id)
        for one in (strike(practice, player_id), bad, strike(practice, player_id))
    ]
    assert answers[0].result(timeout=30)[0].stored
    with pytest.raises(Exception, match="Nothing was stored"):
        answers[1].result(timeout=30)
    assert answers[2].result(timeout=30)[0].stored
    writer.close()
    assert squad.database.query("counts")["strikes"].to_list() == [2]


def test_what_waits_is_stored_before_the_writer_ends(squad: SquadBuilder) -> None:
    practice, player_id = squad.practice(datetime.now().astimezone().date()), squad.player("Ana").player_id
    writer = GroupWriter(squad.database)
    answers = [
        writer.deliver_strikes([strike(practice, player_id)], practice_id=practice.practice_id) for _ in range(50)
    ]
    writer.close()
    assert all(one.done() for one in answers)
    assert squad.database.query("counts")["strikes"].to_list() == [50]
