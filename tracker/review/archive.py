"""A folder with everything: written by ``export --what all``, read back by ``import`` with nothing lost.

``ladders/*.toml, settings.csv, squads.csv, seasons.csv, players.csv, practices.csv, strikes.csv, corrections.csv,
placements.csv, coach_words.csv``. Any of the tables will do to read one, and an empty one is not written; the demo
season is such a folder.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from enum import StrEnum
from pathlib import Path
from typing import Any
from uuid import UUID, uuid5
from zoneinfo import ZoneInfo

import polars as pl
from tzlocal import get_localzone_name

from tracker.domain.identity import uuid7
from tracker.domain.ladder_file import parse_ladder, read_ladder_text, shipped_ladder_text
from tracker.domain.practice import Placement, Practice
from tracker.domain.squad import Season, Squad
from tracker.domain.strike import Correction
from tracker.domain.vocabulary import Foot, Language, LengthUnit, Paper, PitchSurface, ReadinessStatus
from tracker.errors import FileError, RequestError, RowsRejected
from tracker.intake import club_files
from tracker.intake.derived_ids import with_set_ids, with_strike_ids
from tracker.intake.strike_columns import ParsedRows
from tracker.intake.strike_file import parse_strikes
from tracker.intake.table_file import RawTable, read_table
from tracker.intake.table_out import write_table
from tracker.review.club import DEFAULT_LADDER
from tracker.review.resolve import Resolver, ready_to_store, squad_salt
from tracker.store import ladders as stored_ladders
from tracker.store import practices as stored_practices
from tracker.store import squads as stored_squads
from tracker.store.coach_words import save_coach_words
from tracker.store.database import Database, Transaction
from tracker.store.export import everything
from tracker.store.strikes import Appended, append_strikes, void_strikes

_TABLES = (
    *("settings", "squads", "seasons", "players", "practices"),
    *("corrections", "placements", "coach_words", "strikes"),
)
_SETTING_WORDS: Mapping[str, type[StrEnum]] = {"length_unit": LengthUnit, "paper": Paper, "language": Language}
_OWN_SETTINGS = ("passcode_hash", "rewrite_due")  # of this database alone, whatever a file says


def write_archive(database: Database, folder: Path) -> list[Path]:
    """Writes everything to a folder that is not there yet, or is empty; returns the files. Raises FileError."""
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise FileError(f"{folder} holds something already; name a folder that is not there yet")
    try:
        (folder / "ladders").mkdir(parents=True, exist_ok=True)
        written = []
        for number, text in enumerate(stored_ladders.ladder_texts(database).values(), start=1):
            written.append(folder / "ladders" / f"{number}.toml")
            written[-1].write_text(text, encoding="utf-8")
    except OSError as error:
        raise FileError(f"{folder} cannot be written ({error}); choose a folder you may write to") from error
    for name, frame in everything(database).items():
        if frame.height:
            written.append(folder / f"{name}.csv")
            write_table(frame, written[-1])
    return written


@dataclass(frozen=True, kw_only=True, slots=True)
class ArchiveSummary:
    """What a folder brought."""

    read: int
    stored: int
    already_there: int
    players: int
    placements: int

    def counts(self) -> dict[str, int | str | None]:
        """The figures, for a program to read."""
        return {
            "read": self.read,
            "stored": self.stored,
            "already_there": self.already_there,
            "rejected": 0,
            "rejects_file": None,
        }

    def remarks(self) -> list[str]:
        """What a person should know besides the figures."""
        return [f"{self.players} players and {self.placements} placements came with them."]


def import_archive(database: Database, folder: Path) -> ArchiveSummary:
    """Stores everything a folder holds, all or nothing. Raises FileError, RowsRejected or LadderError."""
    tables = {name: read_table(folder / f"{name}.csv") for name in _TABLES if (folder / f"{name}.csv").exists()}
    if not tables:
        raise FileError(f"{folder}: there are no records in this folder; name a file, or a folder that export wrote")
    with database.transaction() as transaction:
        _save_ladders(transaction, folder)
        _save_club(transaction, tables)
        resolver = Resolver.start(transaction, squad=None, may_make=True)
        players = _save_players(resolver, tables)
        _save_practices(resolver, tables)
        read, appended = _save_strikes(resolver, tables)
        _save_corrections(transaction, tables)
        placements = _save_placements(resolver, tables)
        _save_coach_words(resolver, tables)
    return ArchiveSummary(
        read=read,
        stored=appended.stored,
        already_there=appended.already_there,
        players=players,
        placements=placements,
    )


def _right(parsed: ParsedRows, table: RawTable) -> ParsedRows:
    if parsed.rejects.height:
        first = parsed.rejects.row(0, named=True)
        raise RowsRejected(
            f"{table.source}, line {first['line']}: {first['why']}. Nothing was stored.",
            rejects=parsed.rejects,
            rejects_file=None,
            read=parsed.read,
        )
    return parsed


def _rows(tables: dict[str, RawTable], name: str, parse: Callable[[RawTable], ParsedRows]) -> pl.DataFrame | None:
    return _right(parse(tables[name]), tables[name]).rows if name in tables else None


def _save_ladders(transaction: Transaction, folder: Path) -> None:
    for file in sorted((folder / "ladders").glob("*.toml")):
        text = read_ladder_text(file)
        stored_ladders.save_ladder(transaction, name=parse_ladder(text, source=str(file)).name, content=text)


def _save_club(transaction: Transaction, tables: dict[str, RawTable]) -> None:
    """Settings, squads and seasons; one that is there already by name keeps its id."""
    settings = _rows(tables, "settings", club_files.parse_settings)
    for row in [] if settings is None else settings.iter_rows(named=True):
        _save_setting(transaction, row["setting"], row["value"] or "")
    squads = _rows(tables, "squads", club_files.parse_squads)
    if squads is not None:
        there = {one.name.casefold(): one.squad_id for one in stored_squads.squads(transaction)}
        stored_squads.save_squads(
            transaction,
            [
                Squad(
                    squad_id=there.get(row["squad"].casefold()) or _id(row["squad_id"]),
                    name=row["squad"],
                    ladder_name=_ladder_name(transaction, row["ladder"] or DEFAULT_LADDER),
                )
                for row in squads.iter_rows(named=True)
            ],
        )
    seasons = _rows(tables, "seasons", club_files.parse_seasons)
    if seasons is not None:
        known = {one.name.casefold(): one.season_id for one in stored_squads.seasons(transaction)}
        stored_squads.save_seasons(
            transaction,
            [
                Season(
                    season_id=known.get(row["season"].casefold()) or _id(row["season_id"]),
                    name=row["season"],
                    starts_on=row["starts_on"],
                    ends_on=row["ends_on"],
                )
                for row in seasons.iter_rows(named=True)
            ],
        )


def _ladder_name(transaction: Transaction, name: str) -> str:
    """A ladder that is here, or comes with the program and is put in use. Raises FileError where neither is so."""
    if name not in stored_ladders.ladder_texts(transaction):
        try:
            stored_ladders.save_ladder(transaction, name=name, content=shipped_ladder_text(name))
        except RequestError as error:
            raise FileError(f"squads.csv: {error} Its file belongs into ladders/. Nothing was stored.") from error
    return name


def _save_setting(transaction: Transaction, name: str, value: str) -> None:
    """Stores a setting that may come from a file, and that a page will be able to read."""
    if name in _OWN_SETTINGS:
        return
    allowed = _SETTING_WORDS.get(name)
    if allowed and value not in list(allowed):
        raise FileError(f"settings.csv: {name} is {value!r}: must be {', '.join(allowed)}. Nothing was stored.")
    stored_ladders.save_setting(transaction, name=name, value=value)


def _save_players(resolver: Resolver, tables: dict[str, RawTable]) -> int:
    rows = _rows(tables, "players", club_files.parse_players)
    if rows is None:
        return 0
    resolver.save_players(rows)
    return rows.height


def _save_practices(resolver: Resolver, tables: dict[str, RawTable]) -> None:
    rows = _rows(tables, "practices", club_files.parse_practices)
    if rows is None:
        return
    stored_practices.add_practices(
        resolver.transaction,
        [
            Practice(
                practice_id=_id(row["practice_id"]),
                squad_id=UUID(row["squad_id"]),
                held_on=row["held_on"],
                label=row["practice"],
                place=row["place"],
                pitch_surface=PitchSurface(row["pitch_surface"]) if row["pitch_surface"] else None,
                notes=row["notes"],
            )
            for row in resolver.with_squads(rows).iter_rows(named=True)
        ],
    )


def _save_strikes(resolver: Resolver, tables: dict[str, RawTable]) -> tuple[int, Appended]:
    """How many rows were read, and what became of them."""
    if "strikes" not in tables:
        return 0, Appended(stored=0, already_there=0)
    table = tables["strikes"]
    parsed = _right(parse_strikes(table, local_zone=_zone(), now=datetime.now(UTC)), table)
    rows = resolver.with_squads(parsed.rows)
    salt = squad_salt(rows)
    rows, _ = resolver.with_players(rows)
    rows = resolver.with_practices(resolver.with_stages(rows)[0])
    rows = with_set_ids(with_strike_ids(rows, digest=table.digest, salt=salt), digest=table.digest, salt=salt)
    return parsed.read, append_strikes(resolver.transaction, ready_to_store(rows))


def _save_corrections(transaction: Transaction, tables: dict[str, RawTable]) -> None:
    rows = _rows(tables, "corrections", club_files.parse_corrections)
    if rows is None:
        return
    void_strikes(
        transaction,
        [
            Correction(
                strike_id=UUID(row["strike_id"]),
                corrected_at=row["corrected_at"],
                corrected_by=row["corrected_by"],
                why=row["why"],
            )
            for row in rows.iter_rows(named=True)
        ],
    )


def _save_placements(resolver: Resolver, tables: dict[str, RawTable]) -> int:
    rows = _rows(tables, "placements", lambda table: club_files.parse_placements(table, local_zone=_zone()))
    if rows is None:
        return 0
    found, _ = resolver.with_players(resolver.with_squads(rows))
    placements = [
        Placement(
            placement_id=UUID(row["placement_id"]) if row["placement_id"] else _placement_id(row),
            player_id=UUID(row["player_id"]),
            foot=Foot(row["foot"]),
            stage=row["stage"],
            placed_at=row["placed_at"],
            suggested_stage=row["suggested_stage"],
            suggested_status=ReadinessStatus(row["suggested_status"]) if row["suggested_status"] else None,
            note=row["note"],
        )
        for row in found.iter_rows(named=True)
    ]
    new = stored_practices.add_placements(resolver.transaction, placements)
    withdrawn = found.select(
        pl.Series("placement_id", [str(one.placement_id) for one in placements], dtype=pl.String), "withdrawn_at"
    )
    stored_practices.withdraw_placements(resolver.transaction, withdrawn.drop_nulls())
    return new


def _save_coach_words(resolver: Resolver, tables: dict[str, RawTable]) -> None:
    """The coach's words for the seasons that are there."""
    rows = _rows(tables, "coach_words", club_files.parse_coach_words)
    if rows is None:
        return
    seasons = {one.name.casefold(): one.season_id for one in stored_squads.seasons(resolver.transaction)}
    found, _ = resolver.with_players(resolver.with_squads(rows))
    for row in found.iter_rows(named=True):
        if row["season"].casefold() in seasons:
            save_coach_words(
                resolver.transaction,
                player_id=UUID(row["player_id"]),
                season_id=seasons[row["season"].casefold()],
                words=row["words"] or "",
                written_at=row["written_at"],
            )


def _placement_id(row: dict[str, Any]) -> UUID:
    """The same for the same decision, so that a file read again adds nothing."""
    return uuid5(UUID(row["player_id"]), f"{row['foot']} {row['stage']} {row['placed_at'].isoformat()}")


def _id(text: str | None) -> UUID:
    return UUID(text) if text else uuid7()


def _zone() -> ZoneInfo:
    return ZoneInfo(get_localzone_name())
