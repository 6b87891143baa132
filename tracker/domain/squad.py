"""Squads, seasons and players. Nothing about a child is kept beyond what is named here."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from tracker.domain.vocabulary import PreferredFoot

LONGEST_NAME = 80
UNSEEN = "\u00ad\u061c\u180e\u200b\u200e\u200f\u202a-\u202e\u2060-\u2064\u2066-\u206f\ufeff"
"""Characters that show nothing, as a range of a regular expression: zero width, and what turns the writing direction.

Copying from a chat or a spreadsheet brings them along unseen; two names that differ by one look the same. The joiners
U+200C and U+200D are no part of it: some scripts need them.
"""
_UNSEEN = re.compile(f"[{UNSEEN}]")
EARLIEST_BIRTH_YEAR, LATEST_BIRTH_YEAR = 1990, 2100


def checked_name(text: str, *, what: str) -> str:
    """The text without outer spaces, or ValueError: a name is 1 to 80 characters, none of them a control character.

    Any script and any punctuation is a legal name: names are data, and are escaped where they are shown. What cannot
    be seen (``UNSEEN``) is left out.
    """
    name = " ".join(_UNSEEN.sub("", text).split())
    if not name or len(name) > LONGEST_NAME:
        raise ValueError(f"{what} must have 1 to {LONGEST_NAME} characters, but has {len(name)}")
    if any(unicodedata.category(character) in ("Cc", "Cs") for character in name):
        raise ValueError(f"{what} {name!r} contains a control character")
    return name


@dataclass(frozen=True, kw_only=True, slots=True)
class Squad:
    """A group of players that practise together on one ladder."""

    squad_id: UUID
    name: str
    ladder_name: str

    def __post_init__(self) -> None:
        object.__setattr__(self, "name", checked_name(self.name, what="squad"))


@dataclass(frozen=True, kw_only=True, slots=True)
class Season:
    """A stretch of dates, both ends included."""

    season_id: UUID
    name: str
    starts_on: date
    ends_on: date

    def __post_init__(self) -> None:
        object.__setattr__(self, "name", checked_name(self.name, what="season"))
        if self.ends_on < self.starts_on:
            raise ValueError(f"season {self.name!r} ends on {self.ends_on}, before it starts on {self.starts_on}")


@dataclass(frozen=True, kw_only=True, slots=True)
class Player:
    """A player: a public id, a display name (a nickname will do), and what coaching needs."""

    player_id: UUID
    squad_id: UUID
    display_name: str
    shirt_number: int | None
    birth_year: int | None
    preferred_foot: PreferredFoot
    active: bool

    def __post_init__(self) -> None:
        object.__setattr__(self, "display_name", checked_name(self.display_name, what="player"))
        if self.shirt_number is not None and not 0 <= self.shirt_number <= 999:
            raise ValueError(f"shirt_number must be 0 to 999, but is {self.shirt_number}")
        if self.birth_year is not None and not EARLIEST_BIRTH_YEAR <= self.birth_year <= LATEST_BIRTH_YEAR:
            raise ValueError(
                f"birth_year must be {EARLIEST_BIRTH_YEAR} to {LATEST_BIRTH_YEAR}, but is {self.birth_year}"
            )
