"""Children's names are data: no page turns one into markup, a picture, a link or an icon."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from html import escape

import polars as pl
import pytest
from builders import SquadBuilder
from hypothesis import given
from hypothesis import strategies as st
from streamlit.testing.v1 import AppTest

from dashboards.ui.escape import plain
from dashboards.ui.table import table_html
from tracker.domain.vocabulary import Foot
from tracker.review import club, decisions

OpenPage = Callable[[str], AppTest]
ODD = [
    "<script>alert(1)</script>",
    "**bold**",
    "[x](http://y)",
    ":material/home:",
    "$x$",
    "![x](http://y/z.png)",
    ":red[hot] :smile:",
    '=HYPERLINK("x")',
    "# `1`",
    "www.y.example a@b.example",
]
JOINER = "\u2060"


@pytest.fixture
def odd_squad(squad: SquadBuilder) -> SquadBuilder:
    """A squad of odd names, every one with strikes today and a placement."""
    today = datetime.now().astimezone().date()
    for name in ODD:
        club.add_player(squad.database, squad.squad, display_name=name)
        squad.strikes(name, Foot.LEFT, "+++++-----+-", day=today, stage="Served volley")
        decisions.place(squad.database, squad.player(name), foot=Foot.LEFT, stage=squad.ladder.stages[1], note=name)
    return squad


@pytest.mark.parametrize("page", ["today", "squad", "player", "feet", "ladder", "setup"])
def test_a_page_shows_odd_names_and_never_in_markdown_or_html_as_they_are(
    open_page: OpenPage, odd_squad: SquadBuilder, page: str
) -> None:
    app = open_page(page)
    marked = [*app.markdown, *app.caption, *app.title, *app.header, *app.subheader, *app.success, *app.error, *app.info]
    labels = [one.label for one in (*app.button, *app.number_input, *app.expander, *app.checkbox, *app.text_input)]
    for name in (name for name in ODD if name != '=HYPERLINK("x")'):  # which is no markup
        assert not [text for text in (*(one.value for one in marked), *labels) if name in text]
    assert not [one.value for one in app.html if "<script" in one.value]


def test_a_message_about_an_odd_name_is_escaped(open_page: OpenPage, squad: SquadBuilder) -> None:
    app = open_page("setup")
    app.text_input(key="player_name:None").set_value("[x](http://y)")
    next(button for button in app.button if button.label == "Add this player").click().run()
    assert app.success[0].value == f"\\[x\\](http:{JOINER}//y) is added."


@pytest.mark.parametrize("name", ["Ana", "Jean-Luc", "D'Andre W.", "Łucja P.", "Thu-An Q.", "李 小龙", "O’Neil (jr.)"])
def test_an_ordinary_name_stays_as_it_is(name: str) -> None:
    assert plain(name) == name


@given(name=st.text(max_size=40))
def test_the_letters_of_a_name_are_all_still_there(name: str) -> None:
    shown = plain(name).replace(JOINER, "")
    unescaped = "".join(letter for place, letter in enumerate(shown) if letter != "\\" or shown[:place].endswith("\\"))
    assert unescaped.replace("\\", "") == name.replace(JOINER, "").replace("\\", "")


@given(name=st.text(alphabet=":/@w.h<>=-~[]()!*_`$#smile", max_size=30))
def test_no_address_icon_or_emoji_is_left_to_be_found(name: str) -> None:
    shown = plain(name)
    for found in ("://", ":material", ":smile:", "www.", "->", "<-", "--", "]("):
        assert found not in shown


@given(cell=st.text(max_size=30))
def test_a_table_cell_is_text_whatever_it_contains(cell: str) -> None:
    table = table_html(pl.DataFrame({"Player": [cell]}), label="players")
    assert f'<td class="words">{escape(cell)}</td>' in table
    assert table.count("<td") == 1


def test_numbers_stand_to_the_right_and_nothing_is_shown_for_nothing() -> None:
    table = table_html(pl.DataFrame({"Shirt": [9, None]}), label="players")
    assert '<td class="number">9</td>' in table
    assert '<td class="number"></td>' in table


def test_a_placement_note_is_shown_as_text(open_page: OpenPage, odd_squad: SquadBuilder) -> None:
    app = open_page("player")
    app.selectbox(key="player_shown").select(odd_squad.player("<script>alert(1)</script>").player_id).run()
    assert any("&lt;script&gt;alert(1)&lt;/script&gt;" in one.value for one in app.html)
