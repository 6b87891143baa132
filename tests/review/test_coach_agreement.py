"""How often the coach and the tool agreed, and what became of it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from builders import SquadBuilder

from tracker.domain.vocabulary import Foot
from tracker.errors import RequestError
from tracker.review import decisions
from tracker.review.agreement_with_coach import Decision, SinceThen, agreement_with_coach
from tracker.review.scope import Scope

GATE, ROLLING, SERVED = "Still ball through a gate", "Rolling ball", "Served volley"


@pytest.fixture
def season(squad: SquadBuilder) -> SquadBuilder:
    """Ana's left foot is ready at the gate, Ben's works there."""
    for day in (7, 14):
        squad.strikes("Ana", Foot.LEFT, "+" * 15, day=date(2026, 3, day), stage=GATE)
        squad.strikes("Ben", Foot.LEFT, "+-" * 6, day=date(2026, 3, day), stage=GATE)
    return squad


def place(squad: SquadBuilder, player: str, stage: str) -> None:
    found = squad.ladder.stage_named(stage)
    assert found
    decisions.place(squad.database, squad.player(player), foot=Foot.LEFT, stage=found)


def judged(squad: SquadBuilder) -> list[tuple[str, str, str]]:
    return agreement_with_coach(squad.database, squad.scope).select("player", "decision", "since_then").rows()


def test_the_stage_suggested_is_as_suggested(season: SquadBuilder) -> None:
    place(season, "Ana", ROLLING)
    assert judged(season) == [("Ana", Decision.AS_SUGGESTED, SinceThen.GATHERING)]


def test_a_higher_stage_is_earlier_and_a_lower_one_lower(season: SquadBuilder) -> None:
    place(season, "Ben", ROLLING)
    place(season, "Ana", SERVED)
    assert [one[1] for one in judged(season)] == [Decision.LATER, Decision.EARLIER]


def test_what_became_of_a_move_is_the_next_one_of_the_same_foot(season: SquadBuilder) -> None:
    place(season, "Ben", ROLLING)
    place(season, "Ben", GATE)
    place(season, "Ben", GATE)
    assert [one[2] for one in judged(season)] == [SinceThen.GATHERING, SinceThen.PLACED_AGAIN, SinceThen.MOVED_BACK]


def test_a_placement_from_before_the_tool_knew_anything_is_no_disagreement(squad: SquadBuilder) -> None:
    squad.placed("Ana", Foot.LEFT, GATE, day=date(2026, 3, 1))
    assert judged(squad) == [("Ana", Decision.NO_SUGGESTION, SinceThen.GATHERING)]


def test_a_decision_taken_back_is_not_counted(season: SquadBuilder) -> None:
    place(season, "Ana", ROLLING)
    (placement,) = decisions.placements_of(season.database, season.player("Ana"))
    decisions.withdraw(season.database, placement.placement_id)
    assert judged(season) == []


def test_days_and_player_cut_the_decisions(season: SquadBuilder) -> None:
    season.placed("Ana", Foot.LEFT, GATE, day=date(2026, 3, 1))
    season.placed("Ben", Foot.LEFT, GATE, day=date(2026, 4, 1))
    of_ana = replace(season.scope, player=season.player("Ana"))
    assert agreement_with_coach(season.database, of_ana)["player"].to_list() == ["Ana"]
    march = replace(season.scope, last_day=date(2026, 3, 31))
    assert agreement_with_coach(season.database, march)["player"].to_list() == ["Ana"]


def test_it_is_a_question_about_one_squad(season: SquadBuilder) -> None:
    with pytest.raises(RequestError, match="which squad"):
        agreement_with_coach(season.database, Scope())


def test_the_latest_decisions_come_first(season: SquadBuilder) -> None:
    for stage in (ROLLING, GATE):
        place(season, "Ana", stage)
    place(season, "Ben", SERVED)
    latest = decisions.latest(season.database, season.squad, most=2)
    assert [(player.display_name, one.stage) for player, one in latest] == [("Ben", SERVED), ("Ana", GATE)]
