"""The tree of errors drawn in the docstring is the tree of the classes, with their exit codes."""

from __future__ import annotations

import re
from pathlib import Path

import polars as pl
import pytest

from tracker import errors
from tracker.errors import RowsRejected, TrackerError

LINE = re.compile(r"(?P<indent>[ │├└─]*)(?P<name>\w+) +(?P<code>\d)  (?P<words>.+)")


def drawn() -> dict[str, tuple[str | None, int]]:
    """Parent and exit code of each error, by name, as the docstring draws them."""
    tree: dict[str, tuple[str | None, int]] = {}
    above: list[tuple[int, str]] = []
    assert errors.__doc__
    for line in filter(None, map(LINE.fullmatch, errors.__doc__.splitlines())):
        depth = len(line["indent"])
        above = [(at, name) for at, name in above if at < depth]
        tree[line["name"]] = (above[-1][1] if above else None, int(line["code"]))
        above.append((depth, line["name"]))
    return tree


def test_the_drawn_tree_is_that_of_the_classes() -> None:
    classes = [one for one in vars(errors).values() if isinstance(one, type) and issubclass(one, TrackerError)]
    parents = {one.__name__: one.__mro__[1].__name__ if one is not TrackerError else None for one in classes}
    assert drawn() == {one.__name__: (parents[one.__name__], one.exit_code) for one in classes}


def test_exit_code_2_is_left_to_wrong_usage() -> None:
    assert {code for _, code in drawn().values()} == {1, 3}


def test_a_rejected_file_counts_lines_not_faults() -> None:
    rejects = pl.DataFrame({"line": [2, 2, 5], "column": ["foot", "date", "foot"], "value": "x", "why": "because"})
    error = RowsRejected("wrong", rejects=rejects, rejects_file=Path("a.rejects.csv"), read=9)
    assert error.counts() == {
        "read": 9,
        "stored": 0,
        "already_there": 0,
        "rejected": 2,
        "rejects_file": "a.rejects.csv",
    }


@pytest.mark.parametrize(
    ("stage", "field", "text"),
    [
        ("Rolling ball", "p_ready", "u12.toml: stage 'Rolling ball', field 'p_ready': too low"),
        (None, "name", "u12.toml: field 'name': too low"),
        (None, None, "u12.toml: too low"),
    ],
)
def test_a_ladder_error_names_file_stage_field_and_reason(stage: str | None, field: str | None, text: str) -> None:
    assert str(errors.LadderError(source="u12.toml", stage=stage, field=field, why="too low")) == text
