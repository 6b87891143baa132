"""Writing strikes down on the touchline, taking them back, and what a practice holds so far."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from builders import SquadBuilder

from tracker.domain.identity import uuid7
from tracker.domain.vocabulary import Foot, Miss, Outcome, Source, Surface
from tracker.errors import RequestError
from tracker.review.accuracy import accuracy
from tracker.review.logbook import (
    CalledSet,
    correct,
    coverage,
    log_sets,
    log_strike,
    logged,
    moment_in,
    practice_counts,
    practice_on,
    practices,
    undo,
)
from tracker.review.scope import stage_named
from tracker.store.database import Database

DAY = date(2026, 3, 7)


def attempts(squad: SquadBuilder) -> list[tuple[str, str, int, int]]:
    return accuracy(squad.database, squad.scope).select("player", "foot", "attempts", "on_target").rows()


def test_the_practice_of_a_day_is_made_once(database: Database, squad: SquadBuilder) -> None:
    first, again = practice_on(database, squad.squad, DAY), practice_on(database, squad.squad, DAY)
    evening = practice_on(database, squad.squad, DAY, label="evening")
    assert first == again
    assert {one.practice_id for one in practices(database, squad.squad)} == {first.practice_id, evening.practice_id}


def test_a_practice_of_a_day_to_come_is_refused(database: Database, squad: SquadBuilder) -> None:
    tomorrow = datetime.now().astimezone().date() + timedelta(days=1)
    with pytest.raises(RequestError, match=f"practice of {tomorrow} is still to come"):
        practice_on(database, squad.squad, tomorrow)
    assert practices(database, squad.squad) == []


def test_a_tap_is_stored_as_it_was_made(database: Database, squad: SquadBuilder) -> None:
    practice = squad.practice(datetime.now().astimezone().date())
    stage = stage_named(squad.ladder, "rolling BALL")
    before = datetime.now(UTC)
    strike = log_strike(
        database,
        practice,
        player=squad.player("Ana"),
        foot=Foot.LEFT,
        outcome=Outcome.OFF_TARGET,
        miss=Miss.OVER,
        stage=stage,
        surface=Surface.LACES,
        logger="Tess",
    )
    (row,) = database.query(
        "export_strikes", with_voided=False, squad_id=None, first_day=None, last_day=None
    ).to_dicts()
    assert before <= row["struck_at"] <= datetime.now(UTC)
    assert row["strike_id"] == str(strike.strike_id)
    assert (row["player"], row["foot"], row["outcome"], row["miss"]) == ("Ana", "left", "off target", "over")
    assert (row["stage"], row["surface"], row["source"], row["logger"]) == ("Rolling ball", "laces", "tap", "Tess")
    assert (row["distance_m"], row["target_width_m"]) == (stage.distance_m, stage.target.width_m)


def test_a_distance_said_is_kept_and_one_not_said_without_a_stage_is_not_known(squad: SquadBuilder) -> None:
    practice, ana = squad.practice(DAY), squad.player("Ana")
    stage = stage_named(squad.ladder, "Rolling ball")
    said = log_strike(
        squad.database, practice, player=ana, foot=Foot.LEFT, outcome=Outcome.ON_TARGET, stage=stage, distance_m=20.0
    )
    bare = log_strike(squad.database, practice, player=ana, foot=Foot.LEFT, outcome=Outcome.ON_TARGET)
    assert (said.distance_m, bare.distance_m, bare.target_width_m) == (20.0, None, None)


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"outcome": Outcome.ON_TARGET, "miss": Miss.LEFT}, "miss is 'left', but the strike was on target"),
        ({"outcome": Outcome.ON_TARGET, "distance_m": 500.0}, "distance_m must be 0.1 to 120 metres, but is 500"),
    ],
)
def test_a_tap_that_cannot_be_stores_nothing(squad: SquadBuilder, wrong: dict[str, object], sentence: str) -> None:
    with pytest.raises(RequestError, match=f"Nothing was stored: {sentence}"):
        log_strike(squad.database, squad.practice(DAY), player=squad.player("Ana"), foot=Foot.LEFT, **wrong)  # type: ignore[arg-type]
    assert attempts(squad) == []


def test_a_practice_of_an_earlier_day_gets_the_clock_time_of_now_on_that_day(squad: SquadBuilder) -> None:
    now, moment = datetime.now().astimezone(), moment_in(squad.practice(DAY))
    assert moment.tzinfo is UTC
    assert moment.astimezone().date() == DAY
    assert abs(moment.astimezone().hour - now.hour) in (0, 1, 23)


def test_called_out_sets_are_stored_as_strikes_that_share_a_set_and_an_instant(squad: SquadBuilder) -> None:
    ana, ben = squad.player("Ana"), squad.player("Ben")
    called = [
        CalledSet(player=ana, foot=Foot.LEFT, attempts=10, on_target=7),
        CalledSet(player=ana, foot=Foot.RIGHT, attempts=10, on_target=10),
        CalledSet(player=ben, foot=Foot.LEFT, attempts=5, on_target=0),
    ]
    stored = log_sets(
        squad.database, squad.practice(DAY), called, stage=stage_named(squad.ladder, "Rolling ball"), logger="Tess"
    )
    assert stored == 25
    assert attempts(squad) == [("Ana", "left", 10, 7), ("Ana", "right", 10, 10), ("Ben", "left", 5, 0)]
    strikes = squad.database.query("export_strikes", with_voided=False, squad_id=None, first_day=None, last_day=None)
    assert strikes["set_id"].n_unique() == 3
    assert strikes["struck_at"].n_unique() == 1
    assert set(strikes["source"].cast(str)) == {Source.CALL_OUT.value}


def test_no_sets_are_no_strikes(squad: SquadBuilder) -> None:
    before = squad.database.changes
    assert log_sets(squad.database, squad.practice(DAY), [], stage=None) == 0
    assert squad.database.changes == before + 1  # the practice alone


@pytest.mark.parametrize(
    ("tried", "hit", "sentence"),
    [
        (0, 0, "A set has 1 to 100 strikes, but 0 were given"),
        (101, 0, "A set has 1 to 100 strikes, but 101 were given"),
        (10, 12, r"12 on target of 10 strikes cannot be \(Ana, left foot\). Nothing was stored"),
        (10, -1, "-1 on target of 10 strikes cannot be"),
    ],
)
def test_a_set_that_cannot_be_is_refused(squad: SquadBuilder, tried: int, hit: int, sentence: str) -> None:
    with pytest.raises(RequestError, match=sentence):
        CalledSet(player=squad.player("Ana"), foot=Foot.LEFT, attempts=tried, on_target=hit)


def test_what_was_just_logged_is_listed_latest_first_a_row_a_tap_and_a_row_a_called_set(squad: SquadBuilder) -> None:
    practice, ana = squad.practice(DAY), squad.player("Ana")
    called = [CalledSet(player=ana, foot=Foot.LEFT, attempts=10, on_target=7)]
    log_sets(squad.database, practice, called, stage=None)
    tap = log_strike(squad.database, practice, player=ana, foot=Foot.RIGHT, outcome=Outcome.BLOCKED, set_id=uuid7())
    rows = logged(squad.database, practice).to_dicts()
    assert [(row["foot"], row["attempts"], row["on_target"]) for row in rows] == [("right", 0, 0), ("left", 10, 7)]
    assert rows[0]["strike_ids"] == [str(tap.strike_id)]
    assert len(rows[1]["strike_ids"]) == 10
    assert logged(squad.database, practice, most=1).height == 1


def test_undo_takes_a_whole_set_back_and_leaves_it_in_the_records(squad: SquadBuilder) -> None:
    practice, ana = squad.practice(DAY), squad.player("Ana")
    log_sets(squad.database, practice, [CalledSet(player=ana, foot=Foot.LEFT, attempts=10, on_target=7)], stage=None)
    (row,) = logged(squad.database, practice).to_dicts()
    assert undo(squad.database, row["strike_ids"]) == 10
    assert attempts(squad) == []
    assert logged(squad.database, practice).is_empty()
    assert squad.database.query("counts").select("strikes", "corrections").row(0) == (10, 10)


def test_a_correction_needs_a_reason_and_a_strike(squad: SquadBuilder) -> None:
    made = squad.strikes("Ana", Foot.LEFT, "++", day=DAY)
    unknown = uuid7()
    with pytest.raises(RequestError, match="Say why"):
        correct(squad.database, [made[0].strike_id], why="  ", corrected_by=None)
    with pytest.raises(RequestError, match=f"There is no strike {unknown}. Nothing was changed"):
        correct(squad.database, [made[0].strike_id, unknown], why="typo", corrected_by=None)
    assert attempts(squad) == [("Ana", "left", 2, 2)]


def test_correcting_twice_voids_once_and_keeps_the_first_reason(squad: SquadBuilder) -> None:
    (strike,) = squad.strikes("Ana", Foot.LEFT, "+", day=DAY)
    assert correct(squad.database, [strike.strike_id], why=" ball was not still ", corrected_by="Tess") == 1
    assert correct(squad.database, [strike.strike_id], why="again", corrected_by=None) == 0
    (row,) = squad.database.query("export_corrections").to_dicts()
    assert (row["corrected_by"], row["why"]) == ("Tess", "ball was not still")


def test_coverage_shows_every_active_player_with_both_feet(squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.LEFT, "++-b", day=DAY)
    squad.strikes("Ana", Foot.LEFT, "++++", day=date(2026, 3, 8))
    rows = coverage(squad.database, squad.practice(DAY)).select("player", "foot", "attempts", "on_target").rows()
    assert rows == [("Ana", "left", 3, 2), ("Ana", "right", 0, 0), ("Ben", "left", 0, 0), ("Ben", "right", 0, 0)]


def test_practices_are_counted_latest_first(squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.LEFT, "++b", day=DAY)
    squad.strikes("Ana", Foot.LEFT, "+", day=date(2026, 3, 14))
    squad.strikes("Ben", Foot.LEFT, "+", day=date(2026, 3, 14))
    rows = practice_counts(squad.database, squad.squad).select("held_on", "strikes", "players").rows()
    assert rows == [(date(2026, 3, 14), 2, 2), (DAY, 3, 1)]
