"""The other tables of a club's records: squads, seasons, players, practices, placements, the coach's words, ….

Each parser gives ``ParsedRows`` whose ``rows`` have exactly the columns it names, typed, null where empty.
"""

from __future__ import annotations

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import polars as pl

from tracker.domain.squad import EARLIEST_BIRTH_YEAR, LATEST_BIRTH_YEAR
from tracker.domain.vocabulary import Foot, PitchSurface, PreferredFoot, ReadinessStatus
from tracker.intake.column_reader import ColumnReader
from tracker.intake.strike_columns import ParsedRows, parsed_rows
from tracker.intake.table_file import RawTable, require_columns

_FOOT = {"left": "left", "l": "left", "right": "right", "r": "right"}
_YES = {"true": "true", "yes": "true", "1": "true", "false": "false", "no": "false", "0": "false"}
_UTC, _ANY_DAY = ZoneInfo("UTC"), datetime(2200, 1, 1, tzinfo=UTC)


def parse_squads(table: RawTable) -> ParsedRows:
    """squad, ladder, squad_id."""
    require_columns(table, (("squad",),))
    reader = ColumnReader(table)
    return _rows(
        reader,
        table,
        squad=reader.name("squad", required=True),
        ladder=reader.name("ladder"),
        squad_id=reader.identifier("squad_id"),
    )


def parse_seasons(table: RawTable) -> ParsedRows:
    """season, starts_on, ends_on (Date), season_id."""
    require_columns(table, (("season",), ("starts_on",), ("ends_on",)))
    reader = ColumnReader(table)
    for field in ("starts_on", "ends_on"):
        reader.reject(field, reader.text(field).is_null(), "every row needs one")
    starts_on, _ = reader.days("starts_on", local_zone=_UTC, now=_ANY_DAY)
    ends_on, _ = reader.days("ends_on", local_zone=_UTC, now=_ANY_DAY)
    reader.reject("ends_on", (ends_on < starts_on).fill_null(value=False), "that is before starts_on")
    return _rows(
        reader,
        table,
        season=reader.name("season", required=True),
        starts_on=starts_on,
        ends_on=ends_on,
        season_id=reader.identifier("season_id"),
    )


def parse_players(table: RawTable) -> ParsedRows:
    """player, squad, shirt_number, birth_year (Int64), preferred_foot, active (Boolean), player_id."""
    require_columns(table, (("player",),))
    reader = ColumnReader(table)
    birth_year = reader.number(
        "birth_year",
        lowest=EARLIEST_BIRTH_YEAR,
        highest=LATEST_BIRTH_YEAR,
        rule=f"must be a year from {EARLIEST_BIRTH_YEAR} to {LATEST_BIRTH_YEAR}, or empty",
    )
    feet = {foot.value: foot.value for foot in PreferredFoot} | {"l": "left", "r": "right"}
    return _rows(
        reader,
        table,
        player=reader.name("player", required=True),
        squad=reader.name("squad"),
        shirt_number=reader.count("shirt_number", highest=999),
        birth_year=birth_year.cast(pl.Int64),
        preferred_foot=reader.word(
            "preferred_foot", feet, dtype=pl.Enum(PreferredFoot), rule="must be left, right, both or unknown"
        ).fill_null(PreferredFoot.UNKNOWN.value),
        active=_yes_or_no(reader, "active").fill_null(value=True),
        player_id=reader.identifier("player_id"),
    )


def parse_practices(table: RawTable) -> ParsedRows:
    """squad, date (Date), practice (its label), place, pitch_surface, notes, practice_id."""
    require_columns(table, (("date",),))
    reader = ColumnReader(table)
    reader.reject("date", reader.text("date").is_null(), "every row needs one")
    held_on, _ = reader.days("date", local_zone=_UTC, now=_ANY_DAY)
    surfaces = {surface.value: surface.value for surface in PitchSurface}
    return _rows(
        reader,
        table,
        squad=reader.name("squad"),
        held_on=held_on,
        practice=reader.name("practice").fill_null(""),
        place=reader.text("place"),
        pitch_surface=reader.word(
            "pitch_surface", surfaces, dtype=pl.Enum(PitchSurface), rule=f"must be {', '.join(surfaces)}"
        ),
        notes=reader.text("notes"),
        practice_id=reader.identifier("practice_id"),
    )


def parse_corrections(table: RawTable) -> ParsedRows:
    """strike_id, corrected_at (UTC), corrected_by, why."""
    require_columns(table, (("strike_id",), ("corrected_at",), ("why",)))
    reader = ColumnReader(table)
    for field in ("strike_id", "corrected_at", "why"):
        reader.reject(field, reader.text(field).is_null(), "every row needs one")
    return _rows(
        reader,
        table,
        strike_id=reader.identifier("strike_id"),
        corrected_at=reader.moments("corrected_at", local_zone=_UTC, now=_ANY_DAY),
        corrected_by=reader.name("corrected_by"),
        why=reader.text("why"),
    )


def parse_placements(table: RawTable, *, local_zone: ZoneInfo) -> ParsedRows:
    """player, player_id, squad, foot, stage, placed_at (UTC), suggested_stage, suggested_status, note, placement_id,
    withdrawn_at (UTC)."""
    require_columns(table, (("player",), ("foot",), ("stage",), ("placed_at",)))
    reader = ColumnReader(table)
    reader.reject("placed_at", reader.text("placed_at").is_null(), "every row needs one")
    statuses = {status.value: status.value for status in ReadinessStatus}
    return _rows(
        reader,
        table,
        player=reader.name("player", required=True),
        player_id=reader.identifier("player_id"),
        squad=reader.name("squad"),
        foot=reader.word("foot", _FOOT, dtype=pl.Enum(Foot), rule="must be left or right", required=True),
        stage=reader.name("stage", required=True),
        placed_at=reader.moments("placed_at", local_zone=local_zone, now=_ANY_DAY),
        suggested_stage=reader.name("suggested_stage"),
        suggested_status=reader.word(
            "suggested_status", statuses, dtype=pl.Enum(ReadinessStatus), rule=f"must be {', '.join(statuses)}"
        ),
        note=reader.text("note"),
        placement_id=reader.identifier("placement_id"),
        withdrawn_at=reader.moments("withdrawn_at", local_zone=local_zone, now=_ANY_DAY),
    )


def parse_coach_words(table: RawTable) -> ParsedRows:
    """player, player_id, squad, season, words, written_at (UTC)."""
    require_columns(table, (("player",), ("season",), ("words",)))
    reader = ColumnReader(table)
    return _rows(
        reader,
        table,
        player=reader.name("player", required=True),
        player_id=reader.identifier("player_id"),
        squad=reader.name("squad"),
        season=reader.name("season", required=True),
        words=reader.text("words"),
        written_at=reader.moments("written_at", local_zone=_UTC, now=_ANY_DAY),
    )


def parse_settings(table: RawTable) -> ParsedRows:
    """setting, value."""
    require_columns(table, (("setting",), ("value",)))
    reader = ColumnReader(table)
    return _rows(reader, table, setting=reader.name("setting", required=True), value=reader.text("value"))


def _yes_or_no(reader: ColumnReader, field: str) -> pl.Series:
    words = reader.word(field, _YES, dtype=pl.Enum(["true", "false"]), rule="must be true or false (or 1, 0, yes, no)")
    return words.cast(pl.String).replace_strict({"true": True, "false": False}, default=None, return_dtype=pl.Boolean)


def _rows(reader: ColumnReader, table: RawTable, **columns: pl.Series) -> ParsedRows:
    frame = pl.DataFrame({"line": table.lines, **columns})
    return parsed_rows(frame, reader=reader, table=table, fields=[*columns, "date"])
