"""Looks through the files of the data folder for a name, in every way a file of ours may spell it."""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Iterator
from pathlib import Path

from tracker.store.backup import backup_folder
from tracker.store.database_file import wal_of

_BLOCK_BYTES = 1 << 24
_OUR_LEFTOVERS = (".rejects.csv",)
_NOT_LOOKED_INTO = {".crt", ".key", ".pem"}


def files_naming(database_file: Path | None, name: str) -> list[Path]:
    """The files beside a database, and in the folders there, that hold a name as a word. Left out are backups, which
    are listed whatever they hold, and the database, which is written afresh."""
    if database_file is None:
        return []
    pattern = _as_bytes(name)
    return [path for path in _files_beside(database_file) if _holds(path, pattern)]


def is_own_leftover(path: Path) -> bool:
    """Whether a file is a list of wrong rows that we wrote, so that it is ours to remove."""
    return path.name.endswith(_OUR_LEFTOVERS)


def _files_beside(database_file: Path) -> Iterator[Path]:
    ours, backups, beside = {database_file, wal_of(database_file)}, backup_folder(database_file), database_file.parent
    for path in sorted([*beside.glob("*"), *beside.glob("*/*")]):
        if path.is_file() and path not in ours and path.parent != backups and path.suffix not in _NOT_LOOKED_INTO:
            yield path


def _as_bytes(name: str) -> re.Pattern[bytes]:
    """The name as UTF-8 composed and decomposed, as UTF-16, and as JSON escapes it."""
    spellings = {
        written.encode(encoding)
        for form in ("NFC", "NFD")
        for one in (unicodedata.normalize(form, name),)
        for written in (one, one.casefold(), one.upper())
        for encoding in ("utf-8", "utf-16-le")
    } | {json.dumps(name)[1:-1].encode()}
    either = b"|".join(re.escape(one) for one in sorted(spellings, key=len, reverse=True))
    return re.compile(b"(?<![A-Za-z])(?:" + either + b")(?![A-Za-z])")


def _holds(path: Path, pattern: re.Pattern[bytes]) -> bool:
    """Whether a file holds it, read in blocks that overlap. A file that cannot be read is taken to hold it."""
    try:
        with path.open("rb") as file:
            tail = b""
            while block := file.read(_BLOCK_BYTES):
                if pattern.search(tail + block):
                    return True
                tail = block[-1024:]
    except OSError:
        return True
    return False
