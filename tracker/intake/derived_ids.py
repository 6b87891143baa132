"""Ids for rows that bring none: the same file, read again, gives the same ids, so storing it twice stores it once.

A derived id is a version 8 UUID (RFC 9562, section 5.8): for a strike 48 bits of Unix milliseconds, so that ids sort
by time as version 7 does, then 74 bits mixed from the file's digest, the caller's salt and the row's place in the
file. The mixing is written out here, so that no library update can change it.
"""

from __future__ import annotations

from hashlib import blake2b

import numpy as np
import numpy.typing as npt
import polars as pl

from tracker.intake.column_reader import UUID_TEXT

_SET_KEY = ("squad", "practice", "held_on", "player_id", "player", "foot", "stage", "set")

_HEX = np.frombuffer(bytes(range(256)).hex().encode(), dtype=np.uint16)  # both digits of a byte
_GROUPS = (slice(0, 8), slice(9, 13), slice(14, 18), slice(19, 23), slice(24, 36))  # of a UUID's 36 characters
_LATEST_MS = 2**48 - 1

Words = npt.NDArray[np.uint64]


def with_strike_ids(rows: pl.DataFrame, *, digest: str, salt: str) -> pl.DataFrame:
    """The rows with every null ``strike_id`` derived from digest, salt, ``line`` and, where there is one, ``number``.

    ``digest`` is the file's (``RawTable.digest``); ``salt`` keeps the same file apart in two places, such as two
    squads: give the squad's id. ``rows`` needs ``line`` (1 row a line, or ``number`` within it) and ``struck_at``.
    """
    missing = rows["strike_id"].is_null()
    if not missing.any():
        return rows
    bare = rows.filter(missing)
    place = _words(bare["line"])
    if "number" in bare.columns:
        place = splitmix64(place) + _words(bare["number"])
    first_key, second_key = np.frombuffer(_keyed_hash("strike", digest, salt).digest(), dtype="<u8")
    milliseconds = bare["struck_at"].dt.epoch("ms").clip(0, _LATEST_MS)
    derived = _uuid8_text(
        (_words(milliseconds) << np.uint64(16)) | (splitmix64(place ^ first_key) >> np.uint64(48)),
        splitmix64(place ^ second_key),
    )
    if missing.all():
        return rows.with_columns(derived.alias("strike_id"))
    return rows.with_columns(rows["strike_id"].scatter(missing.arg_true(), derived))


def with_set_ids(rows: pl.DataFrame, *, digest: str, salt: str) -> pl.DataFrame:
    """The rows with a column ``set_id``: ``set`` itself where that is a UUID, else derived from it, null without one.

    Rows share a derived id when they agree in squad, practice, day, player, foot, stage and ``set``.
    """
    label = rows["set"]
    if label.null_count() == label.len():
        return rows.with_columns(label.alias("set_id"))
    own = label.str.to_lowercase()
    is_uuid = own.str.contains(UUID_TEXT).fill_null(value=True)
    if is_uuid.all():
        return rows.with_columns(own.alias("set_id"))
    # Rows of a set mostly stand together, so only the first of each run is hashed.
    differs = pl.any_horizontal(pl.col(name).ne_missing(pl.col(name).shift()) for name in _SET_KEY)
    begins = rows.select(differs | (pl.int_range(pl.len()) == 0)).to_series()
    parts = [pl.col(name).cast(pl.String).fill_null("") for name in _SET_KEY]
    keys = rows.filter(begins).rechunk().select(pl.concat_str(parts, separator="\x1f")).to_series()
    derived = _set_ids(keys, digest=digest, salt=salt).gather(begins.cum_sum() - 1)
    return rows.with_columns(pl.select(pl.when(is_uuid).then(own).otherwise(derived)).to_series().alias("set_id"))


def splitmix64(state: Words) -> Words:
    """The output of the SplitMix64 generator for each state: a one-to-one mixing of 64 bits.

    Source: Steele, Lea and Flood 2014, Fast splittable pseudorandom number generators, OOPSLA, figure 15.
    """
    mixed = state + np.uint64(0x9E3779B97F4A7C15)
    mixed = (mixed ^ (mixed >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
    mixed = (mixed ^ (mixed >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
    return mixed ^ (mixed >> np.uint64(31))


def _words(values: pl.Series) -> Words:
    return values.cast(pl.Int64).to_numpy().astype(np.uint64)


def _set_ids(keys: pl.Series, *, digest: str, salt: str) -> pl.Series:
    """The derived id of each key, in its place; each distinct key is hashed once."""
    distinct = keys.unique()
    start = _keyed_hash("set", digest, salt, "")  # the same for every key, and long where there are many squads
    hashes = []
    for key in distinct:
        hashed = start.copy()
        hashed.update(key.encode())
        hashes.append(hashed.digest())
    high, low = np.frombuffer(b"".join(hashes), dtype="<u8").reshape(-1, 2).T
    return keys.replace_strict(distinct, _uuid8_text(high, low), return_dtype=pl.String)


def _keyed_hash(*parts: str) -> blake2b:
    """A hash of 16 bytes over the parts, each told apart from the next."""
    return blake2b("\x1e".join(parts).encode(), digest_size=16)


def _uuid8_text(high: Words, low: Words) -> pl.Series:
    """Version 8 UUIDs as text from two 64-bit words each, whose version and variant bits are overwritten."""
    words = np.empty((high.size, 2), dtype=">u8")
    words[:, 0] = high
    words[:, 1] = low
    content = words.view(np.uint8)
    content[:, 6] = (content[:, 6] & 0x0F) | 0x80
    content[:, 8] = (content[:, 8] & 0x3F) | 0x80
    digits = _HEX[content].view(np.uint8)
    text = np.full((high.size, 36), ord("-"), dtype=np.uint8)
    for group, place in enumerate(_GROUPS):
        text[:, place] = digits[:, place.start - group : place.stop - group]
    return pl.Series(text).cast(pl.List(pl.UInt8)).cast(pl.Binary).cast(pl.String)
