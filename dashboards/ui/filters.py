"""What is looked at, kept in the address of the page: a view is shared as a link, survives a reload, and goes along
from page to page.

The address is read through enums, ids and dates, and never evaluated. A value it names that is not there is left out,
and the page says so. Squads, seasons and players stand in it as ids, so that no child's name gets into a link.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import TypeVar

import streamlit as st

from dashboards.ui import state
from tracker.domain.vocabulary import LengthUnit
from tracker.report import wording
from tracker.report.language import _

Value = TypeVar("Value")
LONGEST_VALUE = 100
FARTHEST = {LengthUnit.YARDS: 40, LengthUnit.METRES: 36}
"""The far end of the distances to choose from; there it means "and beyond"."""
_DISTANCES = re.compile(r"(\d{1,3})-(\d{1,3})(yd|m)")


class Part(StrEnum):
    """What the address can name."""

    SQUAD = "squad"
    SEASON = "season"
    PLAYER = "player"
    STAGE = "stage"
    SURFACE = "surface"
    DISTANCES = "distance"
    FIRST_DAY = "from"
    LAST_DAY = "to"


CLEARED = (Part.SEASON, Part.STAGE, Part.SURFACE, Part.DISTANCES, Part.FIRST_DAY, Part.LAST_DAY)
"""What is filtered; a squad and a player are always chosen."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Distances:
    """A span of whole yards or metres, both ends included."""

    nearest: int
    farthest: int
    unit: LengthUnit

    @property
    def nearest_m(self) -> float | None:
        """The near end in metres; None at the very start."""
        return wording.in_metres(self.nearest, self.unit) if self.nearest else None

    @property
    def farthest_m(self) -> float | None:
        """The far end in metres; None where it means "and beyond"."""
        return wording.in_metres(self.farthest, self.unit) if self.farthest < FARTHEST[self.unit] else None

    @property
    def is_everything(self) -> bool:
        """Whether nothing is left out."""
        return self.nearest_m is None and self.farthest_m is None

    def in_unit(self, unit: LengthUnit) -> Distances:
        """The same in the reader's unit, rounded outwards."""
        if unit is self.unit:
            return self
        farthest_m = self.farthest_m
        return Distances(
            nearest=math.floor(wording.in_unit(self.nearest_m or 0.0, unit)),
            farthest=FARTHEST[unit] if farthest_m is None else math.ceil(wording.in_unit(farthest_m, unit)),
            unit=unit,
        )

    def __str__(self) -> str:
        return f"{self.nearest}-{self.farthest}{self.unit.value}"


def parsed_distances(text: str) -> Distances | None:
    """A span such as "8-12yd", or None.

    >>> parsed_distances("8-12yd"), parsed_distances("12-8m")
    (Distances(nearest=8, farthest=12, unit=<LengthUnit.YARDS: 'yd'>), None)
    """
    found = _DISTANCES.fullmatch(text)
    if found is None or int(found[1]) > int(found[2]):
        return None
    return Distances(nearest=int(found[1]), farthest=int(found[2]), unit=LengthUnit(found[3]))


def everywhere(unit: LengthUnit) -> Distances:
    """All distances."""
    return Distances(nearest=0, farthest=FARTHEST[unit], unit=unit)


EARLIEST_DAY, LATEST_DAY = date(1950, 1, 1), date(2199, 12, 31)
"""The days a field can show."""


def parsed_day(text: str) -> date | None:
    """A day written as 2026-03-14 that a field can show, or None."""
    try:
        day = date.fromisoformat(text)
    except ValueError:
        return None
    return day if EARLIEST_DAY <= day <= LATEST_DAY else None


def restore() -> None:
    """Puts back what was looked at when the page was reached by a link that names nothing, and remembers the rest."""
    if carried():
        state.LOOKED_AT.put(carried())
    else:
        st.query_params.update(state.LOOKED_AT.value() or {})


def carried() -> dict[str, str]:
    """What the address names, for a link to another page."""
    return {part.value: value for part in Part if (value := _text(part))}


def read(part: Part, parse: Callable[[str], Value | None]) -> Value | None:
    """What the address says about this part. What cannot be read, or is not there, leaves the address with a note."""
    text = _text(part)
    if text is None:
        return None
    value = parse(text)
    if value is None:
        write(part, None)
        st.warning(_("The address names a {part} that is not here, so it is left out.").format(part=_part_words(part)))
    return value


def write(part: Part, value: object) -> None:
    """Names a value in the address; nothing where there is none."""
    if value is None or value == state.NOTHING:
        st.query_params.pop(part.value, None)
    else:
        st.query_params[part.value] = str(value)
    state.LOOKED_AT.put(carried())


def clear() -> None:
    """Takes every filter off."""
    for part in CLEARED:
        write(part, None)


def _text(part: Part) -> str | None:
    text: str | None = st.query_params.get(part.value)
    return text[:LONGEST_VALUE] if text else None


def _part_words(part: Part) -> str:
    return {
        Part.SQUAD: _("squad"),
        Part.SEASON: _("season"),
        Part.PLAYER: _("player"),
        Part.STAGE: _("stage"),
        Part.SURFACE: _("surface"),
        Part.DISTANCES: _("distance"),
        Part.FIRST_DAY: _("first day"),
        Part.LAST_DAY: _("last day"),
    }[part]
