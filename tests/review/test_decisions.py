"""A coach's placements, with what the tool suggested beside them."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from builders import SquadBuilder

from tracker.domain.identity import uuid7
from tracker.domain.vocabulary import Foot, ReadinessStatus
from tracker.errors import RequestError
from tracker.review.decisions import place, placements_of, suggestion, withdraw
from tracker.review.scope import stage_named

GATE, UPPER = "Still ball through a gate", "Rolling ball"


def test_a_placement_keeps_what_the_tool_suggested_at_that_moment(squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.LEFT, "+" * 40, day=date(2026, 3, 7), stage=GATE)
    squad.strikes("Ana", Foot.LEFT, "+", day=date(2026, 3, 14), stage=GATE)
    made = place(
        squad.database,
        squad.player("Ana"),
        foot=Foot.LEFT,
        stage=stage_named(squad.ladder, UPPER),
        note=" calm and sure ",
    )
    assert (made.suggested_stage, made.suggested_status) == (UPPER, ReadinessStatus.READY)
    assert made.note == "calm and sure"
    assert placements_of(squad.database, squad.player("Ana")) == [made]
    assert placements_of(squad.database, squad.player("Ben")) == []


def test_without_strikes_nothing_is_suggested(squad: SquadBuilder) -> None:
    assert suggestion(squad.database, squad.player("Ana"), foot=Foot.LEFT) == (None, None)
    made = place(squad.database, squad.player("Ana"), foot=Foot.LEFT, stage=stage_named(squad.ladder, GATE), note="  ")
    assert (made.suggested_stage, made.suggested_status, made.note) == (None, None, None)
    assert suggestion(squad.database, squad.player("Ana"), foot=Foot.LEFT) == (GATE, ReadinessStatus.GATHERING)
    assert suggestion(squad.database, squad.player("Ana"), foot=Foot.RIGHT) == (None, None)


def test_a_placement_holds_from_now_on(squad: SquadBuilder) -> None:
    before = datetime.now(UTC)
    made = place(squad.database, squad.player("Ana"), foot=Foot.LEFT, stage=stage_named(squad.ladder, GATE))
    assert before <= made.placed_at <= datetime.now(UTC)


def test_a_note_that_is_too_long_is_refused(squad: SquadBuilder) -> None:
    with pytest.raises(RequestError, match="at most 500 characters; this one has 501"):
        place(
            squad.database, squad.player("Ana"), foot=Foot.LEFT, stage=stage_named(squad.ladder, GATE), note="x" * 501
        )
    assert placements_of(squad.database, squad.player("Ana")) == []


def test_a_placement_taken_back_stays_in_the_records_and_cannot_be_taken_back_again(squad: SquadBuilder) -> None:
    made = place(squad.database, squad.player("Ana"), foot=Foot.LEFT, stage=stage_named(squad.ladder, GATE))
    withdraw(squad.database, made.placement_id)
    assert placements_of(squad.database, squad.player("Ana")) == []
    (row,) = squad.database.query("export_placements").to_dicts()
    assert row["withdrawn_at"] >= made.placed_at
    with pytest.raises(RequestError, match="taken back already"):
        withdraw(squad.database, made.placement_id)
    with pytest.raises(RequestError, match="or is not there"):
        withdraw(squad.database, uuid7())
