"""The hand-over file: one zip with a manifest and Parquet tables, versioned, checked before anything in it is used.

``manifest.json`` names the format, its version and what is inside; ``players.parquet``, ``practices.parquet``,
``strikes.parquet``, ``placements.parquet`` and ``coach_words.parquet`` have the columns of an export; ``ladder.toml``
is the ladder the squad worked on. A table without rows is left out.
"""

from __future__ import annotations

import io
import json
import zipfile
import zlib
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import UTC, datetime

import polars as pl

from tracker.domain.squad import checked_name
from tracker.errors import FileError
from tracker.intake.table_file import RawTable, table_from_bytes
from tracker.intake.table_out import parquet_bytes

FORMAT, VERSION = "strike-ladder hand-over", 1
TABLES = ("players", "practices", "strikes", "placements", "coach_words")
LARGEST_HAND_OVER_BYTES = LARGEST_UNPACKED_BYTES = 200_000_000
"""The file; and all parts together, unpacked: what is larger is not a hand-over of children's strikes."""
_PACKED_AS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)


@dataclass(frozen=True, kw_only=True, slots=True)
class Manifest:
    """What a hand-over says of itself: who made it, when, of which squad on which ladder, and whether notes are in."""

    version: int
    made_at: datetime
    made_by: str
    squad: str
    ladder: str
    with_notes: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class HandOverFile:
    """What came in a hand-over: its manifest, its ladder (TOML), its tables as they were written."""

    manifest: Manifest
    ladder_text: str
    tables: Mapping[str, RawTable]


def packed_hand_over(manifest: Manifest, *, ladder_text: str, tables: Mapping[str, pl.DataFrame]) -> bytes:
    """The bytes of a hand-over file."""
    content = io.BytesIO()
    with zipfile.ZipFile(content, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.comment = FORMAT.encode()  # tells our file from another, without unpacking it
        said = {"format": FORMAT, **asdict(manifest), "made_at": manifest.made_at.isoformat()}
        archive.writestr("manifest.json", json.dumps(said, ensure_ascii=False, indent=1))
        archive.writestr("ladder.toml", ladder_text)
        for name in TABLES:
            if name in tables and tables[name].height:
                archive.writestr(f"{name}.parquet", parquet_bytes(tables[name]))
    return content.getvalue()


def read_hand_over(content: bytes, *, source: str) -> HandOverFile:
    """What a hand-over file holds. Raises FileError when it is none, is damaged, or is of a newer version."""
    unpacked = 0

    def part(name: str) -> bytes:
        nonlocal unpacked
        content = _part(archive, parts[name], source, most_bytes=LARGEST_UNPACKED_BYTES - unpacked)
        unpacked += len(content)
        return content

    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            parts = {one.filename: one for one in archive.infolist()}
            if "manifest.json" not in parts:
                raise FileError(f"{source} is not a hand-over: it has no manifest.json")
            manifest = _manifest(part("manifest.json"), source)
            texts = {name: part(f"{name}.parquet") for name in TABLES if f"{name}.parquet" in parts}
            ladder = part("ladder.toml").decode() if "ladder.toml" in parts else ""
    except (zipfile.BadZipFile, zlib.error, EOFError, OSError, ValueError, ArithmeticError, RuntimeError) as error:
        raise FileError(f"{source} is not a hand-over file, or it is damaged ({error})") from error
    tables = {name: table_from_bytes(text, source=f"{source}, {name}.parquet") for name, text in texts.items()}
    if "players" not in tables:
        raise FileError(f"{source} hands nobody over: it has no players")
    return HandOverFile(manifest=manifest, ladder_text=ladder, tables=tables)


def new_manifest(*, made_by: str, squad: str, ladder: str, with_notes: bool) -> Manifest:
    """The manifest of a hand-over made now."""
    return Manifest(
        version=VERSION,
        made_at=datetime.now(UTC),
        made_by=made_by,
        squad=squad,
        ladder=ladder,
        with_notes=with_notes,
    )


def _part(archive: zipfile.ZipFile, part: zipfile.ZipInfo, source: str, *, most_bytes: int) -> bytes:
    """One part, unpacked into memory and never onto the disk; its own word for its size is not trusted."""
    if part.compress_type not in _PACKED_AS:
        raise FileError(f"{source}: {part.filename} is packed in a way that no hand-over is")
    with archive.open(part) as file:
        content = file.read(most_bytes + 1)
    if len(content) > most_bytes:
        raise FileError(
            f"{source} unpacks to more than {LARGEST_UNPACKED_BYTES / 1000**2:g} MB, too much for a hand-over"
        )
    return content


def _manifest(content: bytes, source: str) -> Manifest:
    try:
        said = json.loads(content)
        if said["format"] != FORMAT:
            raise FileError(f"{source} is not a hand-over but {said['format']!r}")
        if not 1 <= int(said["version"]) <= VERSION:
            raise FileError(
                f"{source} was made by a newer Strike Ladder (hand-over {said['version']}; this one reads {VERSION}). "
                "Update Strike Ladder, then try again."
            )
        return Manifest(
            version=int(said["version"]),
            made_at=datetime.fromisoformat(said["made_at"]).astimezone(UTC),
            made_by=str(said["made_by"]),
            squad=checked_name(str(said["squad"]), what="squad"),
            ladder=str(said["ladder"]),
            with_notes=said["with_notes"] is True,
        )
    except (ValueError, KeyError, TypeError, ArithmeticError, RecursionError) as error:
        raise FileError(f"{source} is not a hand-over: its manifest.json is not one") from error
