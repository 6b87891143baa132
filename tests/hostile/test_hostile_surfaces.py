"""A few hundred hostile inputs at every door: each is taken in or refused in a sentence, whole or not at all.

``python -m tests.hostile --inputs 10000`` is the long form; ``corpus/`` holds what once broke something.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.hostile.__main__ import tried
from tests.hostile.surfaces import Door, opened

CORPUS = Path(__file__).parent / "corpus"
FOLDERS = {
    "hand_over": Door.HAND_OVER,
    "ladder": Door.LADDER,
    "parquet": Door.PARQUET,
    "strikes": Door.STRIKES,
    "strike_body": Door.STRIKE_BODY,
    "correction_body": Door.CORRECTION_BODY,
}


@pytest.mark.filterwarnings("ignore")  # what a library warns of on hostile input is not what is asked here
@pytest.mark.parametrize("door", Door, ids=lambda door: door.value)
def test_no_hostile_input_crashes_hangs_or_is_stored_in_part(door: Door) -> None:
    tally = tried(door, inputs=15 if door is Door.ADDRESS else 150, seed=8)
    assert tally.crashes == tally.half_stored == 0, tally.shown  # seconds are for the long form, on a quiet machine
    if door not in (Door.ADDRESS, Door.REQUEST):
        assert 0 < tally.refused < tally.inputs  # some of it gets through the door, or nothing would be tried


@pytest.mark.filterwarnings("ignore")
@pytest.mark.parametrize("file", sorted(CORPUS.glob("*/*")), ids=lambda file: f"{file.parent.name}: {file.stem}")
def test_what_once_broke_something_is_refused_in_a_sentence(file: Path) -> None:
    with opened(FOLDERS[file.parent.name]) as surface:
        verdict = surface.verdict(file.read_bytes())
    assert verdict.crash is None, verdict
    assert verdict.half_stored is None, verdict
    assert verdict.refused
    assert "\n" not in verdict.refused or "nothing was stored" in verdict.refused
