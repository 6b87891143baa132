"""Reads a file that a person named, and writes one so that it stands there whole or not at all.

Read is only an ordinary file, only as much as is allowed, and only if it holds still: a pipe or a device would never
end; a file that is still being copied would be read in half.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from uuid import uuid4

from tracker.errors import FileError

_FIRST_PART_BYTES = 1_000_000
_PARQUET_MARK = b"PAR1"


def read_content(path: Path, *, most_bytes: int, wanted: str) -> bytes:
    """The bytes of an ordinary file. ``wanted`` says what should be named instead, as "one CSV or Parquet file".

    Of a file that is no text, but zero bytes from the start, only the first part is read: that is enough to say so.
    Raises FileError, naming the file and what to do.
    """
    try:
        if path.is_dir():
            raise FileError(f"{path}: is a folder; name {wanted}")
        if not path.exists():
            raise FileError(f"{path}: there is no such file; check the name and the folder")
        if not path.is_file():
            raise FileError(f"{path}: is not an ordinary file; name {wanted}")
        # Not to wait for anybody: what was a file a moment ago may be a pipe now.
        descriptor = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
        with open(descriptor, "rb") as file:  # noqa: PTH123 - it is open already, as a descriptor
            before = os.fstat(descriptor)
            if not stat.S_ISREG(before.st_mode):
                raise FileError(f"{path}: is not an ordinary file; name {wanted}")
            if before.st_size > most_bytes:
                raise FileError(f"{path}: is larger than {_size_words(most_bytes)}; split it into smaller files")
            content = file.read(_FIRST_PART_BYTES)
            if b"\0" not in content or content.startswith((_PARQUET_MARK, b"PK")):
                content += file.read(most_bytes + 1 - len(content))
                after = os.fstat(descriptor)
                if (after.st_size, after.st_mtime_ns) != (before.st_size, before.st_mtime_ns):
                    raise FileError(f"{path}: changed while it was read; wait until it is complete, then try again")
    except (OSError, ValueError) as error:
        raise FileError(f"{path}: cannot be opened ({error})") from error
    return content


@contextmanager
def whole_file(path: Path) -> Iterator[Path]:
    """Where to write what is to stand at ``path``: a file beside it, which takes its place when the block ends well.

    When the block raises, what stood there before stands there still. Raises OSError.
    """
    part = path.with_name(f".{uuid4().hex}.part")
    try:
        yield part
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)


def _size_words(count: int) -> str:
    return f"{count / 1000**3:g} GB" if count >= 1000**3 else f"{count / 1000**2:g} MB"
