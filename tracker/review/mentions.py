"""Where hand-typed texts name a player. A name is found as a word, never as a part of one; nicknames are not."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

import polars as pl

from tracker.domain.squad import Player
from tracker.store import typed_texts as stored
from tracker.store.database import Reader, Transaction

INSTEAD = "(a player)"
"""What stands where a name was."""
SHORTEST_FIRST_NAME = 3


class TextPlace(StrEnum):
    """Where somebody types by hand."""

    PRACTICE = "practice"
    PLACEMENT = "note beside a placement"
    CORRECTION = "reason of a correction"
    COACH_WORDS = "words for a report"
    LOGGER = "logger"


@dataclass(frozen=True, kw_only=True, slots=True)
class Mention:
    """A text that names somebody; ``day`` is None for a logger, whose name stands on many days."""

    place: TextPlace
    day: date | None
    text: str


@dataclass(frozen=True, kw_only=True, slots=True)
class _Typed:
    place: TextPlace
    read: Callable[[Reader], pl.DataFrame]
    save: Callable[[Transaction, pl.DataFrame], None]
    day: str
    columns: tuple[str, ...]


_TYPED = (
    _Typed(
        place=TextPlace.PRACTICE,
        read=stored.practice_texts,
        save=stored.save_practice_texts,
        day="held_on",
        columns=("label", "place", "notes"),
    ),
    _Typed(
        place=TextPlace.PLACEMENT,
        read=stored.placement_texts,
        save=stored.save_placement_texts,
        day="placed_at",
        columns=("note",),
    ),
    _Typed(
        place=TextPlace.CORRECTION,
        read=stored.correction_texts,
        save=stored.save_correction_texts,
        day="corrected_at",
        columns=("corrected_by", "why"),
    ),
    _Typed(
        place=TextPlace.COACH_WORDS,
        read=stored.coach_word_texts,
        save=stored.save_coach_word_texts,
        day="written_at",
        columns=("words",),
    ),
)


def naming(player: Player, *, others: Iterable[Player]) -> re.Pattern[str]:
    """What finds a player's name in a text; the first name alone too, unless somebody else has it."""
    name = unicodedata.normalize("NFC", player.display_name)
    first = name.split()[0]
    taken = {one.display_name.split()[0].casefold() for one in others if one.player_id != player.player_id}
    wanted = {name, name.rstrip(".")}
    if len(first) >= SHORTEST_FIRST_NAME and first.casefold() not in taken:
        wanted.add(first)
    return _words(wanted)


def naming_any(players: Iterable[Player]) -> re.Pattern[str] | None:
    """What finds the name of any of these players, or their first name alone; None for nobody."""
    names = [unicodedata.normalize("NFC", one.display_name) for one in players]
    first = {name.split()[0] for name in names}
    wanted = {*names, *(one for one in first if len(one) >= SHORTEST_FIRST_NAME)}
    return _words(wanted) if wanted else None


def mentions(database: Reader, pattern: re.Pattern[str], *, beside: Player) -> list[Mention]:
    """The texts that name somebody, those that go with the player ``beside`` anyway left out."""
    found: list[Mention] = []
    for typed in _TYPED:
        rows = typed.read(database)
        if "player_id" in rows.columns:
            rows = rows.filter(pl.col("player_id").cast(pl.String) != str(beside.player_id))
        for column in typed.columns:
            named = rows.filter(_is_named(column, pattern))
            found.extend(
                Mention(place=typed.place, day=_day(day), text=text)
                for day, text in named.select(typed.day, column).iter_rows()
            )
    same = [one for one in stored.loggers(database) if _is_called(one, beside)]
    return [*found, *(Mention(place=TextPlace.LOGGER, day=None, text=one) for one in same)]


def take_names_out(transaction: Transaction, pattern: re.Pattern[str], *, player: Player) -> None:
    """Puts ``INSTEAD`` where the player's name stood, in every text."""
    for typed in _TYPED:
        rows = typed.read(transaction)
        named = rows.filter(pl.any_horizontal(_is_named(column, pattern) for column in typed.columns))
        if named.height:
            typed.save(transaction, named.with_columns(_without_name(column, pattern) for column in typed.columns))
    for logger in stored.loggers(transaction):
        if _is_called(logger, player):
            stored.rename_logger(transaction, logger, new_name=INSTEAD)


def without_names(text: str, pattern: re.Pattern[str] | None) -> str:
    """The text with ``INSTEAD`` where a name stood."""
    return pattern.sub(INSTEAD, unicodedata.normalize("NFC", text)) if pattern else text


def _words(wanted: set[str]) -> re.Pattern[str]:
    longest_first = sorted(wanted, key=len, reverse=True)
    either = "|".join(r"\s+".join(re.escape(part) for part in one.split()) for one in longest_first)
    return re.compile(rf"(?<!\w)(?:{either})(?!\w)", re.IGNORECASE)


def _is_named(column: str, pattern: re.Pattern[str]) -> pl.Expr:
    return pl.col(column).map_elements(
        lambda text: bool(pattern.search(unicodedata.normalize("NFC", text))), return_dtype=pl.Boolean
    )


def _without_name(column: str, pattern: re.Pattern[str]) -> pl.Expr:
    return pl.col(column).map_elements(lambda text: without_names(text, pattern), return_dtype=pl.String)


def _is_called(logger: str, player: Player) -> bool:
    """Whether a logger has the player's whole name; a coach may share a first name with a child."""
    names = [unicodedata.normalize("NFC", one).casefold() for one in (logger, player.display_name)]
    return names[0] == names[1]


def _day(value: date) -> date:
    return value.date() if isinstance(value, datetime) else value
