"""A hand-over carries what is known, adds it elsewhere once, and never decides who is who."""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from builders import SquadBuilder

from tracker.domain.vocabulary import Dimension, Foot, Miss
from tracker.errors import FileError, RequestError
from tracker.intake.hand_over_file import read_hand_over
from tracker.review import club
from tracker.review.accuracy import accuracy
from tracker.review.coach_words import coach_words, write_coach_words
from tracker.review.hand_over import hand_over
from tracker.review.logbook import practices, undo
from tracker.review.readiness import readiness
from tracker.review.scope import Scope, player_named
from tracker.review.take_over import Match, preview_hand_over, take_over
from tracker.store.database import Database

DAY = date(2026, 3, 7)
STILL = "Still ball through a gate"


@pytest.fixture
def elsewhere() -> Iterator[Database]:
    with Database.open(None) as opened:
        yield opened


@pytest.fixture
def practised(squad: SquadBuilder) -> SquadBuilder:
    squad.strikes("Ana", Foot.LEFT, "+-+", day=DAY, stage=STILL, miss=Miss.LEFT, distance_m=10.0, target_width_m=2.7)
    squad.strikes("Ana", Foot.RIGHT, "++++", day=DAY, stage=STILL, at_once=True)
    squad.strikes("Ben", Foot.LEFT, "--", day=DAY, stage=STILL)
    squad.placed("Ana", Foot.LEFT, STILL, day=DAY)
    return squad


def with_manifest(content: bytes, **changed: Any) -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(content)) as old, zipfile.ZipFile(made, "w") as new:
        for name in old.namelist():
            part = old.read(name)
            new.writestr(name, json.dumps(json.loads(part) | changed) if name == "manifest.json" else part)
    return made.getvalue()


def test_a_squad_arrives_as_it_was(practised: SquadBuilder, elsewhere: Database) -> None:
    content = hand_over(practised.database, practised.squad)
    preview = preview_hand_over(elsewhere, content, source="h.zip")
    assert [(one.player.display_name, one.strikes, one.match) for one in preview.players] == [
        ("Ana", 7, Match.NEW),
        ("Ben", 2, Match.NEW),
    ]
    taken = take_over(elsewhere, content, source="h.zip")
    assert (taken.players, taken.strikes, taken.placements) == (2, 9, 1)
    by = [Dimension.PLAYER, Dimension.FOOT, Dimension.STAGE]
    there = Scope(squad=taken.squad)
    assert accuracy(elsewhere, there, by=by).equals(accuracy(practised.database, practised.scope, by=by))
    assert readiness(elsewhere, there).equals(readiness(practised.database, practised.scope))


def test_taken_twice_it_adds_nothing(practised: SquadBuilder, elsewhere: Database) -> None:
    content = hand_over(practised.database, practised.squad)
    take_over(elsewhere, content, source="h.zip")
    preview = preview_hand_over(elsewhere, content, source="h.zip")
    assert {one.match for one in preview.players} == {Match.HERE}
    assert (preview.strikes, preview.new_strikes) == (9, 0)
    again = take_over(elsewhere, content, source="h.zip")
    assert (again.players, again.strikes, again.placements) == (0, 0, 0)


def test_what_is_here_stays_as_it_is(practised: SquadBuilder, elsewhere: Database) -> None:
    content = hand_over(practised.database, practised.squad)
    squad = take_over(elsewhere, content, source="h.zip").squad
    ana = player_named(elsewhere, "Ana", squad=squad)
    club.change_player(elsewhere, replace(ana, display_name="Ana K.", shirt_number=9))
    take_over(elsewhere, content, source="h.zip")
    assert player_named(elsewhere, "Ana K.", squad=squad).shirt_number == 9


def test_one_player_goes_to_another_squad_with_the_practices_labelled(
    practised: SquadBuilder, elsewhere: Database
) -> None:
    target = SquadBuilder.start(elsewhere, "Quillhaven U14", Cai="left")
    target.practice(DAY)
    content = hand_over(practised.database, practised.squad, players=[practised.player("Ana")])
    taken = take_over(elsewhere, content, source="h.zip", squad=target.squad)
    assert (taken.squad, taken.strikes) == (target.squad, 7)
    assert {one.label for one in practices(elsewhere, target.squad)} == {"", "Quillhaven U12"}
    counted = accuracy(elsewhere, target.scope, by=[Dimension.PLAYER])
    assert counted.select("player", "attempts").rows() == [("Ana", 7)]


def test_somebody_of_the_same_name_is_asked_about_before_anything_is_stored(
    practised: SquadBuilder, elsewhere: Database
) -> None:
    target = SquadBuilder.start(elsewhere, "Quillhaven U12", Ana="left")
    content = hand_over(practised.database, practised.squad, players=[practised.player("Ana")])
    preview = preview_hand_over(elsewhere, content, source="h.zip")
    (asked,) = preview.to_decide
    assert asked.namesake == target.player("Ana")
    with pytest.raises(RequestError, match="Somebody here is called Ana too"):
        take_over(elsewhere, content, source="h.zip")
    assert accuracy(elsewhere, target.scope).is_empty()


def test_the_coach_says_they_are_the_same(practised: SquadBuilder, elsewhere: Database) -> None:
    target = SquadBuilder.start(elsewhere, "Quillhaven U12", Ana="left")
    content = hand_over(practised.database, practised.squad, players=[practised.player("Ana")])
    here = target.player("Ana")
    take_over(elsewhere, content, source="h.zip", decisions={practised.player("Ana").player_id: here})
    assert club.players(elsewhere, target.squad) == [here]
    assert accuracy(elsewhere, target.scope, by=[Dimension.PLAYER])["attempts"].to_list() == [7]


def test_the_coach_tells_them_apart(practised: SquadBuilder, elsewhere: Database) -> None:
    target = SquadBuilder.start(elsewhere, "Quillhaven U12", Ana="left")
    content = hand_over(practised.database, practised.squad, players=[practised.player("Ana")])
    newcomer = practised.player("Ana").player_id
    with pytest.raises(RequestError, match="called ana already"):
        take_over(elsewhere, content, source="h.zip", decisions={newcomer: "ana"})
    take_over(elsewhere, content, source="h.zip", decisions={newcomer: "Ana K."})
    assert [one.display_name for one in club.players(elsewhere, target.squad)] == ["Ana", "Ana K."]


def test_notes_and_words_go_along_only_when_the_coach_says_so(practised: SquadBuilder, elsewhere: Database) -> None:
    database, ana = practised.database, practised.player("Ana")
    year = {"name": "2025/26", "starts_on": date(2025, 8, 1), "ends_on": date(2026, 7, 31)}
    write_coach_words(database, ana, club.make_season(database, **year), words="Kept at it.")  # type: ignore[arg-type]
    season = club.make_season(elsewhere, **year)  # type: ignore[arg-type]
    take_over(elsewhere, hand_over(database, practised.squad), source="h.zip")
    assert coach_words(elsewhere, ana, season) == ""
    take_over(elsewhere, hand_over(database, practised.squad, with_notes=True), source="h.zip")
    assert coach_words(elsewhere, ana, season) == "Kept at it."


def test_voided_strikes_stay_behind_and_so_do_other_children(practised: SquadBuilder, elsewhere: Database) -> None:
    (strike, *_others) = practised.strikes("Ana", Foot.LEFT, "+", day=DAY)
    undo(practised.database, [strike.strike_id])
    content = hand_over(practised.database, practised.squad, players=[practised.player("Ana")])
    tables = read_hand_over(content, source="h.zip").tables
    names = {name: one.frame["player"].unique().to_list() for name, one in tables.items() if name != "practices"}
    assert names == {"players": ["Ana"], "strikes": ["Ana"], "placements": ["Ana"]}
    assert preview_hand_over(elsewhere, content, source="h.zip").strikes == 7


@pytest.mark.parametrize(
    ("content", "why"),
    [(b"no zip", "not a hand-over file"), (b"PK\x05\x06" + bytes(18), "no manifest.json")],
)
def test_a_file_that_is_no_hand_over_is_refused(elsewhere: Database, content: bytes, why: str) -> None:
    with pytest.raises(FileError, match=why):
        preview_hand_over(elsewhere, content, source="h.zip")


@pytest.mark.parametrize(
    ("changed", "why"),
    [({"version": 2}, "newer Strike Ladder"), ({"format": "other"}, "is not a hand-over but 'other'")],
)
def test_a_newer_or_other_format_is_refused(
    practised: SquadBuilder, elsewhere: Database, changed: dict[str, object], why: str
) -> None:
    content = with_manifest(hand_over(practised.database, practised.squad), **changed)
    with pytest.raises(FileError, match=why):
        preview_hand_over(elsewhere, content, source="h.zip")


def test_stages_the_ladder_here_does_not_have_are_named(practised: SquadBuilder, elsewhere: Database) -> None:
    club.make_squad(elsewhere, name="Quillhaven U12", ladder_name="U8–U10")
    practised.strikes("Ana", Foot.LEFT, "+", day=DAY, stage="Our own stage")
    preview = preview_hand_over(elsewhere, hand_over(practised.database, practised.squad), source="h.zip")
    assert "Our own stage" in preview.unknown_stages
