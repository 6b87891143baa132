"""The pages in the second language: no English sentence is left on any of them, and the choice is made in Setup."""

from __future__ import annotations

import ast
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from builders import SquadBuilder
from catalogue import catalogue
from streamlit.testing.v1 import AppTest

import dashboards
from tracker.domain.vocabulary import Language
from tracker.report.language import speak
from tracker.review import club
from tracker.serve.process import hold, let_go
from tracker.store.database import Database

OpenPage = Callable[[str], AppTest]
Words = Callable[[AppTest], str]
FOLDER = Path(dashboards.__file__).parent
PAGES = sorted(path.stem for path in (FOLDER / "screens").glob("*.py"))
SHOWING = {
    *("title", "header", "subheader", "text", "caption", "markdown", "info", "warning", "error", "success"),
    *("button", "selectbox", "text_input", "text_area", "number_input", "checkbox", "date_input", "file_uploader"),
    *("form_submit_button", "download_button", "expander", "segmented_control", "slider", "popover", "radio"),
}
NAMED = {"label", "help", "placeholder", "title", "alt"}


@pytest.fixture(autouse=True)
def english_again() -> Iterator[None]:
    """What a test spoke is not spoken in the next."""
    yield
    speak(Language.ENGLISH)


@pytest.fixture(scope="module")
def english() -> list[str]:
    """The English texts that are sentences, or long enough to be told from a name."""
    return [
        one.id
        for one in catalogue(Language.SPANISH)
        if isinstance(one.id, str) and "{" not in one.id and len(one.id.split()) > 2
    ]


@pytest.mark.parametrize("page", PAGES)
def test_no_english_is_left(demo: Database, words: Words, english: list[str], page: str) -> None:
    hold(demo)
    speak(Language.SPANISH)
    before = club.language(demo)
    club.set_language(demo, Language.SPANISH)
    try:
        app = AppTest.from_file(FOLDER / "app.py", default_timeout=60).run()
        if page != "today":
            app.switch_page(f"screens/{page}.py").run()
    finally:
        club.set_language(demo, before)
        let_go()
    assert not app.exception
    labels = [one.label for one in (*app.button, *app.selectbox, *app.expander, *app.tabs, *app.number_input)]
    shown = "\n".join([words(app), *labels])
    assert [text for text in english if re.search(rf"(?<!\w){re.escape(text)}(?!\w)", shown)] == []


def test_the_language_is_chosen_in_setup_and_kept(open_page: OpenPage, squad: SquadBuilder) -> None:
    app = open_page("setup")
    app.get("segmented_control")[1].set_value(Language.SPANISH).run()
    assert club.language(squad.database) is Language.SPANISH
    assert app.title[0].value == "Configuración"
    app.switch_page("screens/squad.py").run()
    assert app.title[0].value == "Equipo"


def test_what_a_button_did_is_told_in_the_language_of_the_page(open_page: OpenPage, squad: SquadBuilder) -> None:
    club.set_language(squad.database, Language.SPANISH)
    app = open_page("setup")
    app.text_input(key="player_name:None").set_value("Cleo")
    next(button for button in app.button if button.label == "Añadir este jugador").click().run()
    assert app.success[0].value == "Cleo: añadido."


def unmarked(code: str) -> list[str]:
    """Texts of a page's code that are shown as they stand, past the catalogue."""
    found = []
    for node in ast.walk(ast.parse(code)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            shown = node.args[:1] if node.func.attr in SHOWING else []
            shown += [one.value for one in node.keywords if one.arg in NAMED]
            for one in shown:
                parts = one.values if isinstance(one, ast.JoinedStr) else [one]
                texts = [part.value for part in parts if isinstance(part, ast.Constant)]
                found += [text for text in texts if isinstance(text, str) and re.search("[A-Za-z]{2}", text)]
    return found


def test_a_text_past_the_catalogue_is_found() -> None:
    assert unmarked("st.text('Hello')\nst.text(_('Hello'))\ncolumn.button(f'Go {name}', help='why')") == [
        "Hello",
        "Go ",
        "why",
    ]


@pytest.mark.parametrize("path", sorted(FOLDER.rglob("*.py")), ids=lambda path: path.stem)
def test_every_text_of_the_pages_comes_from_the_catalogue(path: Path) -> None:
    assert unmarked(path.read_text(encoding="utf-8")) == []
