"""Identifiers made where a thing happens, so that sending it twice stores it once."""

from __future__ import annotations

import secrets
import time
from uuid import UUID


def uuid7(*, unix_ms: int | None = None, random_bits: int | None = None) -> UUID:
    """A version 7 UUID: 48 bits of Unix milliseconds, then 74 random bits, so that ids sort by the time they were made.

    ``unix_ms`` and ``random_bits`` (74 bits) exist for tests; leave them out.
    Source: RFC 9562, section 5.7.

    >>> str(uuid7(unix_ms=0x017F22E279B0, random_bits=(0xCC3 << 62) | 0x18C4DC0C0C07398F))
    '017f22e2-79b0-7cc3-98c4-dc0c0c07398f'
    """
    milliseconds = time.time_ns() // 1_000_000 if unix_ms is None else unix_ms
    noise = secrets.randbits(74) if random_bits is None else random_bits
    rand_a, rand_b = noise >> 62, noise & ((1 << 62) - 1)
    return UUID(int=(milliseconds << 80) | (0x7 << 76) | (rand_a << 64) | (0b10 << 62) | rand_b)
