"""Reads ladders from TOML files, and names what is wrong with one: the file, the stage, the field and why."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from tracker.domain.file_content import read_content
from tracker.domain.ladder import Ladder, Stage
from tracker.domain.squad import checked_name
from tracker.domain.target import METRES_PER_FOOT, METRES_PER_YARD, Target
from tracker.domain.vocabulary import BallArrival, Surface
from tracker.errors import FileError, LadderError, RequestError

SHIPPED_FILES = ("u08-u10.toml", "u11-u12.toml", "u13-u18.toml")  # in age order
DEFAULT_FALSE_READY_RISK, DEFAULT_HORIZON_STRIKES, DEFAULT_CORRELATION = 0.10, 100, 0.05
LARGEST_LADDER_BYTES, MOST_STAGES = 200_000, 50
DISTANCE_RANGE_M, WIDTH_RANGE_M, HEIGHT_RANGE_M = (0.5, 40.0), (0.3, 15.0), (0.3, 5.0)

Length = Annotated[float | None, Field(gt=0)]
Share = Annotated[float, Field(gt=0, lt=1)]
Words = Annotated[str, Field(min_length=1, max_length=600)]
SetSize = Annotated[int, Field(ge=1, le=50)]


class _Table(BaseModel):
    """A TOML table whose keys are all known and whose values are of the kind written, never converted."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, allow_inf_nan=False, str_strip_whitespace=True)


class _StageTable(_Table):
    """One ``[[stages]]`` table. A length is given once, in the unit its key ends in."""

    name: Words
    ball_arrival: Annotated[BallArrival, Field(strict=False)]
    surfaces: Annotated[list[Annotated[Surface, Field(strict=False)]], Field(min_length=1)]
    gate_width_m: Length = None
    gate_width_yd: Length = None
    goal_width_m: Length = None
    goal_width_ft: Length = None
    goal_width_yd: Length = None
    goal_height_m: Length = None
    goal_height_ft: Length = None
    distance_m: Length = None
    distance_yd: Length = None
    set_sizes: Annotated[list[SetSize], Field(min_length=1, max_length=10)]
    p_not_yet: Share
    p_ready: Share
    coaching_points: Annotated[list[Words], Field(min_length=1, max_length=5)]
    cautions: list[Words] = []
    source: Words


class _LadderTable(_Table):
    """A whole ladder file. Its ``cautions`` are put before the cautions of every stage."""

    name: Words
    age_band: Words
    false_ready_risk: Annotated[float, Field(gt=0, le=0.5)] = DEFAULT_FALSE_READY_RISK
    horizon_strikes: Annotated[int, Field(ge=10, le=1000)] = DEFAULT_HORIZON_STRIKES
    correlation: Annotated[float, Field(ge=0, le=0.5)] = DEFAULT_CORRELATION
    cautions: list[Words] = []
    stages: Annotated[list[_StageTable], Field(min_length=2, max_length=MOST_STAGES)]


def parse_ladder(text: str, *, source: str) -> Ladder:
    """The ladder a TOML text describes. ``source`` names the text in an error. Raises LadderError."""
    if len(text) > LARGEST_LADDER_BYTES:
        why = f"is longer than {LARGEST_LADDER_BYTES:,} characters, so it is no ladder"
        raise LadderError(source=source, stage=None, field=None, why=why)
    try:
        data = tomllib.loads(text.removeprefix("\ufeff"))
    except tomllib.TOMLDecodeError as error:
        raise LadderError(source=source, stage=None, field=None, why=f"this is not valid TOML: {error}") from error
    except (ValueError, RecursionError) as error:  # a number of thousands of digits; brackets nested without end
        why = "this is not valid TOML: a number is too long or brackets are nested too deep"
        raise LadderError(source=source, stage=None, field=None, why=why) from error
    try:
        table = _LadderTable.model_validate(data)
    except ValidationError as error:
        raise _plain_error(error, data, source=source) from error
    stages = [_stage(stage, table, position, source=source) for position, stage in enumerate(table.stages, start=1)]
    _check_names_differ(stages, source=source)
    return Ladder(
        name=_checked(table.name, source=source, stage=None, field="name"),
        age_band=_checked(table.age_band, source=source, stage=None, field="age_band"),
        stages=tuple(stages),
        false_ready_risk=table.false_ready_risk,
        horizon_strikes=table.horizon_strikes,
        correlation=table.correlation,
    )


def read_ladder(path: str | Path) -> Ladder:
    """The ladder in a UTF-8 TOML file. Raises LadderError."""
    return parse_ladder(read_ladder_text(path), source=str(path))


def read_ladder_text(path: str | Path) -> str:
    """The text of a UTF-8 TOML file. Raises LadderError."""
    try:
        return read_content(Path(path), most_bytes=LARGEST_LADDER_BYTES, wanted="one TOML file").decode()
    except UnicodeDecodeError as error:
        why = f"this is not UTF-8 text (byte {error.start + 1})"
        raise LadderError(source=str(path), stage=None, field=None, why=why) from error
    except FileError as error:
        why = str(error).removeprefix(f"{path}: ")
        raise LadderError(source=str(path), stage=None, field=None, why=why) from error


@cache
def shipped_ladders() -> tuple[Ladder, ...]:
    """The ladders that come with the program, youngest age band first."""
    return tuple(parse_ladder(_shipped_text(file), source=file) for file in SHIPPED_FILES)


def shipped_ladder_text(name: str) -> str:
    """The TOML text of a shipped ladder, to start a club's own from. Letter case and the kind of dash do not matter.

    Raises RequestError when no shipped ladder has this name.
    """
    for file, ladder in zip(SHIPPED_FILES, shipped_ladders(), strict=True):
        if _with_plain_dash(ladder.name) == _with_plain_dash(name):
            return _shipped_text(file)
    known = ", ".join(ladder.name for ladder in shipped_ladders())
    raise RequestError(f"No ladder named {name!r} comes with the program. There are: {known}.")


def _shipped_text(file: str) -> str:
    return files("tracker.domain").joinpath("ladders", file).read_text(encoding="utf-8")


def _with_plain_dash(name: str) -> str:
    return name.strip().casefold().replace("–", "-")


def _stage(table: _StageTable, ladder: _LadderTable, position: int, *, source: str) -> Stage:
    """The stage of one table, or LadderError where its fields do not fit together."""
    name = _checked(table.name, source=source, stage=table.name, field="name")

    def metres(field: str, limits: tuple[float, float]) -> float:
        return _metres(table, field, limits, source=source, stage=name)

    if not table.p_not_yet < table.p_ready:
        why = f"must be above p_not_yet ({table.p_not_yet:g}), but is {table.p_ready:g}"
        raise LadderError(source=source, stage=name, field="p_ready", why=why)
    has_gate = bool(_given(table, "gate_width"))
    if has_gate == bool(_given(table, "goal_width") or _given(table, "goal_height")):
        why = "give either a gate width, or a goal width and height" + (", not both" if has_gate else "")
        raise LadderError(source=source, stage=name, field="target", why=why)
    return Stage(
        name=name,
        position=position,
        ball_arrival=table.ball_arrival,
        surfaces=tuple(dict.fromkeys(table.surfaces)),
        target=Target(width_m=metres("gate_width", WIDTH_RANGE_M), height_m=None)
        if has_gate
        else Target(width_m=metres("goal_width", WIDTH_RANGE_M), height_m=metres("goal_height", HEIGHT_RANGE_M)),
        distance_m=metres("distance", DISTANCE_RANGE_M),
        set_sizes=tuple(table.set_sizes),
        p_not_yet=table.p_not_yet,
        p_ready=table.p_ready,
        coaching_points=tuple(table.coaching_points),
        cautions=(*ladder.cautions, *table.cautions),
        source=table.source,
    )


_METRES_PER_UNIT = {"m": 1.0, "yd": METRES_PER_YARD, "ft": METRES_PER_FOOT}


def _given(table: _StageTable, field: str) -> dict[str, float]:
    """The keys of one length that the table gives, with their values in the unit of the key."""
    keys = (f"{field}_{unit}" for unit in _METRES_PER_UNIT)
    return {key: value for key in keys if (value := getattr(table, key, None)) is not None}


def _metres(table: _StageTable, field: str, limits: tuple[float, float], *, source: str, stage: str) -> float:
    """One length in metres, given in exactly one unit and within its limits, or LadderError."""
    given = _given(table, field)
    if len(given) != 1:
        units = [key for key in _StageTable.model_fields if key.startswith(f"{field}_")]
        why = f"give it once, as {' or '.join(units)}; here it is given {'twice' if given else 'nowhere'}"
        raise LadderError(source=source, stage=stage, field=field, why=why)
    ((key, value),) = given.items()
    unit = key.rpartition("_")[2]
    metres = value if unit == "m" else round(value * _METRES_PER_UNIT[unit], 4)  # to 0.1 mm, so that 8 yd is 7.3152 m
    low, high = limits
    if not low <= metres <= high:
        why = f"must be {low:g} to {high:g} metres, but is {metres:g} metres"
        raise LadderError(source=source, stage=stage, field=key, why=why)
    return metres


def _checked(name: str, *, source: str, stage: str | None, field: str) -> str:
    try:
        return checked_name(name, what="it")
    except ValueError as error:
        raise LadderError(source=source, stage=stage, field=field, why=str(error)) from error


def _check_names_differ(stages: Sequence[Stage], *, source: str) -> None:
    seen: dict[str, Stage] = {}
    for stage in stages:
        earlier = seen.setdefault(stage.name.casefold(), stage)
        if earlier is not stage:
            why = f"stages {earlier.position} and {stage.position} have the same name"
            raise LadderError(source=source, stage=stage.name, field="name", why=why)


def _plain_error(error: ValidationError, data: Mapping[str, Any], *, source: str) -> LadderError:
    """The first fault of a validation, in the words of a person who edits the file."""
    fault = error.errors(include_url=False)[0]
    path, stage = list(fault["loc"]), None
    if path[0] == "stages" and len(path) > 1:
        number = int(path[1])
        table = data["stages"][number]
        name = table.get("name") if isinstance(table, Mapping) else None
        stage = name if isinstance(name, str) and name.strip() else f"number {number + 1}"
        path = path[2:]
    field = "".join(f" item {part + 1}" if isinstance(part, int) else str(part) for part in path) or None
    why = _plain_reason(
        fault["type"], fault["input"], fault.get("ctx", {}), keys=_StageTable if stage else _LadderTable
    )
    return LadderError(source=source, stage=stage, field=field, why=why)


def _plain_reason(kind: str, value: Any, limits: Mapping[str, Any], *, keys: type[_Table]) -> str:
    """Why a value is refused, from the kind of the validation fault."""
    shown = f"but is {value!r:.60}"
    match kind:
        case "missing":
            return "is missing"
        case "extra_forbidden":
            return f"there is no such field; the fields are {', '.join(keys.model_fields)}"
        case "greater_than":
            return f"must be above {limits['gt']:g}, {shown}"
        case "less_than":
            return f"must be below {limits['lt']:g}, {shown}"
        case "greater_than_equal":
            return f"must be at least {limits['ge']:g}, {shown}"
        case "less_than_equal":
            return f"must be at most {limits['le']:g}, {shown}"
        case "enum":
            return f"must be one of {str(limits['expected']).replace(chr(39), '')}, {shown}"
        case "string_too_short":
            return "must not be empty"
        case "string_too_long":
            return f"must have at most {limits['max_length']} characters, but has {len(value)}"
        case "too_short":
            return f"must list at least {limits['min_length']}, but lists {limits['actual_length']}"
        case "too_long":
            return f"must list at most {limits['max_length']}, but lists more"
    wanted = {
        "string_type": "text in quotes",
        "int_type": "a whole number",
        "float_type": "a number",
        "finite_number": "a finite number",
        "list_type": "a list in square brackets",
        "model_type": "a table, written as [[stages]]",
    }
    return f"must be {wanted.get(kind, 'a value of the right kind')}, {shown}"
