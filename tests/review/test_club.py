"""Squads, seasons, players and ladders: set up, changed, and refused with a sentence."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from builders import SquadBuilder

from tracker.domain.ladder_file import shipped_ladder_text
from tracker.domain.vocabulary import LengthUnit, PreferredFoot
from tracker.errors import LadderError, RequestError
from tracker.review import club
from tracker.review.scope import player_named, season_named, squad_named, stage_named
from tracker.store.database import Database


def test_a_new_squad_brings_its_ladder(database: Database) -> None:
    squad = club.make_squad(database, name=" Quillhaven   U9 ", ladder_name="U8–U10")
    assert squad.name == "Quillhaven U9"
    assert club.ladder_of(database, squad).name == "U8–U10"
    assert club.squads(database) == [squad]


@pytest.mark.parametrize("name", ["Quillhaven U12", "quillhaven u12", " Quillhaven  U12 "])
def test_a_squad_name_is_taken_whatever_its_case_and_spaces(database: Database, squad: SquadBuilder, name: str) -> None:
    with pytest.raises(RequestError, match=r"There is a squad .* already"):
        club.make_squad(database, name=name)
    assert club.squads(database) == [squad.squad]


@pytest.mark.parametrize("name", ["", "   ", "x" * 81])
def test_a_name_that_is_none_is_refused(database: Database, name: str) -> None:
    with pytest.raises(RequestError, match="Squad must have 1 to 80 characters"):
        club.make_squad(database, name=name)


def test_a_squad_cannot_start_on_a_ladder_that_is_not_there(database: Database) -> None:
    with pytest.raises(RequestError, match=r"no ladder 'U99'. There is: U8–U10, U11–U12, U13–U18"):
        club.make_squad(database, name="Reds", ladder_name="U99")


@pytest.mark.parametrize("name", ["2025/26", " 2025/26  "])
def test_a_season_name_is_taken_once(database: Database, name: str) -> None:
    club.make_season(database, name="2025/26", starts_on=date(2025, 8, 1), ends_on=date(2026, 7, 31))
    with pytest.raises(RequestError, match=r"There is a season .* already"):
        club.make_season(database, name=name, starts_on=date(2025, 8, 1), ends_on=date(2026, 7, 31))


def test_a_season_that_ends_before_it_starts_is_refused(database: Database) -> None:
    with pytest.raises(RequestError, match="Season 'X' ends on 2025-01-01, before it starts on 2025-02-01"):
        club.make_season(database, name="X", starts_on=date(2025, 2, 1), ends_on=date(2025, 1, 1))


@pytest.mark.parametrize(
    ("day", "name", "first", "last"),
    [
        (date(2025, 8, 1), "2025/26", date(2025, 8, 1), date(2026, 7, 31)),
        (date(2026, 7, 31), "2025/26", date(2025, 8, 1), date(2026, 7, 31)),
        (date(2099, 12, 31), "2099/00", date(2099, 8, 1), date(2100, 7, 31)),
    ],
)
def test_a_season_runs_from_august_to_july(day: date, name: str, first: date, last: date) -> None:
    assert club.season_around(day) == (name, first, last)


def test_two_players_of_a_squad_need_two_names(database: Database, squad: SquadBuilder) -> None:
    with pytest.raises(RequestError, match=r"a player 'ANA' in this squad already. Give one of them another"):
        club.add_player(database, squad.squad, display_name="ANA")
    other = SquadBuilder.start(database, "Reds", Ana="left")
    assert other.player("Ana") != squad.player("Ana")


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"shirt_number": 1000}, "Shirt_number must be 0 to 999, but is 1000"),
        ({"birth_year": 1066}, "Birth_year must be 1990 to 2100, but is 1066"),
        ({"display_name": "a\tb\x00"}, "control character"),
    ],
)
def test_a_player_that_cannot_be_is_refused(squad: SquadBuilder, fields: dict[str, object], sentence: str) -> None:
    with pytest.raises(RequestError, match=sentence):
        club.add_player(squad.database, squad.squad, **{"display_name": "Mia", **fields})  # type: ignore[arg-type]
    assert [one.display_name for one in club.players(squad.database, squad.squad)] == ["Ana", "Ben"]


def test_a_player_keeps_their_id_through_every_change(squad: SquadBuilder) -> None:
    ana = squad.player("Ana")
    changed = replace(ana, display_name="Ana M.", shirt_number=9, preferred_foot=PreferredFoot.BOTH, active=False)
    club.change_player(squad.database, changed)
    assert squad.player("ana m.") == changed


def test_a_ladder_in_use_can_be_replaced_by_a_file(squad: SquadBuilder) -> None:
    text = shipped_ladder_text("U13–U18").replace('name = "U13–U18"', 'name = "Our own"', 1)
    assert club.use_ladder(squad.database, squad.squad, text=text, source="own.toml").name == "Our own"
    again = squad_named(squad.database, squad.squad.name)
    assert club.ladder_of(squad.database, again).name == "Our own"
    assert club.ladder_text(squad.database, again) == text


def test_a_ladder_that_breaks_a_rule_changes_nothing(squad: SquadBuilder) -> None:
    text = shipped_ladder_text("U11–U12").replace("p_ready = 0.80", "p_ready = 0.20")
    with pytest.raises(LadderError, match=r"own\.toml: stage 'Still ball through a gate', field 'p_ready'"):
        club.use_ladder(squad.database, squad.squad, text=text, source="own.toml")
    assert squad_named(squad.database, None) == squad.squad


def test_a_squad_whose_ladder_is_gone_says_how_to_put_one_in_use(database: Database, squad: SquadBuilder) -> None:
    database._connection.execute("delete from ladder").fetchall()
    with pytest.raises(RequestError, match="ladder 'U11–U12' of squad 'Quillhaven U12' is not in the database"):
        club.ladder_of(database, squad.squad)


def test_distances_are_shown_in_yards_until_set_otherwise(database: Database) -> None:
    assert club.length_unit(database) is LengthUnit.YARDS
    club.set_length_unit(database, LengthUnit.METRES)
    assert club.length_unit(database) is LengthUnit.METRES


def test_the_stages_of_a_ladder_show_their_angle(squad: SquadBuilder) -> None:
    stages = club.stages_of(squad.ladder)
    assert stages["stage"].to_list() == squad.stages
    assert stages["angular_width_deg"].to_list() == [round(one.angular_width_deg, 1) for one in squad.ladder.stages]


def test_names_are_found_whatever_their_case_and_spaces(database: Database, squad: SquadBuilder) -> None:
    club.make_season(database, name="2025/26", starts_on=date(2025, 8, 1), ends_on=date(2026, 7, 31))
    assert squad_named(database, " QUILLHAVEN u12 ") == squad.squad
    assert player_named(database, " ana ", squad=None) == squad.player("Ana")
    assert season_named(database, " 2025/26 ").name == "2025/26"
    assert stage_named(squad.ladder, " rolling BALL").name == "Rolling ball"


def test_a_name_that_is_not_there_is_answered_with_those_that_are(database: Database, squad: SquadBuilder) -> None:
    with pytest.raises(RequestError, match=r"no squad 'Reds'. There is: Quillhaven U12"):
        squad_named(database, "Reds")
    with pytest.raises(RequestError, match=r"no player 'Mia'. There is: Ana, Ben"):
        player_named(database, "Mia", squad=squad.squad)
    with pytest.raises(RequestError, match=r"no season '1999'. There is none yet"):
        season_named(database, "1999")
    with pytest.raises(RequestError, match=r"no stage 'Penalty'. There is: Served volley, "):
        stage_named(squad.ladder, "Penalty")


def test_with_several_squads_one_has_to_be_named(database: Database) -> None:
    SquadBuilder.start(database, "Reds", Ana="left")
    SquadBuilder.start(database, "Blues", Ana="left")
    with pytest.raises(RequestError, match=r"Which squad. There is: Blues, Reds. Say so with --squad NAME"):
        squad_named(database, None)
    with pytest.raises(RequestError, match=r"2 players are called 'Ana'. Say which squad with --squad NAME"):
        player_named(database, "Ana", squad=None)
