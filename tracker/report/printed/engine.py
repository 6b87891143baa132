"""Sets a page: a template of ``tracker/report/templates`` and data in, a PDF or pictures of its pages out.

What a page says reaches the template as JSON, so a name is never markup. Only the fonts that come with the program are
used: Noto Sans for Latin, Greek and Cyrillic, Noto Sans Arabic, and Droid Sans Fallback for East Asian names.
"""

from __future__ import annotations

import json
import threading
from collections.abc import Mapping
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import Any

import typst

from tracker.errors import PageError

TEMPLATES = Path(__file__).resolve().parent.parent / "templates"
FONTS = Path(__file__).resolve().parent.parent / "fonts"
FONT_FAMILIES = ("Noto Sans", "Noto Sans Arabic", "Droid Sans Fallback")
SCREEN_PPI = 110.0

Data = Mapping[str, Any]
NO_LETTER = "could not be displayed"
"""How Typst says that no font has a letter."""


class Template(StrEnum):
    """The pages that can be set."""

    PLAYER = "player.typ"
    SQUAD = "squad.typ"
    SHEET = "sheet.typ"
    PRACTICE = "practice.typ"
    LETTERS = "letters.typ"


class _Compilers(threading.local):
    """A compiler for each thread: it keeps fonts and templates between pages."""

    def __init__(self) -> None:
        self.compiler: typst.Compiler | None = None


_compilers = _Compilers()


def pdf(template: Template, data: Data) -> bytes:
    """The page as a tagged PDF with title and language, to the standard PDF/UA-1 (ISO 14289-1).

    That standard asks for a letter for every character: with a name in a script that our fonts lack, a box stands for
    it and the PDF is tagged but claims no standard.
    """
    try:
        made = _compiled(template, data, format="pdf", pdf_standards=["ua-1"])
    except PageError as error:
        if NO_LETTER not in str(error):
            raise
        made = _compiled(template, data, format="pdf")
    assert isinstance(made, bytes)
    return made


def page_images(template: Template, data: Data, *, ppi: float = SCREEN_PPI) -> list[bytes]:
    """Its pages as PNG pictures, for a screen."""
    made = _compiled(template, data, format="png", ppi=ppi)
    return [made] if isinstance(made, bytes) else list(made)


def has_letters(text: str) -> bool:
    """Whether our fonts have every letter of a text."""
    try:
        _compiled(Template.LETTERS, text, format="pdf", pdf_standards=["ua-1"])
    except PageError as error:
        if NO_LETTER not in str(error):
            raise
        return False
    return True


def _compiled(template: Template, data: Data | str, **how: Any) -> bytes | list[bytes]:
    compiler = _compilers.compiler = _compilers.compiler or typst.Compiler(
        root=TEMPLATES, font_paths=_fonts(), ignore_system_fonts=True
    )
    said = {"data": json.dumps(data, ensure_ascii=False)}
    try:
        made = compiler.compile(TEMPLATES / template.value, sys_inputs=said, **how)
    except typst.TypstError as error:
        raise PageError(f"The page could not be set: {error.message}") from error
    assert made is not None
    return made


@cache
def _fonts() -> typst.Fonts:
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[FONTS])
