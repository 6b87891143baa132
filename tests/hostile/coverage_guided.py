"""Lets coverage lead the way through a parser: an input that reaches new code is kept and changed further.

Run: ``python -m tests.hostile.coverage_guided csv --runs 100000``; parsers: csv, tally, ladder, hand-over.
Needs atheris (the extra ``dev``, on Linux). Without it random bytes are tried instead, which reaches less, and says so.
"""

from __future__ import annotations

import argparse
import importlib.util
import sys
import time
from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import polars as pl
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from tracker.domain.ladder_file import parse_ladder, shipped_ladder_text
from tracker.errors import TrackerError
from tracker.intake.hand_over_file import new_manifest, packed_hand_over, read_hand_over
from tracker.intake.strike_file import parse_strikes
from tracker.intake.table_file import table_from_bytes
from tracker.intake.tally_file import parse_tallies

CORPUS = Path(__file__).parent / "corpus"
NOW, UTC_ZONE = datetime(2026, 3, 14, tzinfo=UTC), ZoneInfo("UTC")
LONGEST_SECONDS = 5.0


def _csv(content: bytes) -> None:
    parse_strikes(table_from_bytes(content, source="x.csv"), local_zone=UTC_ZONE, now=NOW)


def _tally(content: bytes) -> None:
    parse_tallies(table_from_bytes(content, source="x.csv"), local_zone=UTC_ZONE, now=NOW)


def _ladder(content: bytes) -> None:
    parse_ladder(content.decode("utf-8", "replace"), source="x.toml")


def _hand_over(content: bytes) -> None:
    read_hand_over(content, source="x.zip")


PARSERS: dict[str, Callable[[bytes], None]] = {
    "csv": _csv,
    "tally": _tally,
    "ladder": _ladder,
    "hand-over": _hand_over,
}
SEEDS = {
    "csv": b"player,foot,outcome,date\nAna,left,on,2026-03-07\n",
    "tally": b"date,player,foot,attempts,on_target\n2026-03-07,Ana,left,10,7\n",
    "ladder": shipped_ladder_text("U11–U12").encode(),
    "hand-over": packed_hand_over(
        new_manifest(made_by="0.1.0", squad="Marlow U12", ladder="U11–U12", with_notes=False),
        ladder_text="",
        tables={"players": pl.DataFrame({"player": ["Cleo"], "player_id": ["0198b0c4-7c1e-7d3a-9f00-5a1b2c3d4e5f"]})},
    ),
}


def tried(parse: Callable[[bytes], None], content: bytes) -> None:
    """Parses, and lets a refusal pass; whatever else is raised, or lasts too long, ends the run with its input."""
    start = time.perf_counter()
    with suppress(TrackerError):
        parse(content)
    if time.perf_counter() - start > LONGEST_SECONDS:
        raise AssertionError(f"took longer than {LONGEST_SECONDS:g} seconds")


def main() -> None:
    """Tries one parser."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("parser", choices=list(PARSERS))
    parser.add_argument("--runs", type=int, default=100_000)
    parser.add_argument("--corpus", type=Path, help="A folder to keep what reaches new code.")
    asked = parser.parse_args()
    if importlib.util.find_spec("atheris") is None:
        sys.stdout.write("atheris is not installed, so coverage cannot lead: trying random bytes instead.\n")
        without_coverage(PARSERS[asked.parser], runs=asked.runs)
        return
    with_coverage(PARSERS[asked.parser], runs=asked.runs, seed=SEEDS[asked.parser], corpus=asked.corpus)


def without_coverage(parse: Callable[[bytes], None], *, runs: int) -> None:
    """Random bytes, and no knowledge of what they reach."""

    @settings(
        max_examples=runs,
        database=None,
        deadline=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(content=st.binary(max_size=500))
    def attempt(content: bytes) -> None:
        tried(parse, content)

    attempt()


def with_coverage(parse: Callable[[bytes], None], *, runs: int, seed: bytes, corpus: Path | None) -> None:
    """Ends the process: exit code 0 when nothing was found."""
    import tempfile

    import atheris

    folder = corpus or Path(tempfile.mkdtemp(prefix="strike-ladder-corpus-"))
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "seed").write_bytes(seed)
    _instrument(atheris)
    atheris.Setup(
        [sys.argv[0], f"-atheris_runs={runs}", "-max_len=20000", "-timeout=10", "-print_final_stats=1", str(folder)],
        lambda content: tried(parse, content),
    )
    atheris.Fuzz()


def _instrument(atheris: Any) -> None:
    """Makes our own parsers, which are loaded already, report which lines they reach."""
    import tomllib
    import zipfile
    from types import FunctionType

    from tracker.domain import ladder_file
    from tracker.intake import (
        column_reader,
        csv_text,
        hand_over_file,
        strike_columns,
        strike_file,
        table_file,
        tally_file,
    )

    ours = (ladder_file, column_reader, csv_text, hand_over_file, strike_columns, strike_file, table_file, tally_file)
    for module in (*ours, tomllib._parser, zipfile):
        owned = [one for one in vars(module).values() if getattr(one, "__module__", None) == module.__name__]
        methods = [one for kind in owned if isinstance(kind, type) for one in vars(kind).values()]
        for function in (one for one in (*owned, *methods) if isinstance(one, FunctionType)):
            atheris.instrument_func(function)  # in place


if __name__ == "__main__":
    main()
