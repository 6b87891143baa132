"""What README and DEVELOPERS name is there: commands with their options, files and folders, modules, pictures."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import click
import pytest

from tracker.cli.main import strikeladder

ROOT = Path(__file__).parents[2]
DOCUMENTS = ("README.md", "DEVELOPERS.md", "tests/journeys/README.md")
TOP_FOLDERS = ("tracker", "dashboards", "sql", "tests", "demo_data", ".ci")
HOMES = (ROOT, ROOT / "tracker", ROOT / "dashboards")
"""Where a path may start: DEVELOPERS says ``store/gate.py`` for ``tracker/store/gate.py``."""
PICTURES = "dashboards/pictures"

Named = tuple[int, str]
"""The line of a document, and what it names."""


def code(text: str) -> Iterator[Named]:
    """Every piece of code: each line of a fenced block without its comment, each span in backticks."""
    is_fenced = False
    for number, line in enumerate(text.splitlines(), start=1):
        if line.startswith("```"):
            is_fenced = not is_fenced
        elif is_fenced:
            yield number, re.sub(r"(^|\s)#.*", "", line)
        else:
            yield from ((number, span) for span in re.findall(r"`([^`]+)`", line))


def spans(text: str) -> Iterator[tuple[int, str, Path | None]]:
    """Every span in backticks, and in a row of a table whose first cell is a folder, that folder."""
    for number, line in enumerate(text.splitlines(), start=1):
        row = re.match(r"\| `([\w./]+/)` \|", line)
        for span in re.findall(r"`([^`]+)`", line):
            yield number, span, ROOT / row[1] if row else None


def commands(text: str) -> Iterator[tuple[int, list[str]]]:
    """What follows ``strikeladder`` in every command line, also where a sentence leaves that word out."""
    for number, piece in code(text):
        for part in piece.split("&&"):
            words = re.findall(r'"[^"]*"|\S+', part)
            if words and words[0].rpartition("/")[2] == "strikeladder":
                yield number, words[1:]
            elif words and words[0] in strikeladder.commands and any(one.startswith("--") for one in words):
                yield number, words


def what_is_wrong(words: list[str]) -> str | None:
    """Why ``strikeladder`` would not know these words, or None."""
    command: click.Command = strikeladder
    path, options = [one for one in words if not one.startswith("--")], [one for one in words if one.startswith("--")]
    while isinstance(command, click.Group) and path and path[0] != "COMMAND":
        name, *path = path
        if name not in command.commands:
            return f"no command {name!r}"
        command = command.commands[name]
    missing = sorted(set(options) - {"--version", "--help"} - options_of(command))
    return f"{command.name} has no {missing[0]}" if missing else None


def options_of(command: click.Command) -> set[str]:
    """The long and short options of a command; of a group, those of its commands."""
    parts = command.commands.values() if isinstance(command, click.Group) else []
    return {option for one in command.params for option in one.opts}.union(*map(options_of, parts))


def is_there(path: str, home: Path | None) -> bool:
    """Whether a path, perhaps with asterisks, is in the project; ``home`` is the folder its row is about."""
    homes = [*HOMES, *([home] if home else [])]
    return any(any(one.glob(path.rstrip("/"))) for one in homes)


def looks_like_a_path(span: str) -> bool:
    """Whether this is meant as a file or folder of this project: a source file, or a path that begins as ours do."""
    if not re.fullmatch(r"[\w.*/-]+", span) or span.startswith("/"):
        return False
    layers = [one.name for home in HOMES[1:] for one in home.iterdir() if one.is_dir()]
    first, slash, _ = span.partition("/")
    return (bool(slash) and first in (*TOP_FOLDERS, *layers)) or span.endswith((".py", ".sql"))


def missing_name(dotted: str) -> str | None:
    """What of ``review.audit.note``, ``tests.faults`` or ``tracker.stats.gap`` is not there, or None."""
    parts = dotted.split(".")
    for home in (ROOT, ROOT / "tracker"):
        for length in range(len(parts), 0, -1):
            module = home.joinpath(*parts[:length])
            source = module.with_suffix(".py")
            if source.is_file():
                text = source.read_text(encoding="utf-8")
                return next((one for one in parts[length:] if not re.search(rf"\b{one}\b", text)), None)
            if module.is_dir() and length == len(parts):
                return None
    return dotted


@pytest.mark.parametrize("document", DOCUMENTS)
def test_every_command_named_is_there_with_its_options(document: str) -> None:
    text = (ROOT / document).read_text(encoding="utf-8")
    wrong = [(line, why) for line, words in commands(text) if (why := what_is_wrong(words))]
    assert wrong == []


def test_an_option_named_alone_belongs_to_some_command() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    alone = {piece.split()[0] for _, piece in code(text) if piece.startswith("--")}
    assert alone
    assert alone - options_of(strikeladder) == set()


def test_every_command_has_a_place_in_the_readme() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    assert strikeladder.commands.keys() - {words[0] for _, words in commands(text) if words} == set()


@pytest.mark.parametrize("document", DOCUMENTS)
def test_every_path_named_is_there(document: str) -> None:
    file = ROOT / document
    found = [
        (line, span)
        for line, span, folder in spans(file.read_text(encoding="utf-8"))
        if (looks_like_a_path(span) or (folder and re.fullmatch(r"[\w.-]+/[\w.*-]*", span)))
        and not is_there(span, folder or file.parent)
    ]
    assert found == []


@pytest.mark.parametrize("document", DOCUMENTS)
def test_every_module_and_function_named_is_there(document: str) -> None:
    tops = "|".join(one.name for one in (ROOT / "tracker").iterdir() if one.is_dir())
    dotted = re.compile(rf"(?<![\w./-])((?:tracker|tests|dashboards|{tops})(?:\.[a-z]\w*)+)(?=[\s()]|$)")
    wrong = [
        (line, missing)
        for line, piece in code((ROOT / document).read_text(encoding="utf-8"))
        for name in dotted.findall(piece)
        if not name.endswith((".py", ".md", ".sql")) and (missing := missing_name(name))
    ]
    assert wrong == []


def test_every_link_and_picture_of_the_readme_is_there() -> None:
    targets = re.findall(r"\]\(([^)\s]+)\)", (ROOT / "README.md").read_text(encoding="utf-8"))
    ours = [one for one in targets if "://" not in one and not one.startswith("#")]
    assert any(one.startswith(PICTURES) for one in ours)
    if not (ROOT / PICTURES).is_dir():  # until tests/journeys/readme_pictures.py has run once
        ours = [one for one in ours if not one.startswith(PICTURES)]
    assert [one for one in ours if not (ROOT / one).is_file()] == []


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (["accuracy", "--by", "player"], None),
        (["ladder", "check", "FILE"], None),
        (["--version"], None),
        (["acuracy"], "no command 'acuracy'"),
        (["ladder", "chek"], "no command 'chek'"),
        (["gap", "--colour"], "gap has no --colour"),
    ],
)
def test_a_command_that_is_not_there_is_found(words: list[str], why: str | None) -> None:
    assert what_is_wrong(words) == why


@pytest.mark.parametrize(
    ("span", "expected"),
    [
        ("tracker/store/gate.py", True),
        ("store/gate.py", True),
        ("sql/lake/*.sql", True),
        ("tests/faults/", True),
        ("tracker/store/gates.py", False),
        ("store/gates.py", False),
        ("gates.py", False),
        ("sql/lakes/*.sql", False),
    ],
)
def test_a_path_that_is_not_there_is_found(span: str, *, expected: bool) -> None:
    assert looks_like_a_path(span)
    assert is_there(span, None) is expected


def test_a_name_that_is_not_there_is_found() -> None:
    assert missing_name("review.audit.note") is None
    assert missing_name("tests.faults") is None
    assert missing_name("review.audit.notes") == "notes"
    assert missing_name("review.audits") == "review.audits"
