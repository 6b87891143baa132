"""A season report says what the questions say, about one player, and claims nothing from few strikes."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from builders import SquadBuilder

from tracker.domain.vocabulary import Foot, ReadinessStatus
from tracker.errors import RequestError
from tracker.review import club
from tracker.review.accuracy import accuracy
from tracker.review.aim_at_stages import aim_at_stages
from tracker.review.archive import import_archive, write_archive
from tracker.review.change import change
from tracker.review.coach_words import LONGEST_WORDS, coach_words, write_coach_words
from tracker.review.first_sets import first_sets
from tracker.review.gap_over_season import gap_over_season
from tracker.review.scope import Scope, player_named
from tracker.review.season_report import Standing, season_report, season_reports, season_to_report
from tracker.store.database import Database

STILL, ROLLING = "Still ball through a gate", "Rolling ball"


def test_every_figure_is_that_of_the_question_put_to_the_whole_squad(demo: Database) -> None:
    squad = club.squads(demo)[0]
    season = season_to_report(demo, squad)
    scope = Scope(squad=squad, season=season)
    rates, changes, firsts, parts = (
        question(demo, scope) for question in (accuracy, change, first_sets, gap_over_season)
    )
    for report in season_reports(demo, squad, season):
        name = report.player.display_name
        assert report.gap_parts.equals(parts.filter(player=name))
        for foot in report.feet:
            of_foot = {"player": name, "foot": foot.foot.value}
            assert foot.accuracy == rates.filter(**of_foot).row(0, named=True)
            assert foot.change == changes.filter(**of_foot).row(0, named=True)
            assert foot.first_sets == (firsts.filter(**of_foot).to_dicts() or [None])[0]


def test_a_report_is_the_same_alone_and_among_others(demo: Database) -> None:
    squad = club.squads(demo)[0]
    season = season_to_report(demo, squad)
    player = player_named(demo, "Zoë L.", squad=squad)
    among = next(one for one in season_reports(demo, squad, season) if one.player == player)
    alone = season_report(demo, player, season)
    assert [foot.change for foot in alone.feet] == [foot.change for foot in among.feet]
    assert [foot.passed for foot in alone.feet] == [foot.passed for foot in among.feet]


def test_the_aim_is_that_of_the_player_page(demo: Database) -> None:
    squad = club.squads(demo)[0]
    season = season_to_report(demo, squad)
    player = player_named(demo, "Bjørn S.", squad=squad)
    page = aim_at_stages(demo, Scope(squad=squad, season=season, player=player))
    for ours, theirs in zip(season_report(demo, player, season).feet, page, strict=True):
        assert ours.aim.aim.equals(theirs.aim)
        assert ours.aim.windows["stage"].to_list() == theirs.windows["stage"].to_list()
        assert ours.aim.windows["predicted_rate"].to_list() == pytest.approx(theirs.windows["predicted_rate"].to_list())


def test_a_stage_moved_on_from_was_passed_on_the_day_the_strikes_showed_it_or_the_coach_decided(
    squad: SquadBuilder,
) -> None:
    database = squad.database
    season = club.make_season(database, name="2025/26", starts_on=date(2025, 8, 1), ends_on=date(2026, 7, 31))
    for day in (date(2026, 3, 1), date(2026, 3, 8), date(2026, 3, 15)):
        squad.strikes("Ana", Foot.RIGHT, "+" * 15, day=day, stage=STILL)
    squad.placed("Ana", Foot.LEFT, STILL, day=date(2026, 3, 1))
    squad.strikes("Ana", Foot.LEFT, "+-" * 6, day=date(2026, 3, 1), stage=STILL)
    squad.placed("Ana", Foot.LEFT, ROLLING, day=date(2026, 3, 20))
    left, right = season_report(database, squad.player("Ana"), season).feet
    assert right.passed == ()
    assert right.ready_on in (date(2026, 3, 8), date(2026, 3, 15))
    assert (right.status, right.next_stage.name) == (ReadinessStatus.READY, ROLLING)
    squad.placed("Ana", Foot.RIGHT, ROLLING, day=date(2026, 3, 22))
    moved = season_report(database, squad.player("Ana"), season).feet[1]
    assert [(one.stage, one.passed_on, one.by_coach) for one in moved.passed] == [(STILL, right.ready_on, False)]
    assert moved.ready_on is None
    assert [(one.stage, one.passed_on, one.by_coach) for one in left.passed] == [(STILL, date(2026, 3, 20), True)]
    assert left.stage.name == ROLLING


def test_a_foot_stands_somewhere_at_every_stage_of_the_ladder(squad: SquadBuilder) -> None:
    database = squad.database
    season = club.make_season(database, name="s", starts_on=date(2026, 1, 1), ends_on=date(2026, 12, 31))
    below, first, second, third, top = squad.stages[:5]
    squad.placed("Ana", Foot.LEFT, first, day=date(2026, 3, 1))
    squad.placed("Ana", Foot.LEFT, second, day=date(2026, 3, 8))
    squad.placed("Ana", Foot.LEFT, third, day=date(2026, 3, 15))
    foot = season_report(database, squad.player("Ana"), season).feet[0]
    stands = [foot.standing_at(one) for one in squad.ladder.stages[:5]]
    assert [below, first, second, third, top] == [one.name for one in squad.ladder.stages[:5]]
    assert stands == [
        Standing.BEGAN_ABOVE,
        Standing.PASSED,
        Standing.PASSED,
        Standing.WORKING,
        Standing.TO_COME,
    ]
    ready = replace(foot, next_stage=squad.ladder.stages[4])
    assert ready.standing_at(foot.stage) is Standing.READY
    back = replace(foot, next_stage=squad.ladder.stages[2], slipped=frozenset([first]))
    assert [back.standing_at(one) for one in squad.ladder.stages[1:3]] == [Standing.TO_FIRM_UP] * 2


def test_what_was_passed_in_another_season_is_not_told_again(squad: SquadBuilder) -> None:
    database = squad.database
    later = club.make_season(database, name="later", starts_on=date(2026, 6, 1), ends_on=date(2026, 8, 1))
    squad.placed("Ana", Foot.LEFT, STILL, day=date(2026, 3, 1))
    squad.placed("Ana", Foot.LEFT, ROLLING, day=date(2026, 3, 20))
    left, _right = season_report(database, squad.player("Ana"), later).feet
    assert left.passed == ()


def test_a_player_without_strikes_has_a_report_without_figures(squad: SquadBuilder) -> None:
    season = club.make_season(squad.database, name="s", starts_on=date(2026, 1, 1), ends_on=date(2026, 12, 31))
    report = season_report(squad.database, squad.player("Ben"), season)
    assert (report.attempts, report.practices, report.first_day) == (0, 0, None)
    assert all(foot.accuracy is foot.change is foot.first_sets is None for foot in report.feet)
    assert report.feet[0].stage.position == 1


def test_the_season_told_is_the_latest_with_a_practice(squad: SquadBuilder) -> None:
    database = squad.database
    with pytest.raises(RequestError, match="no season yet"):
        season_to_report(database, squad.squad)
    club.make_season(database, name="old", starts_on=date(2025, 8, 1), ends_on=date(2026, 5, 31))
    club.make_season(database, name="to come", starts_on=date(2026, 8, 1), ends_on=date(2027, 5, 31))
    assert season_to_report(database, squad.squad).name == "to come"
    squad.practice(date(2026, 3, 1))
    assert season_to_report(database, squad.squad).name == "old"


def test_the_coachs_words_are_kept_per_player_and_season_until_taken_back(squad: SquadBuilder) -> None:
    database, ana = squad.database, squad.player("Ana")
    season = club.make_season(database, name="s", starts_on=date(2026, 1, 1), ends_on=date(2026, 12, 31))
    kept = write_coach_words(database, ana, season, words="  You struck  with both feet.\r\n\x07Keep at it!  ")
    assert kept == coach_words(database, ana, season) == "You struck with both feet.\nKeep at it!"
    assert season_report(database, ana, season).coach_words == kept
    assert season_report(database, squad.player("Ben"), season).coach_words == ""
    write_coach_words(database, ana, season, words=" ")
    assert coach_words(database, ana, season) == ""


def test_words_too_long_for_the_page_are_refused(squad: SquadBuilder) -> None:
    season = club.make_season(squad.database, name="s", starts_on=date(2026, 1, 1), ends_on=date(2026, 12, 31))
    with pytest.raises(RequestError, match=rf"room for {LONGEST_WORDS}"):
        write_coach_words(squad.database, squad.player("Ana"), season, words="x" * (LONGEST_WORDS + 1))


def test_the_coachs_words_travel_with_everything(squad: SquadBuilder, tmp_path: Path) -> None:
    season = club.make_season(squad.database, name="s", starts_on=date(2026, 1, 1), ends_on=date(2026, 12, 31))
    write_coach_words(squad.database, squad.player("Ana"), season, words='=1+1 "Both" feet,\nwell done')
    write_archive(squad.database, tmp_path / "all")
    with Database.open(None) as there:
        import_archive(there, tmp_path / "all")
        ana = player_named(there, "Ana", squad=club.squads(there)[0])
        assert coach_words(there, ana, club.seasons(there)[0]) == '=1+1 "Both" feet,\nwell done'
