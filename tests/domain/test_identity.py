"""Identifiers made where a thing happens."""

from __future__ import annotations

import time
import uuid

from hypothesis import given
from hypothesis import strategies as st

from tracker.domain.identity import uuid7


def test_the_worked_example_of_rfc_9562_appendix_a_6() -> None:
    made = uuid7(unix_ms=0x017F22E279B0, random_bits=(0xCC3 << 62) | 0x18C4DC0C0C07398F)
    assert str(made) == "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"


@given(st.integers(0, 2**48 - 1), st.integers(0, 2**74 - 1))
def test_version_variant_and_time_stand_where_the_standard_puts_them(unix_ms: int, random_bits: int) -> None:
    made = uuid7(unix_ms=unix_ms, random_bits=random_bits)
    assert made.version == 7
    assert made.variant == uuid.RFC_4122
    assert made.int >> 80 == unix_ms


@given(st.integers(0, 2**48 - 2), st.integers(0, 2**74 - 1), st.integers(0, 2**74 - 1))
def test_an_id_made_a_millisecond_later_sorts_later_as_text(unix_ms: int, first: int, second: int) -> None:
    assert str(uuid7(unix_ms=unix_ms, random_bits=first)) < str(uuid7(unix_ms=unix_ms + 1, random_bits=second))


def test_a_thousand_ids_made_at_once_differ_and_carry_the_time_of_now() -> None:
    before = time.time_ns() // 1_000_000
    made = {uuid7() for _ in range(1000)}
    after = time.time_ns() // 1_000_000
    assert len(made) == 1000
    assert all(before <= one.int >> 80 <= after for one in made)
