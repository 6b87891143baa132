"""Whom to watch next: where one more set tells most, with the reason in words, the same every time."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import polars as pl
import pytest
from builders import SquadBuilder

from tracker.domain.vocabulary import Foot
from tracker.review import club
from tracker.review.scope import Scope, practice_named
from tracker.review.watch import WatchReason, watch
from tracker.store.database import Database

TODAY = date(2026, 5, 2)
GATE = "Still ball through a gate"  # 0.60 not yet, 0.80 ready, sets of ten


def before(weeks: int) -> date:
    return TODAY - timedelta(weeks=weeks)


def watched(squad: SquadBuilder) -> pl.DataFrame:
    return watch(squad.database, squad.scope, squad.practice(TODAY))


def of(frame: pl.DataFrame, player: str, foot: Foot) -> dict[str, Any]:
    return frame.filter(player=player, foot=foot.value).row(0, named=True)


def test_every_active_player_is_listed_with_both_feet(squad: SquadBuilder) -> None:
    club.change_player(squad.database, replace(squad.player("Ben"), active=False))
    club.add_player(squad.database, squad.squad, display_name="Cem")
    frame = watched(squad)
    assert frame["order"].to_list() == [1, 2, 3, 4]
    assert sorted(frame.select("player", "foot").rows()) == [
        ("Ana", "left"),
        ("Ana", "right"),
        ("Cem", "left"),
        ("Cem", "right"),
    ]


def test_before_the_first_strike_all_are_alike_and_shirts_decide(database: Database) -> None:
    squad = SquadBuilder.start(database, "Quillhaven U12")
    for name, shirt in (("Ana", 9), ("Ben", 4)):
        club.add_player(database, squad.squad, display_name=name, shirt_number=shirt)
    frame = watched(squad)
    assert frame.select("player", "foot").rows() == [
        ("Ben", "left"),
        ("Ben", "right"),
        ("Ana", "left"),
        ("Ana", "right"),
    ]
    assert set(frame["stage"]) == {squad.stages[0]}
    assert frame["reason"][0] == "no strikes with the left at this stage yet"


def test_a_foot_close_to_its_line_comes_first(squad: SquadBuilder) -> None:
    for weeks, outcomes in ((3, "++++++++-+"), (2, "+++++++-++"), (1, "+++-")):
        squad.strikes("Ana", Foot.RIGHT, outcomes, day=before(weeks), stage=GATE)
    squad.placed("Ana", Foot.RIGHT, GATE, day=before(4))
    first = watched(squad).row(0, named=True)
    assert (first["player"], first["foot"], first["why"]) == ("Ana", "right", WatchReason.CLOSE_TO_THE_LINE)
    assert (
        first["reason"] == f"{first['hits_short']} hit{'s' if first['hits_short'] > 1 else ''} short of the ready line"
    )
    assert 0.3 < first["decision"] < 1


def test_a_score_at_the_line_by_one_practice_needs_strikes_of_another(squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.RIGHT, "+" * 30, day=before(1), stage=GATE)
    last_week = watched(squad).row(0, named=True)
    assert (last_week["why"], last_week["decision"]) == (WatchReason.AT_THE_LINE, 1)
    assert last_week["reason"] == "at the ready line: strikes of one more practice decide"


def test_today_s_strikes_alone_cannot_decide(squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.RIGHT, "+" * 30, day=TODAY, stage=GATE)
    assert of(watched(squad), "Ana", Foot.RIGHT)["decision"] == 0


def test_few_strikes_are_a_reason(squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.LEFT, "+--+--", day=before(1), stage=GATE)
    row = of(watched(squad), "Ana", Foot.LEFT)
    assert (row["why"], row["reason"]) == (WatchReason.FEW_STRIKES, "only 6 strikes so far")


def test_long_unseen_is_a_reason_and_worth_more_than_seen_last_week(squad: SquadBuilder) -> None:
    for player, weeks in (("Ana", 5), ("Ben", 1)):
        for ago in range(weeks, weeks + 4):
            squad.strikes(player, Foot.LEFT, "+-+-+-+---", day=before(ago), stage=GATE)
    frame = watched(squad)
    ana, ben = of(frame, "Ana", Foot.LEFT), of(frame, "Ben", Foot.LEFT)
    assert (ana["why"], ana["reason"]) == (WatchReason.LONG_UNSEEN, "not seen with the left for 5 weeks")
    assert (ben["why"], ben["reason"]) == (WatchReason.NOT_TODAY, "not yet logged today")
    assert ana["narrowing"] > ben["narrowing"]
    assert ana["order"] < ben["order"]


def test_a_foot_logged_today_comes_after_one_that_was_not(squad: SquadBuilder) -> None:
    for player in ("Ana", "Ben"):
        for weeks in (1, 2, 3):
            squad.strikes(player, Foot.LEFT, "+-+-+-+---", day=before(weeks), stage=GATE)
    squad.strikes("Ana", Foot.LEFT, "+-+-+-+---", day=TODAY, stage=GATE)
    frame = watched(squad)
    ana, ben = of(frame, "Ana", Foot.LEFT), of(frame, "Ben", Foot.LEFT)
    assert ben["order"] < ana["order"]
    assert (ana["why"], ana["reason"]) == (WatchReason.WELL_KNOWN, "well known: 40 strikes, 10 of them today")


def test_a_foot_that_is_ready_waits_for_the_coach(squad: SquadBuilder) -> None:
    for weeks in (1, 2, 3):
        squad.strikes("Ana", Foot.RIGHT, "+" * 15, day=before(weeks), stage=GATE)
    row = of(watched(squad), "Ana", Foot.RIGHT)
    assert (row["why"], row["decision"], row["hits_short"]) == (WatchReason.READY, 0, None)


def test_strikes_after_the_practice_are_not_known_then(squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.LEFT, "+--+--", day=before(2), stage=GATE)
    then = watch(squad.database, squad.scope, squad.practice(before(1)))
    squad.strikes("Ana", Foot.LEFT, "+" * 20, day=TODAY, stage=GATE)
    assert watch(squad.database, squad.scope, squad.practice(before(1))).equals(then)


def test_the_same_strikes_give_the_same_order(demo: Database) -> None:
    practice = practice_named(demo, "2026-05-30", scope=Scope())
    frame = watch(demo, Scope(), practice)
    assert frame.equals(watch(demo, Scope(), practice))
    assert frame.height == 32
    assert frame["information"].is_sorted(descending=True)
    assert frame["order"].to_list() == list(range(1, 33))
    close = frame.filter(why=WatchReason.CLOSE_TO_THE_LINE.value)
    assert close.height >= 3
    assert close["hits_short"].max() <= 6


def test_one_player_can_be_asked_about(squad: SquadBuilder) -> None:
    scope = Scope(squad=squad.squad, player=squad.player("Ben"))
    assert set(watch(squad.database, scope, squad.practice(TODAY))["player"]) == {"Ben"}


@pytest.mark.parametrize("rate", ["+", "-"])
def test_strikes_all_alike_are_no_trouble(squad: SquadBuilder, rate: str) -> None:
    squad.strikes("Ana", Foot.LEFT, rate * 12, day=before(1), stage=GATE)
    frame = watched(squad)
    assert frame["information"].is_finite().all()
