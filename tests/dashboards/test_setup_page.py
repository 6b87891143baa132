"""The Setup page: players, seasons, ladder, units, and files in and out."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable
from datetime import date

import polars as pl
import pytest
from builders import SquadBuilder
from streamlit.testing.v1 import AppTest

from dashboards.ui import files
from tracker.domain.ladder_file import shipped_ladder_text
from tracker.domain.vocabulary import ExportWhat, Foot, LengthUnit, PreferredFoot
from tracker.review import club
from tracker.store.database import Database

OpenPage = Callable[[str], AppTest]
Words = Callable[[AppTest], str]
GOOD = "struck_at,player,foot,outcome\n2026-03-07T18:00:00Z,Ana,left,on\n2026-03-07T18:01:00Z,Ana,left,off\n"
BAD = GOOD + "2026-03-07T18:02:00Z,Ana,middle,on\n"


def press(app: AppTest, label: str) -> AppTest:
    next(button for button in app.button if button.label == label).click().run()
    assert not app.exception
    return app


def upload(app: AppTest, key: str, name: str, text: str) -> AppTest:
    app.file_uploader(key=key).upload(name, text.encode())
    return app


def strikes(squad: SquadBuilder) -> int:
    return int(squad.database.query("counts")["strikes"][0])


def test_without_a_squad_the_page_makes_one(open_page: OpenPage, database: Database) -> None:
    app = open_page("setup")
    app.text_input(key="squad_name").set_value("Reds U12")
    press(app, "Make this squad")
    assert club.squads(database)[0].name == "Reds U12"
    assert app.success[0].value == "Squad Reds U12 is made. Next: its players."


def test_a_player_is_added(open_page: OpenPage, squad: SquadBuilder) -> None:
    app = open_page("setup")
    app.text_input(key="player_name:None").set_value("Cleo")
    app.number_input(key="player_shirt:None").set_value(9)
    app.selectbox(key="player_preferred:None").set_value(PreferredFoot.LEFT)
    press(app, "Add this player")
    cleo = squad.player("Cleo")
    assert (cleo.shirt_number, cleo.birth_year, cleo.preferred_foot) == (9, None, PreferredFoot.LEFT)
    assert app.text_input(key="player_name:None").value == ""


def test_two_players_of_one_name_are_refused_and_the_form_keeps_its_fields(
    open_page: OpenPage, squad: SquadBuilder
) -> None:
    app = open_page("setup")
    app.text_input(key="player_name:None").set_value("ana")
    press(app, "Add this player")
    assert "in this squad already" in app.error[0].value
    assert app.text_input(key="player_name:None").value == "ana"
    assert len(club.players(squad.database, squad.squad)) == 2


def test_a_player_is_changed(open_page: OpenPage, squad: SquadBuilder) -> None:
    ana = squad.player("Ana").player_id
    app = open_page("setup")
    app.selectbox(key="player_edited").select(ana).run()
    app.text_input(key=f"player_name:{ana}").set_value("Ana B.")
    app.number_input(key=f"player_birth_year:{ana}").set_value(2014)
    press(app, "Save this player")
    changed = squad.player("Ana B.")
    assert (changed.player_id, changed.birth_year, changed.preferred_foot) == (ana, 2014, PreferredFoot.RIGHT)


def test_an_empty_name_is_refused(open_page: OpenPage, squad: SquadBuilder) -> None:
    ana = squad.player("Ana").player_id
    app = open_page("setup")
    app.selectbox(key="player_edited").select(ana).run()
    app.text_input(key=f"player_name:{ana}").set_value(" ")
    press(app, "Save this player")
    assert "must have 1 to 80 characters" in app.error[0].value
    assert squad.player("Ana").player_id == ana


def test_a_player_who_left_is_no_longer_logged(open_page: OpenPage, squad: SquadBuilder) -> None:
    ana = squad.player("Ana").player_id
    app = open_page("setup")
    app.selectbox(key="player_edited").select(ana).run()
    app.checkbox(key=f"player_active:{ana}").uncheck()
    press(app, "Save this player")
    squad.practice(date.today())  # noqa: DTZ011
    app.switch_page("screens/today.py").run()
    assert len(app.selectbox(key="striker").options) == 1


def test_players_come_from_a_file(open_page: OpenPage, squad: SquadBuilder) -> None:
    app = upload(open_page("setup"), "players_file", "players.csv", "player,preferred_foot\nCleo,left\nDev,right\n")
    press(app, "Add these players")
    assert app.success[0].value == "2 players added from the file."
    assert squad.player("Dev").preferred_foot is PreferredFoot.RIGHT


def test_a_season_is_added_and_its_dates_must_be_in_order(open_page: OpenPage, squad: SquadBuilder) -> None:
    app = open_page("setup")
    app.text_input(key="season_name").set_value("spring")
    app.date_input(key="season_starts").set_value(date(2026, 5, 1))
    app.date_input(key="season_ends").set_value(date(2026, 3, 1))
    press(app, "Add this season")
    assert "before it starts" in app.error[0].value
    app.date_input(key="season_starts").set_value(date(2026, 2, 1))
    press(app, "Add this season")
    assert [season.name for season in club.seasons(squad.database)] == ["spring"]


def test_the_ladder_shows_its_stages_with_the_angle_of_each_target(
    open_page: OpenPage, squad: SquadBuilder, words: Words
) -> None:
    shown = words(open_page("setup"))
    first = squad.ladder.stages[0]
    assert f'<td class="words">{first.angular_width_deg:.0f}°</td>' in shown
    assert "gate 4 yd" in shown
    assert "Serve by hand, underarm and gently" in shown


def test_another_shipped_ladder_is_put_in_use(open_page: OpenPage, squad: SquadBuilder) -> None:
    app = open_page("setup")
    app.selectbox(key="ladder_name").select("U8–U10").run()
    press(app, "Use this ladder")
    assert club.squads(squad.database)[0].ladder_name == "U8–U10"


def test_a_ladder_of_the_clubs_own_is_put_in_use(open_page: OpenPage, squad: SquadBuilder) -> None:
    text = shipped_ladder_text("U11–U12").replace('name = "U11–U12"', 'name = "Ours"')
    press(upload(open_page("setup"), "ladder_file", "ours.toml", text), "Use this file")
    assert club.squads(squad.database)[0].ladder_name == "Ours"


def test_a_ladder_that_breaks_a_rule_is_refused_with_file_stage_and_field(
    open_page: OpenPage, squad: SquadBuilder
) -> None:
    text = shipped_ladder_text("U11–U12").replace("p_ready = 0.80", "p_ready = 0.10")
    app = press(upload(open_page("setup"), "ladder_file", "ours.toml", text), "Use this file")
    for part in ("ours.toml", "Still ball through a gate", "p\\_ready"):
        assert part in app.error[0].value
    assert club.squads(squad.database)[0].ladder_name == "U11–U12"


def test_a_button_that_needs_a_file_says_so(open_page: OpenPage, squad: SquadBuilder) -> None:
    app = open_page("setup")
    for label in ("Use this file", "Check the file", "Store the strikes", "Add these players"):
        press(app, label)
        assert app.error[0].value == "Choose a file first."


def test_metres_are_shown_once_chosen(open_page: OpenPage, squad: SquadBuilder, words: Words) -> None:
    app = open_page("setup")
    app.get("segmented_control")[0].set_value(LengthUnit.METRES).run()
    assert club.length_unit(squad.database) is LengthUnit.METRES
    assert "gate 3.7 m" in words(app)


def test_a_file_is_checked_without_storing_and_then_stored(open_page: OpenPage, squad: SquadBuilder) -> None:
    app = press(upload(open_page("setup"), "strikes_file", "march.csv", GOOD), "Check the file")
    assert app.success[0].value == "Checked, nothing stored: 2 strikes would be new, 0 strikes are there already."
    assert strikes(squad) == 0
    press(app, "Store the strikes")
    assert app.success[0].value == "Stored: 2 strikes new; 0 strikes were there already."
    press(app, "Store the strikes")
    assert app.success[0].value == "Stored: 0 strikes new; 2 strikes were there already."
    assert strikes(squad) == 2


def test_wrong_rows_are_shown_with_the_reason_and_nothing_is_stored(open_page: OpenPage, squad: SquadBuilder) -> None:
    app = press(upload(open_page("setup"), "strikes_file", "march.csv", BAD), "Store the strikes")
    assert app.error[0].value == "1 of 3 rows is wrong, so nothing was stored."
    (row,) = app.dataframe[0].value.to_dict(orient="records")
    assert (row["line"], row["column"], row["value"]) == (4, "foot", "middle")
    assert [button.label for button in app.get("download_button")].count("Download the wrong rows") == 1
    assert strikes(squad) == 0


def test_wrong_rows_are_left_out_when_asked(open_page: OpenPage, squad: SquadBuilder) -> None:
    app = upload(open_page("setup"), "strikes_file", "march.csv", BAD)
    app.checkbox(key="skip_bad_rows").check()
    press(app, "Store the strikes")
    assert strikes(squad) == 2
    assert "1 row left out; the reasons are below." in [one.value for one in app.text]


def test_a_file_that_cannot_be_read_is_named_without_its_folder(open_page: OpenPage, squad: SquadBuilder) -> None:
    app = press(upload(open_page("setup"), "strikes_file", "march.csv", "nothing\nof use\n"), "Check the file")
    assert "march.csv" in app.error[0].value
    assert "/tmp" not in app.error[0].value


@pytest.mark.parametrize("ending", ["csv", "parquet"])
def test_strikes_are_exported_as_import_reads_them(squad: SquadBuilder, ending: str) -> None:
    squad.strikes("Ana", Foot.LEFT, "++-", day=date(2026, 3, 7))
    written = files.exported(squad.database, what=ExportWhat.STRIKES, ending=ending, squad=squad.squad)
    frame = pl.read_csv(written) if ending == "csv" else pl.read_parquet(io.BytesIO(written))
    assert frame["player"].to_list() == ["Ana"] * 3


def test_everything_is_exported_as_one_zip(squad: SquadBuilder) -> None:
    squad.strikes("Ana", Foot.LEFT, "++-", day=date(2026, 3, 7))
    packed = files.exported(squad.database, what=ExportWhat.ALL, ending="csv", squad=squad.squad)
    names = zipfile.ZipFile(io.BytesIO(packed)).namelist()
    assert "strike-ladder/strikes.csv" in names
    assert files.export_name(ExportWhat.ALL, "csv") == "strike-ladder.zip"
