"""Whatever stands on the command line: an answer or a sentence with exit code 1 or 2, and never a traceback."""

from __future__ import annotations

from pathlib import Path

import click
import pytest
from answers import Answer
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.hostile.materials import ODD_TEXTS
from tracker.cli.main import main, strikeladder

NOT_TRIED = {"serve", "demo", "passcode"}  # they would start a server, or ask at the terminal
TEXTS = [text for text in ODD_TEXTS if len(text) < 200 and "\0" not in text] + [
    "\ud800",
    "-" * 50,
    "--",
    "9" * 60,
    "1e999",
    "/dev/zero",
]


def commands(
    group: click.Group = strikeladder, above: tuple[str, ...] = ()
) -> list[tuple[tuple[str, ...], click.Command]]:
    found: list[tuple[tuple[str, ...], click.Command]] = []
    for name, command in group.commands.items():
        if isinstance(command, click.Group):
            found += commands(command, (*above, name))
        elif name not in NOT_TRIED:
            found.append(((*above, name), command))
    return found


@st.composite
def command_lines(draw: st.DrawFn, command: click.Command) -> list[str]:
    """Its arguments and some of its options, with odd values for most."""
    line: list[str] = []
    for one in command.params:
        if isinstance(one, click.Argument):
            line.append(draw(st.sampled_from(TEXTS)))
        elif isinstance(one, click.Option) and "--db" not in one.opts and draw(st.integers(0, 2)) == 0:
            choices = [str(choice) for choice in one.type.choices] if isinstance(one.type, click.Choice) else []
            line.append(one.opts[0])
            if not one.is_flag:
                line.append(draw(st.sampled_from(choices or TEXTS) if draw(st.booleans()) else st.sampled_from(TEXTS)))
    return line


@pytest.fixture
def somewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("STRIKELADDER_DB", raising=False)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    return tmp_path


@pytest.mark.filterwarnings("ignore")
@pytest.mark.parametrize(
    ("words", "command"), commands(), ids=lambda value: " ".join(value) if isinstance(value, tuple) else ""
)
def test_odd_values_are_answered_in_a_sentence(
    somewhere: Path,
    capsys: pytest.CaptureFixture[str],
    own_demo_file: Path,
    words: tuple[str, ...],
    command: click.Command,
) -> None:
    @settings(max_examples=5, suppress_health_check=list(HealthCheck))
    @given(line=command_lines(command))
    def tried(line: list[str]) -> None:
        capsys.readouterr()
        with pytest.raises(SystemExit) as ended:
            main([*words, "--db", str(own_demo_file), *line] if _has_db(command) else [*words, *line])
        captured = capsys.readouterr()
        answer = Answer(code=int(ended.value.code or 0), out=captured.out, err=captured.err)
        assert answer.code in (0, 1, 2), (line, answer.err)
        assert "Traceback" not in answer.err, line
        assert "not foreseen" not in answer.err, (line, answer.err)

    tried()


def _has_db(command: click.Command) -> bool:
    return any("--db" in one.opts for one in command.params)
