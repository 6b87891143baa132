"""The season's questions: strikes this month, the gap in thirds, aim at stages, reach, first sets, the season line."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import polars as pl
import pytest
from builders import SquadBuilder
from hypothesis import given
from hypothesis import strategies as st

from tracker.domain.vocabulary import Foot, Miss
from tracker.errors import RequestError
from tracker.review.aim_at_stages import aim_at_stages
from tracker.review.gap_over_season import CatchingUp, catching_up, gap_over_season, squad_catching_up
from tracker.review.logbook import CalledSet, log_sets
from tracker.review.month_coverage import month_coverage, months
from tracker.review.practice_strip import practice_strip
from tracker.review.reach import reach
from tracker.review.scope import Scope
from tracker.review.season_line import season_line

GATE, ROLLING = "Still ball through a gate", "Rolling ball"


def of(squad: SquadBuilder, name: str) -> Scope:
    return replace(squad.scope, player=squad.player(name))


def aimed(squad: SquadBuilder, distance_m: float, *, hits: int, day: int) -> None:
    """Twenty strikes of Ana's right foot at the gate, misses on either side alike."""
    far = {"stage": GATE, "distance_m": distance_m, "target_width_m": 2.7432, "day": date(2026, 3, day)}
    squad.strikes("Ana", Foot.RIGHT, "+" * hits, **far)
    for miss in (Miss.LEFT, Miss.RIGHT):
        squad.strikes("Ana", Foot.RIGHT, "-" * ((20 - hits) // 2), miss=miss, **far)


def test_a_foot_without_strikes_in_the_month_is_counted_as_none(squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.LEFT, "+" * 20, day=date(2026, 4, 2), stage=GATE)
    squad.strikes("Ben", Foot.LEFT, "+" * 30, day=date(2026, 3, 2), stage=GATE)
    april = month_coverage(squad.database, squad.scope)
    assert april.month == "2026-04"
    assert april.feet.rows() == [("Ana", "left", 20), ("Ana", "right", 0), ("Ben", "left", 0), ("Ben", "right", 0)]
    assert april.few(Foot.LEFT) == ["Ben"]
    assert months(squad.database, squad.scope) == ["2026-04", "2026-03"]
    assert month_coverage(squad.database, squad.scope, month="2026-03").few(Foot.LEFT) == ["Ana"]


def test_before_the_first_practice_there_is_no_month(squad: SquadBuilder) -> None:
    nothing = month_coverage(squad.database, squad.scope)
    assert nothing.month is None
    assert nothing.feet["attempts"].to_list() == [0, 0, 0, 0]


def test_the_gap_is_told_in_thirds_of_the_practices(squad: SquadBuilder) -> None:
    for day, left in ((1, "+---"), (2, "+---"), (3, "++--"), (4, "++--"), (5, "++++"), (6, "++++")):
        squad.strikes("Ana", Foot.LEFT, left, day=date(2026, 3, day), stage=GATE)
        squad.strikes("Ana", Foot.RIGHT, "+++-", day=date(2026, 3, day), stage=GATE)
    parts = gap_over_season(squad.database, squad.scope)
    assert parts["part"].to_list() == ["start", "middle", "end"]
    assert parts["other_rate"].to_list() == [0.25, 0.5, 1.0]
    assert parts["gap"].to_list() == pytest.approx([0.5, 0.25, -0.25])
    assert parts["practices"].to_list() == [2, 2, 2]
    assert parts["preferred_attempts"].to_list() == [8, 8, 8]


def test_the_gap_told_is_between_the_rates_told(squad: SquadBuilder) -> None:
    for day in (1, 2, 3):
        squad.strikes("Ana", Foot.LEFT, "++--", day=date(2026, 3, day), stage=GATE)
        squad.strikes("Ana", Foot.RIGHT, "+++-", day=date(2026, 3, day), stage=GATE)
        squad.strikes("Ana", Foot.RIGHT, "----", day=date(2026, 3, day), stage=ROLLING)  # the left foot never does
    part = gap_over_season(squad.database, squad.scope).row(0, named=True)
    assert (part["preferred_rate"], part["preferred_like"], part["other_like"]) == pytest.approx((0.375, 0.75, 0.5))
    assert part["gap"] == pytest.approx(part["preferred_like"] - part["other_like"])
    for side in ("preferred", "other"):
        assert part[f"{side}_like_low"] < part[f"{side}_like"] < part[f"{side}_like_high"]


def season_of_left(squad: SquadBuilder, *hits: int) -> CatchingUp:
    """Ana's left foot hits so many of 20 in each practice, her right one 16."""
    for day, count in enumerate(hits):
        squad.strikes("Ana", Foot.LEFT, "+" * count + "-" * (20 - count), day=date(2026, 3, 1 + day), stage=GATE)
        squad.strikes("Ana", Foot.RIGHT, "+" * 16 + "-" * 4, day=date(2026, 3, 1 + day), stage=GATE)
    return catching_up(gap_over_season(squad.database, squad.scope))


def test_the_other_foot_catches_up_when_the_gap_clearly_falls(squad: SquadBuilder) -> None:
    assert season_of_left(squad, 0, 1, 0, 8, 8, 8, 16, 15, 16) is CatchingUp.YES


def test_the_other_foot_falls_behind_when_the_gap_clearly_grows(squad: SquadBuilder) -> None:
    assert season_of_left(squad, 16, 15, 16, 8, 8, 8, 0, 1, 0) is CatchingUp.FALLING_BEHIND


def test_a_few_strikes_more_are_no_catching_up(squad: SquadBuilder) -> None:
    assert season_of_left(squad, 10, 10, 10, 11, 11, 11, 12, 12, 12) is CatchingUp.NO_CLEAR_CHANGE


def test_every_player_of_a_squad_has_a_verdict_beside_the_gap_at_both_ends(squad: SquadBuilder) -> None:
    for day in (1, 2, 3):
        squad.strikes("Ben", Foot.LEFT, "++--", day=date(2026, 3, day), stage=GATE)
    season_of_left(squad, 0, 1, 0, 8, 8, 8, 16, 15, 16)
    found = squad_catching_up(gap_over_season(squad.database, squad.scope))
    assert found["player"].to_list() == ["Ana", "Ben"]
    assert found["verdict"].to_list() == ["catching up", "cannot say"]
    assert found.row(0)[2:4] == pytest.approx((0.783, 0.017), abs=0.001)
    assert found.row(1)[2:4] == (None, None)


def test_two_days_are_no_start_and_end(squad: SquadBuilder) -> None:
    for day in (1, 2):
        squad.strikes("Ana", Foot.LEFT, "+-", day=date(2026, 3, day), stage=GATE)
    assert gap_over_season(squad.database, squad.scope).is_empty()


def test_a_foot_that_struck_only_at_the_end_has_one_part(squad: SquadBuilder) -> None:
    for day in (1, 2, 3):
        squad.practice(date(2026, 3, day))
    squad.strikes("Ana", Foot.LEFT, "+-", day=date(2026, 3, 3), stage=GATE)
    parts = gap_over_season(squad.database, squad.scope)
    assert parts.select("part", "other_rate", "preferred_rate").rows() == [("end", 0.5, None)]
    assert catching_up(parts) is CatchingUp.CANNOT_SAY


def test_aim_is_told_at_the_stage_now_and_at_the_next_one(squad: SquadBuilder) -> None:
    for day in (1, 2, 3):
        aimed(squad, 10.0584, hits=14, day=day)
    left, right = aim_at_stages(squad.database, of(squad, "Ana"))
    assert left.aim.is_empty()
    assert not left.has_wedge
    assert right.has_wedge
    assert right.windows.select("stage", "is_next").rows() == [(GATE, False), (ROLLING, True)]
    assert right.windows["predicted_rate"].to_list() == pytest.approx([0.7, 0.7], abs=0.02)


def test_the_reach_is_where_the_aim_promises_the_share(squad: SquadBuilder) -> None:
    for day in (1, 2, 3):
        aimed(squad, 10.0584, hits=14, day=day)
    left, right = reach(squad.database, of(squad, "Ana"))
    assert left.reach_m is None
    assert right.reach_m == pytest.approx(10.0, abs=0.5)
    assert right.reach_low_m is not None
    assert right.reach_high_m is not None
    assert right.reach_low_m < right.reach_m < right.reach_high_m
    assert right.observed.select("attempts", "on_target").rows() == [(60, 42)]
    nearer = reach(squad.database, of(squad, "Ana"), share=0.9)[1]
    assert nearer.reach_m is not None
    assert nearer.reach_m < right.reach_m
    assert nearer.is_beyond


def test_the_curve_falls_with_distance_and_says_where_it_is_a_forecast(squad: SquadBuilder) -> None:
    aimed(squad, 8.0, hits=18, day=1)
    aimed(squad, 12.0, hits=12, day=2)
    curve = reach(squad.database, of(squad, "Ana"))[1].curve
    assert curve["rate"].is_sorted(descending=True)
    assert curve.filter("is_struck")["distance_m"].to_list()[0] == 8.0
    assert curve.filter("is_struck")["distance_m"].to_list()[-1] == 12.0


@pytest.mark.parametrize("share", [0.0, 1.0, -0.1])
def test_a_share_must_lie_between_none_and_all(squad: SquadBuilder, share: float) -> None:
    with pytest.raises(ValueError, match="share"):
        reach(squad.database, of(squad, "Ana"), share=share)


def test_a_question_about_one_player_needs_one(squad: SquadBuilder) -> None:
    for question in (reach, aim_at_stages):
        with pytest.raises(RequestError, match="which player"):
            question(squad.database, squad.scope)  # type: ignore[operator]


def called(squad: SquadBuilder, day: int, *on_target: int) -> None:
    """Sets of ten of Ana's left foot at the gate, called out one after the other."""
    stage = squad.ladder.stage_named(GATE)
    for hits in on_target:
        one = CalledSet(player=squad.player("Ana"), foot=Foot.LEFT, attempts=10, on_target=hits)
        log_sets(squad.database, squad.practice(date(2026, 3, day)), [one], stage=stage)


def test_the_strip_has_the_first_set_beside_the_later_ones_in_time(squad: SquadBuilder) -> None:
    called(squad, 8, 3, 6, 8)
    called(squad, 1, 5, 7)
    called(squad, 15, 9)
    strip = practice_strip(squad.database, squad.scope)
    assert strip.select("player", "foot", "held_on").rows() == [
        ("Ana", "left", date(2026, 3, 1)),
        ("Ana", "left", date(2026, 3, 8)),
    ]
    assert strip["first_rate"].to_list() == [0.5, 0.3]
    assert strip["later_rate"].to_list() == [0.7, 0.7]
    assert strip["later_attempts"].to_list() == [10, 20]


@given(start=st.floats(0.01, 0.99), end=st.floats(0.01, 0.99), length=st.integers(1, 300))
def test_the_season_line_runs_from_start_to_end_without_a_turn(start: float, end: float, length: int) -> None:
    days = [date(2026, 1, 1), date.fromordinal(date(2026, 1, 1).toordinal() + length)]
    line = season_line({"start_rate": start, "end_rate": end}, days)
    assert line["rate"][0] == pytest.approx(start)
    assert line["rate"][-1] == pytest.approx(end)
    assert (line["day"][0], line["day"][-1]) == tuple(days)
    assert line["rate"].round(12).is_sorted(descending=start > end)


def test_without_a_verdict_there_is_no_season_line() -> None:
    assert season_line({"start_rate": None, "end_rate": None}, [date(2026, 1, 1), date(2026, 2, 1)]).is_empty()
    assert isinstance(season_line({"start_rate": 0.5, "end_rate": 1.0}, []), pl.DataFrame)
