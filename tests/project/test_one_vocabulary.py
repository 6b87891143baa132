"""One thing has one name: in the records, the commands, the phones' page, the files, the pages and their addresses.

``test_sql_files.py`` holds the same words against the ENUMs of the schema.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from enum import StrEnum
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import click
import polars as pl
import pytest

from dashboards.ui.filters import Part
from tracker.cli import lake, planning
from tracker.cli.main import strikeladder
from tracker.cli.options import FORMATS
from tracker.domain.standards import Federation
from tracker.domain.vocabulary import (
    BallArrival,
    Dimension,
    ExportWhat,
    Foot,
    IntervalMethod,
    Language,
    LengthUnit,
    Miss,
    Outcome,
    Paper,
    PreferredFoot,
    ReadinessStatus,
    Source,
    Surface,
)
from tracker.intake.strike_file import STRIKE_FIELDS, parse_strikes
from tracker.intake.table_file import table_from_bytes
from tracker.lake.rates import LakeDimension
from tracker.plan.request import FootPhase
from tracker.report import glossary
from tracker.report.language import speaking
from tracker.serve.openapi import openapi_description
from tracker.serve.payloads import StrikePayload
from tracker.stats.change import ChangeVerdict
from tracker.store.database import Database

ROOT = Path(__file__).parents[2]
PAD = "".join(file.read_text(encoding="utf-8") for file in sorted((ROOT / "dashboards" / "pad").glob("*.js")))


def commands(group: click.Group = strikeladder, above: str = "") -> Iterator[tuple[str, click.Command]]:
    for name, command in group.commands.items():
        if isinstance(command, click.Group):
            yield from commands(command, f"{above}{name} ")
        else:
            yield f"{above}{name}", command


OPTIONS = [
    (f"{name} {one.opts[0]}", one)
    for name, command in commands()
    for one in command.params
    if isinstance(one, click.Option)
]
CHOICES: dict[str, list[str]] = {
    "--engine": ["local", "dask"],
    "--federation": [one.name.lower().replace("_", "-") for one in Federation if one is not Federation.OWN],
    "--foot": list(Foot),
    "--format": list(FORMATS),
    "--language": list(Language),
    "--method": list(IntervalMethod),
    "--other-foot": list(FootPhase),
    "--paper": list(Paper),
    "--what": list(ExportWhat),
}


@pytest.mark.parametrize(("name", "option"), OPTIONS, ids=[name for name, _ in OPTIONS])
def test_a_choice_on_the_command_line_is_a_closed_list_of_words(name: str, option: click.Option) -> None:
    if isinstance(option.type, click.Choice):
        assert list(option.type.choices) == CHOICES[name.split()[-1]]


def test_every_list_of_choices_is_some_commands() -> None:
    chosen = {name.split()[-1] for name, option in OPTIONS if isinstance(option.type, click.Choice)}
    assert chosen == set(CHOICES)


def test_an_option_that_several_commands_have_takes_the_same_in_all_of_them() -> None:
    takes: dict[str, set[str | None]] = {}
    for name, option in OPTIONS:
        takes.setdefault(name.split()[-1], set()).add(option.metavar or option.type.name)
    differ = {name for name, kinds in takes.items() if len(kinds) > 1}
    # What to split by or who says so; a file or a folder; how many players or a file of them.
    assert differ == {"--by", "--out", "--players"}


def test_what_a_lake_is_split_by_is_named_alike() -> None:
    assert list(lake.DIMENSIONS) == list(LakeDimension)
    assert list(planning.PHASES) == list(FootPhase)
    assert {"player", "foot", "stage"} <= set(Dimension) & set(LakeDimension)


def test_the_address_of_a_page_names_things_as_the_commands_do() -> None:
    options = {option.opts[0].removeprefix("--") for _, option in OPTIONS}
    assert set(Part) <= options | set(Dimension)


PAD_WORDS: dict[str, type[StrEnum]] = {"outcome": Outcome, "source": Source, "miss": Miss, "foot": Foot}
LEAST_SAID = {"outcome": 3, "source": 2, "miss": 0, "foot": 1}  # misses stand as the sides of the targets


@pytest.mark.parametrize("field", PAD_WORDS)
def test_the_touchline_page_writes_the_words_of_the_records(field: str) -> None:
    said = re.findall(rf"\b{field}(?:: | [!=]== )(?:place < onTarget \? )?'([^']+)'(?: : '([^']+)')?", PAD)
    words = {word for pair in said for word in pair if word}
    assert words <= set(PAD_WORDS[field])
    assert len(words) >= LEAST_SAID[field]


def test_each_target_of_the_touchline_page_is_an_outcome_with_its_miss() -> None:
    targets = re.findall(r"target\('(\w+)', '([a-z ]+)'(?:, '(\w+)')?\)", PAD)
    wide = [(side, Outcome.OFF_TARGET, side) for side in re.findall(r"wide\('(\w+)'\)", PAD)]
    deeds = {(outcome, miss) for _, outcome, miss in [*targets, *wide]}
    misses = {(Outcome.OFF_TARGET.value, miss.value) for miss in Miss}
    assert deeds == {(Outcome.ON_TARGET.value, ""), (Outcome.BLOCKED.value, ""), *misses}


def test_a_phone_sends_what_the_server_reads() -> None:
    models = openapi_description()["components"]["schemas"]
    for closed in (Foot, Surface, Outcome, Miss, Source):
        assert models[closed.__name__]["enum"] == list(closed)
    assert set(StrikePayload.model_fields) - {"practice", "player", "struck_at_phone"} <= set(STRIKE_FIELDS)
    (made,) = re.findall(r"kind: 'strikes', ([^}]+)\};", PAD)
    kept = set(re.findall(r"(\w+)(?::[^,]*)?,", made))
    (for_itself,) = re.findall(r"\(\{ ([\w ,:]+), \.\.\.facts \}\) =>", PAD)
    assert kept - set(re.findall(r"\w+", for_itself)) <= set(StrikePayload.model_fields)
    assert len(kept) > 5


def read(column: str, word: str, **others: str) -> pl.DataFrame:
    row = {"player": "Ana", "foot": "left", "outcome": "on", "date": "2026-03-14"} | others | {column: word}
    text = "\n".join(",".join(cells) for cells in (row.keys(), row.values()))
    table = table_from_bytes(text.encode(), source="strikes.csv")
    return parse_strikes(table, local_zone=ZoneInfo("UTC"), now=datetime(2026, 3, 15, tzinfo=UTC)).rows


@pytest.mark.parametrize(
    ("column", "word"),
    [
        *(("foot", one) for one in Foot),
        *(("surface", one) for one in Surface),
        *(("outcome", one) for one in Outcome),
        *(("source", one) for one in Source),
    ],
)
def test_a_file_may_say_each_word_of_the_records(column: str, word: StrEnum) -> None:
    assert read(column, word)[column].to_list() == [word.value]


@pytest.mark.parametrize("miss", Miss)
def test_a_file_may_say_each_miss(miss: Miss) -> None:
    assert read("miss", miss, outcome="off")["miss"].to_list() == [miss.value]


def test_the_short_outcomes_of_the_touchline_pages_file_are_read_as_its_long_ones() -> None:
    (pairs,) = re.findall(r"const OUTCOMES = \{([^}]+)\}", PAD)
    short = {long or bare: said for long, bare, said in re.findall(r"(?:'([a-z ]+)'|(\w+)): '(\w+)'", pairs)}
    assert set(short) == set(Outcome)
    assert {long: read("outcome", said)["outcome"].item() for long, said in short.items()} == {
        long: long for long in short
    }


WORDS_OF: list[tuple[type[StrEnum], Callable[[Any], str]]] = [
    (Foot, glossary.foot_word),
    (PreferredFoot, glossary.preferred_words),
    (Surface, glossary.surface_words),
    (Outcome, glossary.outcome_words),
    (Miss, glossary.miss_word),
    (BallArrival, glossary.arrival_word),
    (ReadinessStatus, glossary.status_word),
    (ChangeVerdict, glossary.verdict_word),
    (LengthUnit, glossary.unit_words),
]


@pytest.mark.parametrize("language", Language)
@pytest.mark.parametrize(("closed", "words"), WORDS_OF, ids=[closed.__name__ for closed, _ in WORDS_OF])
def test_each_thing_has_a_word_of_its_own_in_every_language(
    closed: type[StrEnum], words: Callable[[Any], str], language: Language
) -> None:
    with speaking(Language.ENGLISH):
        english = [words(one) for one in closed]
    with speaking(language):
        said = [words(one) for one in closed]
    assert all(said)
    assert len(set(said)) == len(closed)
    assert (said == english) == (language is Language.ENGLISH)


OTHER_NAMES = {
    "practice": "session|workout|lesson|training",
    "player": "kid|athlete|pupil|trainee|participant",
    "stage": "rung|grade|tier|drill",
    "strike": "shot|kick|attempted",
    "squad": "team|roster_name",
    "placement": "promotion|demotion",
    "logger": "recorder|scorer|tagger",
}
MEANS_ANOTHER_THING = {
    "training",  # what a federation's heading rule speaks of
    "drill stage",  # how the help explains what a stage is
    "drill stages",
}


def test_no_column_of_the_records_and_no_command_has_another_name_for_a_thing() -> None:
    with Database.open(None) as database:
        columns = database._connection.execute(
            "select table_name || '.' || column_name || ': ' || coalesce(comment, '') from duckdb_columns() "
            "where not internal"
        ).fetchall()
    said = [
        *(text for (text,) in columns),
        *(f"{name}: {command.help}" for name, command in commands()),
        *(f"{name}: {option.help}" for name, option in OPTIONS),
    ]
    other = re.compile(rf"(?<![a-z])({'|'.join(OTHER_NAMES.values())})s?(?![a-z])", re.IGNORECASE)
    meant = re.compile("|".join(sorted(MEANS_ANOTHER_THING, key=len, reverse=True)))
    assert [text for text in said if other.search(meant.sub("", text))] == []
    assert len(said) > 200
