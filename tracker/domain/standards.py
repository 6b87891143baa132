"""Age standards: field, goal, penalty area, ball and heading guidance by federation and age, with source and date.

The numbers are those of the published pages named beside them, kept in ``standards/*.toml``. A length is stored in
metres, with what is printed beside it: where a page prints two units they are not exact conversions of one another.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from functools import cache
from importlib.resources import files
from typing import Any

from tracker.domain.target import METRES_PER_FOOT, METRES_PER_YARD
from tracker.errors import RequestError

CHECK_YOUR_FEDERATION = (
    "Check your own federation's current rules: these numbers were copied from published pages on the dates shown, "
    "and rules change."
)
YOUNGEST, OLDEST = 6, 19
_METRES_PER_UNIT = {"m": 1.0, "yd": METRES_PER_YARD, "ft": METRES_PER_FOOT}  # in this order: metres count if printed
_AGE = re.compile(r"\s*(?:u|under)?[\s-]*(\d{1,2})\s*(?:u|s)?\s*", re.IGNORECASE)


class Federation(StrEnum):
    """Whose rules. ``OWN`` marks values that a club set itself."""

    US_SOCCER = "US Soccer"
    THE_FA = "The FA, England"
    SCOTTISH_FA = "Scottish FA"
    CANADA_SOCCER = "Canada Soccer"
    FOOTBALL_AUSTRALIA = "Football Australia"
    DFB = "DFB, Germany"
    IFAB = "IFAB Laws of the Game"
    OWN = "own values"


_FILES = {
    Federation.US_SOCCER: "us-soccer.toml",
    Federation.THE_FA: "the-fa.toml",
    Federation.SCOTTISH_FA: "scottish-fa.toml",
    Federation.CANADA_SOCCER: "canada-soccer.toml",
    Federation.FOOTBALL_AUSTRALIA: "football-australia.toml",
    Federation.DFB: "dfb.toml",
    Federation.IFAB: "ifab.toml",
}


class HeadingRule(StrEnum):
    """What a federation says about heading in training."""

    NONE = "none"
    LIMITED = "limited"


@dataclass(frozen=True, kw_only=True, slots=True)
class Provenance:
    """Where a number was seen: the page, how the page dates itself, and the day it was copied."""

    text: str
    dated: str
    seen_on: date


@dataclass(frozen=True, kw_only=True, slots=True)
class Length:
    """A length in metres, and as printed ("18.5 ft"; "7.32 m, 8 yd")."""

    metres: float
    printed: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Extent:
    """One side of a field: the most, and the least where one is printed."""

    least: Length | None
    most: Length


@dataclass(frozen=True, kw_only=True, slots=True)
class FieldSize:
    """The field between its lines."""

    length: Extent
    width: Extent
    provenance: Provenance


@dataclass(frozen=True, kw_only=True, slots=True)
class GoalSize:
    """The goal between the posts and under the bar; ``is_largest_allowed`` where smaller goals may be used."""

    width: Length
    height: Length
    is_largest_allowed: bool
    provenance: Provenance


@dataclass(frozen=True, kw_only=True, slots=True)
class PenaltyArea:
    """Depth from the goal line, width, and the distance of the penalty mark where they are printed."""

    depth: Length
    width: Length | None
    mark: Length | None
    provenance: Provenance


@dataclass(frozen=True, kw_only=True, slots=True)
class BallSize:
    """The trade's sizes 3 to 5; weights and girths differ between sources and are not inferred."""

    sizes: tuple[int, ...]
    note: str | None
    provenance: Provenance


@dataclass(frozen=True, kw_only=True, slots=True)
class HeadingGuidance:
    """What is said of heading at an age; a number that is not printed is None. ``headers_a_week`` is (from, to)."""

    rule: HeadingRule
    training: str
    matches: str | None
    headers_a_session: int | None
    sessions_a_week: int | None
    sessions_a_month: int | None
    headers_a_week: tuple[int, int] | None
    minutes_a_week: int | None
    provenance: Provenance


@dataclass(frozen=True, kw_only=True, slots=True)
class AgeStandard:
    """What one federation prints for one age. A part that was not found is None, and ``notes`` say what disagrees.

    ``no_penalty_area`` is set where the format has none, so that None for ``penalty_area`` alone means: not found.
    """

    federation: Federation
    age: int
    season: str
    format: str | None
    field: FieldSize | None
    goal: GoalSize | None
    penalty_area: PenaltyArea | None
    no_penalty_area: Provenance | None
    ball: BallSize | None
    heading: HeadingGuidance | None
    notes: tuple[str, ...]

    @property
    def age_label(self) -> str:
        """The age as clubs write it: U12."""
        return f"U{self.age}"


def federations() -> tuple[Federation, ...]:
    """The federations whose numbers come with the program."""
    return tuple(_FILES)


def ages_of(federation: Federation) -> tuple[int, ...]:
    """The ages for which anything was found, youngest first; none for ``OWN``."""
    return tuple(age for age in range(YOUNGEST, OLDEST + 1) if _tables_for(federation, age))


def age_of(label: str) -> int:
    """The age in a label such as "U12", "12U" or "12". Raises RequestError.

    >>> age_of("U12"), age_of("12u"), age_of("under 9")
    (12, 12, 9)
    """
    found = _AGE.fullmatch(label)
    if not found or not YOUNGEST <= int(found[1]) <= OLDEST:
        raise RequestError(f"{label!r} is no age group: write U8, U12, … (U{YOUNGEST} to U{OLDEST}).")
    return int(found[1])


@cache
def standard_for(federation: Federation, age: int) -> AgeStandard:
    """What a federation prints for players under an age: 12 for U12. Raises RequestError where nothing was found."""
    tables = _tables_for(federation, age)
    if not tables:
        seen = ages_of(federation)
        where = f"seen: U{seen[0]} to U{seen[-1]}" if seen else "there are only the values you set"
        raise RequestError(f"No numbers for U{age} by {federation.value} ({where}). Set your own values.")
    data = _read(federation)
    sources = {name: Provenance(**table) for name, table in data["sources"].items()}
    layout = tables.get("formats", {})
    return AgeStandard(
        federation=federation,
        age=age,
        season=data["season"],
        format=layout.get("format"),
        field=_field(layout.get("field"), sources),
        goal=_goal(layout.get("goal"), sources),
        penalty_area=_penalty_area(layout.get("penalty_area"), sources),
        no_penalty_area=sources[layout["no_penalty_area"]["source"]] if "no_penalty_area" in layout else None,
        ball=_ball(tables.get("balls"), sources),
        heading=_heading(tables.get("heading"), sources),
        notes=(*layout.get("notes", ()), *data.get("notes", ())),
    )


def own_standard(
    age: int,
    *,
    set_on: date,
    goal_width_m: float,
    goal_height_m: float,
    penalty_area_depth_m: float | None = None,
    field_length_m: float | None = None,
    field_width_m: float | None = None,
    ball_size: int | None = None,
    heading_in_training: str | None = None,
) -> AgeStandard:
    """A club's own values for an age, in metres. ``heading_in_training`` is the club's rule in words.

    Raises RequestError for a length that is not above 0, or a field of one side only.
    """
    given = Provenance(text="set by the club", dated=set_on.isoformat(), seen_on=set_on)
    lengths = (goal_width_m, goal_height_m, penalty_area_depth_m, field_length_m, field_width_m)
    if any(length is not None and not 0 < length < 200 for length in lengths):
        raise RequestError("Own values are lengths in metres above 0 and below 200.")
    if (field_length_m is None) != (field_width_m is None):
        raise RequestError("Give both the length and the width of the field, or neither.")
    field = None
    if field_length_m is not None and field_width_m is not None:
        length, width = (Extent(least=None, most=_metres(side)) for side in (field_length_m, field_width_m))
        field = FieldSize(length=length, width=width, provenance=given)
    area = None
    if penalty_area_depth_m is not None:
        area = PenaltyArea(depth=_metres(penalty_area_depth_m), width=None, mark=None, provenance=given)
    heading = None
    if heading_in_training is not None:
        heading = _heading({"rule": "limited", "training": heading_in_training, "source": "own"}, {"own": given})
    return AgeStandard(
        federation=Federation.OWN,
        age=age,
        season=set_on.isoformat(),
        format=None,
        field=field,
        goal=GoalSize(
            width=_metres(goal_width_m), height=_metres(goal_height_m), is_largest_allowed=False, provenance=given
        ),
        penalty_area=area,
        no_penalty_area=None,
        ball=BallSize(sizes=(ball_size,), note=None, provenance=given) if ball_size is not None else None,
        heading=heading,
        notes=(),
    )


def _metres(length_m: float) -> Length:
    return Length(metres=length_m, printed=f"{length_m:g} m")


@cache
def _read(federation: Federation) -> dict[str, Any]:
    text = files("tracker.domain").joinpath("standards", _FILES[federation]).read_text(encoding="utf-8")
    return tomllib.loads(text)


def _tables_for(federation: Federation, age: int) -> dict[str, Mapping[str, Any]]:
    """The tables of a federation that hold for an age, by kind."""
    if federation not in _FILES:
        return {}
    data = _read(federation)
    return {
        kind: table
        for kind in ("formats", "balls", "heading")
        for table in data.get(kind, ())
        if table["first_age"] <= age <= table["last_age"]
    }


def _printed(table: Mapping[str, Any], what: str) -> dict[str, list[float]]:
    """The values of one length by unit, metres first; a single value is the most."""
    found = {unit: table[f"{what}_{unit}"] for unit in _METRES_PER_UNIT if f"{what}_{unit}" in table}
    return {unit: value if isinstance(value, list) else [value] for unit, value in found.items()}


def _length(table: Mapping[str, Any], what: str, *, place: int = -1) -> Length | None:
    """The length in metres by the first unit printed (to 0.1 mm), and all that is printed. None where none is."""
    printed = _printed(table, what)
    if not printed:
        return None
    unit, values = next(iter(printed.items()))
    return Length(
        metres=round(values[place] * _METRES_PER_UNIT[unit], 4),
        printed=", ".join(f"{numbers[place]:g} {unit}" for unit, numbers in printed.items()),
    )


def _needed(table: Mapping[str, Any], what: str, *, place: int = -1) -> Length:
    found = _length(table, what, place=place)
    if found is None:
        raise ValueError(f"a standards file gives no {what}")
    return found


def _field(table: Mapping[str, Any] | None, sources: Mapping[str, Provenance]) -> FieldSize | None:
    if table is None:
        return None

    def extent(what: str) -> Extent:
        is_range = all(len(values) == 2 for values in _printed(table, what).values())
        return Extent(least=_needed(table, what, place=0) if is_range else None, most=_needed(table, what))

    return FieldSize(length=extent("length"), width=extent("width"), provenance=sources[table["source"]])


def _goal(table: Mapping[str, Any] | None, sources: Mapping[str, Provenance]) -> GoalSize | None:
    return table and GoalSize(
        width=_needed(table, "width"),
        height=_needed(table, "height"),
        is_largest_allowed=table.get("is_largest_allowed", False),
        provenance=sources[table["source"]],
    )


def _penalty_area(table: Mapping[str, Any] | None, sources: Mapping[str, Provenance]) -> PenaltyArea | None:
    return table and PenaltyArea(
        depth=_needed(table, "depth"),
        width=_length(table, "width"),
        mark=_length(table, "mark"),
        provenance=sources[table["source"]],
    )


def _ball(table: Mapping[str, Any] | None, sources: Mapping[str, Provenance]) -> BallSize | None:
    return table and BallSize(sizes=tuple(table["sizes"]), note=table.get("note"), provenance=sources[table["source"]])


def _heading(table: Mapping[str, Any] | None, sources: Mapping[str, Provenance]) -> HeadingGuidance | None:
    if table is None:
        return None
    week = table.get("headers_a_week")
    return HeadingGuidance(
        rule=HeadingRule(table["rule"]),
        training=table["training"],
        matches=table.get("matches"),
        headers_a_session=table.get("headers_a_session"),
        sessions_a_week=table.get("sessions_a_week"),
        sessions_a_month=table.get("sessions_a_month"),
        headers_a_week=(week[0], week[1]) if week else None,
        minutes_a_week=table.get("minutes_a_week"),
        provenance=sources[table["source"]],
    )
