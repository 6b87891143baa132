"""Names in scripts that our fonts lack: said beforehand, by name and letter."""

from __future__ import annotations

import pytest

from tracker.report.printed.letters import letter_warnings, missing_letters


@pytest.mark.parametrize(
    "name", ["Zoë", "Ελένη", "Иван", "عمر", "日本 太郎", "서울 김", "Nguyễn Ánh", "O'Neill #1 \\today"]
)
def test_letters_our_fonts_have_are_no_reason_to_warn(name: str) -> None:
    assert missing_letters(name) == ""
    assert letter_warnings([name]) == []


@pytest.mark.parametrize(("name", "missing"), [("⚽ Ana ⚽", "⚽"), ("דוד", "דו"), ("Ana สม", "สม")])
def test_each_letter_our_fonts_lack_is_named_once(name: str, missing: str) -> None:
    assert missing_letters(name) == missing


def test_a_warning_names_the_player_and_the_letters_and_nobody_else() -> None:
    (warning,) = letter_warnings(["Ana", "דוד כהן", "Ben"])
    assert warning.startswith("דוד כהן: our fonts have no letter for ד ו כ ה ן, so on paper a box stands in its place.")
    assert "Ana" not in warning
