"""Reads the age standards that come with the program: one TOML file a federation, in ``standards/``.

Its tables are ``formats`` (field, goal, penalty area), ``balls`` and ``heading``, each for a range of ages, and
``sources``, the pages the numbers were copied from.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Any

from tracker.domain.standards import (
    OLDEST,
    YOUNGEST,
    AgeStandard,
    BallSize,
    Extent,
    Federation,
    FieldSize,
    GoalSize,
    HeadingGuidance,
    HeadingRule,
    Length,
    PenaltyArea,
    Provenance,
)
from tracker.domain.target import METRES_PER_FOOT, METRES_PER_YARD
from tracker.errors import RequestError

_METRES_PER_UNIT = {"m": 1.0, "yd": METRES_PER_YARD, "ft": METRES_PER_FOOT}  # in this order: metres count if printed
_AGE = re.compile(r"\s*(?:u|under)?[\s-]*(\d{1,2})\s*(?:u|s)?\s*", re.IGNORECASE)
_FILES = {
    Federation.US_SOCCER: "us-soccer.toml",
    Federation.THE_FA: "the-fa.toml",
    Federation.SCOTTISH_FA: "scottish-fa.toml",
    Federation.CANADA_SOCCER: "canada-soccer.toml",
    Federation.FOOTBALL_AUSTRALIA: "football-australia.toml",
    Federation.DFB: "dfb.toml",
    Federation.IFAB: "ifab.toml",
}


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
    if table is None:
        return None
    return GoalSize(
        width=_needed(table, "width"),
        height=_needed(table, "height"),
        is_largest_allowed=table.get("is_largest_allowed", False),
        provenance=sources[table["source"]],
    )


def _penalty_area(table: Mapping[str, Any] | None, sources: Mapping[str, Provenance]) -> PenaltyArea | None:
    if table is None:
        return None
    return PenaltyArea(
        depth=_needed(table, "depth"),
        width=_length(table, "width"),
        mark=_length(table, "mark"),
        provenance=sources[table["source"]],
    )


def _ball(table: Mapping[str, Any] | None, sources: Mapping[str, Provenance]) -> BallSize | None:
    if table is None:
        return None
    return BallSize(sizes=tuple(table["sizes"]), note=table.get("note"), provenance=sources[table["source"]])


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
