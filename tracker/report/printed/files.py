"""Files a person keeps: safe names, whole or not at all, and never over a file of somebody else's."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from pathlib import Path

from tracker.domain.file_content import whole_file
from tracker.errors import FileError

LONGEST_STEM_BYTES = 120
_UNSAFE = set('<>:"/\\|?*')
_RESERVED = {"con", "prn", "aux", "nul", *(f"{port}{number}" for port in ("com", "lpt") for number in range(1, 10))}
MAKER = b"strike-ladder"


def safe_stem(name: str) -> str:
    """A file name, without its ending, that reads as the name does and is safe on every system.

    Letters of any script stay; what steers a path, a shell or the direction of text becomes an underscore.

    >>> safe_stem('Zoë "<b>" O\\'Neill #1 \\\\today 日本 عمر')
    "Zoë _b_ O'Neill #1 _today 日本 عمر"
    >>> safe_stem("../..\\u202e/x"), safe_stem("CON"), safe_stem("...")
    ('_.._x', '_CON', '_')
    """
    kept = (
        "_" if one in _UNSAFE or unicodedata.category(one) in ("Cc", "Cf", "Cs", "Co", "Cn") else one
        for one in unicodedata.normalize("NFC", name)
    )
    stem = "".join(kept)
    while "__" in stem:
        stem = stem.replace("__", "_")
    stem = stem.strip(" .") or "_"
    stem = stem.encode()[:LONGEST_STEM_BYTES].decode(errors="ignore").rstrip(" .")
    return f"_{stem}" if stem.partition(".")[0].rstrip().casefold() in _RESERVED or stem.startswith("-") else stem


def unlike_stems(names: Iterable[str]) -> list[str]:
    """A safe stem for each name, all unlike: those that read the same are numbered, also where case is not told apart.

    >>> unlike_stems(["Ana", "Ben", "ana"])
    ['Ana', 'Ben', 'ana (2)']
    """
    taken: set[str] = set()
    stems = []
    for name in names:
        stem = first = safe_stem(name)
        number = 1
        while stem.casefold() in taken:
            number += 1
            stem = f"{first} ({number})"
        taken.add(stem.casefold())
        stems.append(stem)
    return stems


def make_folder(folder: Path) -> Path:
    """The folder, made if need be. Raises FileError."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except (OSError, ValueError) as error:
        why = error.strerror if isinstance(error, OSError) else "its name is not text"
        raise FileError(f"The folder {folder} cannot be made ({why}). Name another with --out.") from error
    return folder


def check_is_ours(path: Path, *, mark: str) -> None:
    """Raises FileError when there is a file at ``path`` that is not an earlier edition of the same page."""
    if path.exists() and not path.is_file():  # a device would be read without end
        raise FileError(f"{path} is a folder or a device, not a file. Name another place with --out.")
    try:
        there = path.read_bytes() if path.exists() else None
    except OSError as error:
        raise FileError(f"{path} cannot be read ({error.strerror}). Name another place with --out.") from error
    if there is not None and not (MAKER in there and mark.encode() in there):
        raise FileError(
            f"{path} is there already and is not an earlier edition of this page, so it was left alone. "
            "Move it away, or name another place with --out."
        )


def write_page(path: Path, content: bytes, *, mark: str) -> Path:
    """Writes a page in one step: the whole of it stands there, or what stood there before.

    Raises FileError when it cannot be written, or when a file not of the same ``mark`` is in its place.
    """
    check_is_ours(path, mark=mark)
    try:
        with whole_file(path) as part:
            part.write_bytes(content)
    except OSError as error:
        raise FileError(f"{path} cannot be written ({error.strerror}). Name another place with --out.") from error
    return path
