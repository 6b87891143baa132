"""The language a person reads: every text is written in English in its place and looked up in a catalogue (gettext).

``_`` translates a sentence, ``ngettext`` one with a number, ``pgettext`` a word that means several things, and ``N_``
marks a constant that is translated where it is used. Names, and what a ladder file says, are data and stay as they are.
The catalogues are ``locale/<language>/LC_MESSAGES/strike_ladder.po`` with the ``.mo`` that is read.
"""

from __future__ import annotations

import gettext as standard
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import date
from functools import cache
from pathlib import Path

from tracker.domain.vocabulary import Language

DOMAIN = "strike_ladder"
LOCALE = Path(__file__).parent / "locale"


class _Spoken:
    """The language of the process: everyone reads the records of one squad's coach."""

    language = Language.ENGLISH


_of_block: ContextVar[Language | None] = ContextVar("language of a block", default=None)


def speak(language: Language) -> None:
    """Makes this the language of the process from now on; a command line that never asks stays English."""
    _Spoken.language = language


@contextmanager
def speaking(language: Language) -> Iterator[None]:
    """Speaks a language within a block only, in this thread."""
    token = _of_block.set(language)
    try:
        yield
    finally:
        _of_block.reset(token)


def spoken() -> Language:
    """The language spoken now."""
    return _of_block.get() or _Spoken.language


def _(message: str) -> str:
    """The message in the language spoken now.

    >>> with speaking(Language.SPANISH):
    ...     _("No strikes yet.")
    'Aún no hay remates.'
    """
    return _catalogue(spoken()).gettext(message)


def ngettext(singular: str, plural: str, number: float) -> str:
    """The message for this number of things; the caller fills the number in."""
    return _catalogue(spoken()).ngettext(singular, plural, int(number))


def pgettext(context: str, message: str) -> str:
    """The message as it is meant in this context."""
    return _catalogue(spoken()).pgettext(context, message)


def N_(message: str) -> str:
    """The message as it is, marked to be translated where it is used."""
    return message


@cache
def _catalogue(language: Language) -> standard.NullTranslations:
    if language is Language.ENGLISH:
        return standard.NullTranslations()
    return standard.translation(DOMAIN, LOCALE, languages=[language.value])


def month_name(month: int) -> str:
    """The name of a month, 1 to 12."""
    return (
        _("January"),
        _("February"),
        _("March"),
        _("April"),
        pgettext("month", "May"),
        _("June"),
        _("July"),
        _("August"),
        _("September"),
        _("October"),
        _("November"),
        _("December"),
    )[month - 1]


def long_date(day: date) -> str:
    """A day in words.

    >>> long_date(date(2026, 3, 12))
    '12 March 2026'
    >>> with speaking(Language.SPANISH):
    ...     long_date(date(2026, 3, 12))
    '12 de marzo de 2026'
    """
    return _("{day} {month} {year}").format(day=day.day, month=month_name(day.month), year=day.year)


def short_date(day: date) -> str:
    """A day in few letters, for axes.

    >>> short_date(date(2026, 3, 12))
    '12 Mar'
    """
    return f"{day.day} {month_name(day.month)[:3]}"


def date_field() -> str:
    """How a field for a date writes it: one of the forms Streamlit knows."""
    return {Language.ENGLISH: "YYYY-MM-DD", Language.SPANISH: "DD/MM/YYYY"}[spoken()]


def whole(number: int) -> str:
    """A whole number with its thousands apart.

    >>> with speaking(Language.SPANISH):
    ...     whole(1200)
    '1.200'
    """
    written = f"{number:,}"
    return written if spoken() is Language.ENGLISH else written.replace(",", ".")
