"""Seasons that ended long enough ago keep their numbers and lose their names."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from builders import SquadBuilder

from tracker.domain.vocabulary import Foot
from tracker.errors import RequestError
from tracker.review import audit, club
from tracker.review.retention import apply_retention, months_after, retention_months, retention_preview, set_retention
from tracker.store.database import Database
from tracker.store.erasure import counts_about

OLD, NEW = date(2024, 10, 5), date(2025, 10, 4)
LATER = date(2026, 3, 1)


@pytest.fixture
def two_seasons(squad: SquadBuilder) -> SquadBuilder:
    """Ana struck in both seasons, Ben only in the old one; a third player has not struck yet."""
    club.make_season(squad.database, name="2024/25", starts_on=date(2024, 8, 1), ends_on=date(2025, 7, 31))
    club.make_season(squad.database, name="2025/26", starts_on=date(2025, 8, 1), ends_on=date(2026, 7, 31))
    squad.strikes("Ana", Foot.LEFT, "+-+-", day=OLD)
    squad.strikes("Ana", Foot.LEFT, "++", day=NEW)
    squad.strikes("Ben", Foot.RIGHT, "---", day=OLD)
    squad.placed("Ben", Foot.RIGHT, "Rolling ball", day=OLD)
    club.add_player(squad.database, squad.squad, display_name="Cem")
    return squad


def names(squad: SquadBuilder) -> list[str]:
    return [one.display_name for one in club.players(squad.database, squad.squad)]


def test_without_a_rule_nothing_is_done(two_seasons: SquadBuilder) -> None:
    assert apply_retention(two_seasons.database, today=LATER) is None
    assert retention_months(two_seasons.database) is None


def test_a_season_keeps_its_names_until_the_months_are_over(two_seasons: SquadBuilder) -> None:
    set_retention(two_seasons.database, 6, who="coach")
    assert apply_retention(two_seasons.database, today=date(2026, 1, 31)) is None
    assert apply_retention(two_seasons.database, today=date(2026, 2, 1)) is not None


def test_old_numbers_stay_without_a_name_and_present_players_keep_theirs(two_seasons: SquadBuilder) -> None:
    ana = two_seasons.player("Ana")
    set_retention(two_seasons.database, 6, who="coach")
    done = apply_retention(two_seasons.database, today=LATER)
    assert done is not None
    assert {one.player.display_name: one.goes for one in done.players} == {"Ana": False, "Ben": True}
    assert sorted(names(two_seasons)) == ["Ana", "Cem", "Former player 1", "Former player 2"]
    assert counts_about(two_seasons.database, ana.player_id)["strikes"] == 2
    formers = [two_seasons.player(f"Former player {number}") for number in (1, 2)]
    kept = [counts_about(two_seasons.database, one.player_id) for one in formers]
    assert sorted((one["strikes"], one["placements"]) for one in kept) == [(3, 1), (4, 0)]
    assert two_seasons.database.faults()["faults"].sum() == 0


def test_the_rule_does_its_work_once(two_seasons: SquadBuilder) -> None:
    set_retention(two_seasons.database, 6, who="coach")
    apply_retention(two_seasons.database, today=LATER)
    assert apply_retention(two_seasons.database, today=LATER) is None


def test_looking_changes_nothing(two_seasons: SquadBuilder) -> None:
    before = names(two_seasons)
    preview = retention_preview(two_seasons.database, months=6, today=LATER)
    assert (preview.last_day, len(preview.players)) == (date(2025, 7, 31), 2)
    assert names(two_seasons) == before


def test_the_audit_log_says_when_and_how_many(two_seasons: SquadBuilder) -> None:
    set_retention(two_seasons.database, 6, who="coach")
    apply_retention(two_seasons.database, today=LATER)
    log = audit.entries(two_seasons.database)
    assert log["who"].to_list() == ["the retention rule", "coach"]
    assert log["detail"][0] == "2 players without names up to 2025-07-31, 1 of them erased"


def test_the_name_is_gone_from_the_file(tmp_path: Path) -> None:
    with Database.open(tmp_path / "strikes.duckdb", create=True) as opened:
        squad = SquadBuilder.start(opened, "Quillhaven U12", Quxworthy="left")
        club.make_season(opened, name="2024/25", starts_on=date(2024, 8, 1), ends_on=date(2025, 7, 31))
        squad.strikes("Quxworthy", Foot.LEFT, "++", day=OLD)
        set_retention(opened, 0, who="coach")
        opened.rewrite()
        assert b"Quxworthy" in (tmp_path / "strikes.duckdb").read_bytes()
        apply_retention(opened, today=LATER)
    assert b"Quxworthy" not in (tmp_path / "strikes.duckdb").read_bytes()


def test_a_rule_that_cannot_be_is_refused(database: Database) -> None:
    with pytest.raises(RequestError, match="0 to 240"):
        set_retention(database, -1, who="coach")


def test_the_rule_can_be_taken_back(database: Database) -> None:
    set_retention(database, 12, who="coach")
    set_retention(database, None, who="coach")
    assert retention_months(database) is None


@pytest.mark.parametrize(
    ("day", "months", "then"),
    [
        (date(2026, 7, 31), 0, date(2026, 7, 31)),
        (date(2026, 7, 31), 24, date(2028, 7, 31)),
        (date(2023, 8, 31), 6, date(2024, 2, 29)),
        (date(2026, 12, 31), 1, date(2027, 1, 31)),
    ],
)
def test_months_are_counted_on_the_calendar(day: date, months: int, then: date) -> None:
    assert months_after(day, months) == then
