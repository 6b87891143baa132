"""A property: however strikes are split into files, and in whatever order these are read, the answers are the same."""

from __future__ import annotations

import tempfile
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from builders import csv_file
from hypothesis import given, settings
from hypothesis import strategies as st
from polars.testing import assert_frame_equal

from tracker.domain.ladder_file import shipped_ladders
from tracker.domain.vocabulary import Dimension, Foot, Miss, Surface
from tracker.review.accuracy import accuracy
from tracker.review.exchange import import_file
from tracker.review.gap import foot_gap
from tracker.review.readiness import readiness
from tracker.review.scope import chosen_scope
from tracker.store.database import Database

STAGES = ["", *(stage.name for stage in shipped_ladders()[1].stages)]
BY = [Dimension.PLAYER, Dimension.FOOT, Dimension.STAGE, Dimension.MONTH]


@st.composite
def strike_rows(draw: st.DrawFn) -> dict[str, Any]:
    """A right row of a strike file, with an id of its own."""
    outcome = draw(st.sampled_from(["on", "off", "blocked"]))
    day = date(2026, 1, 1) + timedelta(days=draw(st.integers(0, 60)))
    return {
        "strike_id": str(draw(st.uuids())),
        "struck_at": f"{day}T{draw(st.integers(8, 20)):02d}:{draw(st.integers(0, 59)):02d}:00Z",
        "player": draw(st.sampled_from(["Ana", "Ben", "Zoë", "=1+1"])),
        "foot": draw(st.sampled_from([foot.value for foot in Foot])),
        "outcome": outcome,
        "miss": draw(st.sampled_from(["", *Miss])) if outcome == "off" else "",
        "surface": draw(st.sampled_from(["", *Surface])),
        "stage": draw(st.sampled_from(STAGES)),
        "distance_m": draw(st.sampled_from(["", "4.5", "16"])),
    }


def answers(parts: list[list[dict[str, Any]]]) -> list[Any]:
    """What the records say after reading the parts, one file each, in order."""
    with tempfile.TemporaryDirectory() as folder, Database.open(None) as database:
        for number, part in enumerate(filter(None, parts)):
            import_file(database, csv_file(Path(folder) / f"{number}.csv", part), create_players=True)
        scope = chosen_scope(database)
        return [accuracy(database, scope, by=BY), foot_gap(database, scope), readiness(database, scope)]


@settings(max_examples=10)
@given(
    rows=st.lists(strike_rows(), min_size=1, max_size=30, unique_by=lambda row: row["strike_id"]),
    data=st.data(),
)
def test_the_answers_do_not_depend_on_how_strikes_arrive(rows: list[dict[str, Any]], data: st.DataObject) -> None:
    shuffled = data.draw(st.permutations(rows))
    cuts = sorted(data.draw(st.lists(st.integers(0, len(rows)), max_size=3)))
    parts = [shuffled[start:end] for start, end in zip([0, *cuts], [*cuts, len(rows)], strict=True)]
    again = [part for part in parts if part][:1]
    for whole, piecewise in zip(answers([rows]), answers([*parts, *again]), strict=True):
        assert_frame_equal(whole, piecewise)
