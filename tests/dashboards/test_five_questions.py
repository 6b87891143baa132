"""Five questions of a coach, each answered within three presses and the same as plain SQL and statsmodels say."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path

import pytest
from statsmodels.stats.proportion import proportion_confint
from streamlit.testing.v1 import AppTest

import dashboards
from tracker.domain.vocabulary import Foot
from tracker.review import club
from tracker.review.change import change
from tracker.review.reach import reach
from tracker.review.readiness import readiness
from tracker.review.scope import Scope, chosen_scope
from tracker.serve.process import hold, let_go
from tracker.store.database import Database

Words = Callable[[AppTest], str]
APP = Path(dashboards.__file__).parent / "app.py"


@pytest.fixture
def start(demo: Database) -> Iterator[AppTest]:
    """The start page on the demo season."""
    hold(demo)
    yield AppTest.from_file(APP, default_timeout=60).run()
    let_go()


def rows_of(database: Database, sql: str, *said: object) -> list[tuple[object, ...]]:
    """What SQL says, asked past everything of ours but the definition of a strike that counts."""
    return database._connection.cursor().execute(sql, list(said)).fetchall()


def player_page(start: AppTest, database: Database, name: str) -> AppTest:
    """Press 1: Player. Presses 2 and 3: open the list, pick the name."""
    players = club.players(database, club.squads(database)[0])
    start.switch_page("screens/player.py").run()
    return (
        start.selectbox(key="player_shown")
        .select(next(one.player_id for one in players if one.display_name == name))
        .run()
    )


def test_is_a_players_left_foot_better_than_in_september(start: AppTest, demo: Database) -> None:
    app = player_page(start, demo, "Zoë L.")
    # The left foot stands first.
    answer = next(one.value for one in app.text if "at the same stage and distance" in one.value)
    name = "Zoë L."
    row = change(demo, chosen_scope(demo, player=name)).filter(foot="left").row(0, named=True)
    assert answer.startswith("Clearly up" if row["low"] > 0 else "No clear change")
    counted = rows_of(
        demo,
        "select held_on < date '2025-12-01', sum(is_on_target), sum(is_attempt) from valid_strike join player "
        "using (player_id) where display_name = ? and foot = 'left' group by 1 order by 1 desc",
        name,
    )
    ends = {bool(is_early): float(hits) / float(attempts) for is_early, hits, attempts in counted}  # type: ignore[arg-type]
    assert (ends[False] > ends[True]) == (row["end_rate"] > row["start_rate"])


def test_who_is_ready_for_the_rolling_ball_with_both_feet(start: AppTest, demo: Database, words: Words) -> None:
    app = start.switch_page("screens/ladder.py").run()  # press 1
    table = words(app).split('aria-label="Who is done with each stage, by foot"')[1]
    found = re.search(r'<td class="words">2. Still ball through a gate</td><td class="words">([^<]*)</td>', table)
    assert found
    board = readiness(demo, Scope(squad=club.squads(demo)[0]))
    now = board.filter("is_current").rows(named=True)
    fell_back = set(board.filter(stage_position=2, status="revisit").select("player", "foot").rows())
    through = {
        (row["player"], row["foot"])
        for row in now
        if row["stage_position"] > 2 or (row["stage_position"] == 2 and row["status"] == "ready")
    } - fell_back
    expected = [
        row["player"]
        for row in now
        if row["foot"] == Foot.LEFT and all((row["player"], foot.value) in through for foot in Foot)
    ]
    assert found[1].replace("&#x27;", "'") == ", ".join(expected)


def test_who_has_under_20_left_foot_strikes_this_month(start: AppTest, demo: Database) -> None:
    app = start.switch_page("screens/squad.py").run()  # press 1
    answer = next(one.value for one in app.text if "left-foot strikes" in one.value)
    few = rows_of(
        demo,
        "select display_name from player left join (select player_id, sum(is_attempt) as strikes from valid_strike "
        "where foot = 'left' and strftime(held_on, '%Y-%m') = '2026-05' group by 1) using (player_id) "
        "where active and coalesce(strikes, 0) < 20 order by shirt_number nulls last, display_name",
    )
    names = ", ".join(str(name) for (name,) in few)
    assert answer == f"Under 20 left-foot strikes in May 2026: {names}".removesuffix(".") + "."


def test_does_anyone_fall_back_after_moving_on(start: AppTest, demo: Database, words: Words) -> None:
    app = start.switch_page("screens/ladder.py").run()  # press 1
    rows = words(app).replace("&#x27;", "'").split("<tr>")
    board = readiness(demo, Scope(squad=club.squads(demo)[0]))
    gone = board.filter("is_passed", status="revisit")
    assert gone.height
    for row in gone.iter_rows(named=True):
        (answer,) = (one for one in rows if f">{row['player']}, {row['foot']}</td>" in one and "the fall" in one)
        assert row["stage"] in answer
        placed = rows_of(
            demo,
            "select stage, placed_at from placement join player using (player_id) where withdrawn_at is null "
            "and display_name = ? and foot = cast(? as foot) order by placed_at",
            row["player"],
            row["foot"],
        )
        assert any(stage == row["stage"] for stage, _ in placed[:-1]) or placed[-1][0] != row["stage"]


def test_from_how_far_does_a_player_still_hit_7_of_10(start: AppTest, demo: Database) -> None:
    name = "Bjørn S."
    app = player_page(start, demo, name)
    answers = [one.value for one in app.text if one.value.startswith("Still hits 7 of 10")]
    for answer, found in zip(answers, reach(demo, chosen_scope(demo, player=name)), strict=True):
        assert found.reach_m is not None
        assert f"from about {round(found.reach_m / 0.9144)} yd" in answer
        for row in found.observed.iter_rows(named=True):
            ((hits, attempts),) = rows_of(
                demo,
                "select sum(is_on_target), sum(is_attempt) from valid_strike join player using (player_id) "
                "where display_name = ? and foot = cast(? as foot) and stage = ? and "
                "case when distance_m < 10 then round(distance_m) else 2 * round(distance_m / 2) end = ?",
                *(name, found.foot.value, row["stage"], row["distance_m"]),
            )
            assert (row["on_target"], row["attempts"]) == (hits, attempts)
            low, high = proportion_confint(hits, attempts, method="wilson")
            assert row["low"] <= low + 1e-9
            assert row["high"] >= high - 1e-9


def test_september_is_in_the_demo_season(demo: Database) -> None:
    ((first,),) = rows_of(demo, "select min(held_on) from practice")
    assert first == date(2025, 9, 6)
