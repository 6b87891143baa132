"""Everything kept about one player, for them or their parents to read, and nothing about another child."""

from __future__ import annotations

import io
import re
import zipfile
from pathlib import Path

import polars as pl

from tracker.domain.file_content import whole_file
from tracker.domain.squad import Player
from tracker.errors import FileError
from tracker.intake.table_out import csv_text
from tracker.review import audit
from tracker.review.mentions import naming_any, without_names
from tracker.store.database import Database
from tracker.store.export import everything
from tracker.store.squads import players

_READ_ME = """Everything that Strike Ladder keeps about one player.

profile.csv      name shown, squad, shirt number, year of birth, preferred foot, whether they play now
practices.csv    the practices they struck in: date, place, pitch
strikes.csv      every strike: when, foot, stage, outcome, side of a miss, distance in metres
corrections.csv  strikes taken back: when and why
placements.csv   the stage each foot was placed at by the coach: when, what the tool suggested, the note
coach_words.csv  what the coach wrote for a season report
audit.csv        who read or took out records about them: when, what

A file without rows is left out. Times are UTC. Names of other children in hand-typed texts are replaced by
"(a player)"; who logged a strike is left out, for that is somebody else. Something wrong? The coach can correct it.
"""
_DROPPED = {"player_id", "logger", "corrected_by", "struck_at_phone"}


def player_export(database: Database, player: Player) -> dict[str, bytes]:
    """The files, by name: a text that explains them, and one CSV for each kind of record there is."""
    others = naming_any(one for one in players(database) if one.player_id != player.player_id)
    tables = {name: _cleaned(frame, others) for name, frame in _records(database, player).items() if frame.height}
    files = {f"{name}.csv": csv_text(frame).encode() for name, frame in tables.items()}
    return {"READ ME.txt": _READ_ME.encode(), **files}


def packed_export(database: Database, player: Player) -> bytes:
    """The same as one zip."""
    content = io.BytesIO()
    with zipfile.ZipFile(content, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in player_export(database, player).items():
            archive.writestr(name, data)
    return content.getvalue()


def export_player(database: Database, player: Player, path: Path) -> list[Path]:
    """Writes one zip when ``path`` ends in .zip, else a folder that is not there yet or is empty; returns the files.

    Raises FileError when it cannot be written.
    """
    try:
        if path.suffix.lower() == ".zip":
            with whole_file(path) as part:
                part.write_bytes(packed_export(database, player))
            return [path]
        if path.exists() and (not path.is_dir() or any(path.iterdir())):
            raise FileError(f"{path} holds something already; name a folder that is not there yet, or a .zip")
        path.mkdir(parents=True, exist_ok=True)
        written = []
        for name, data in player_export(database, player).items():
            written.append(path / name)
            written[-1].write_bytes(data)
    except OSError as error:
        raise FileError(f"{path} cannot be written ({error.strerror}); choose a folder you may write to") from error
    return written


def _records(database: Database, player: Player) -> dict[str, pl.DataFrame]:
    tables = everything(database)
    about = {
        name: frame.filter(pl.col("player_id").cast(pl.String) == str(player.player_id))
        for name, frame in tables.items()
        if "player_id" in frame.columns
    }
    strikes = about["strikes"]
    return {
        "profile": about["players"],
        "practices": _joined(tables["practices"], strikes, on="practice_id").select(
            "date", "squad", "place", "pitch_surface"
        ),
        "strikes": strikes.drop("practice_id", "practice"),
        "corrections": _joined(tables["corrections"], strikes, on="strike_id"),
        "placements": about["placements"],
        "coach_words": about["coach_words"],
        "audit": audit.entries(database, player=player, most=100_000),
    }


def _joined(frame: pl.DataFrame, strikes: pl.DataFrame, *, on: str) -> pl.DataFrame:
    return frame.filter(pl.col(on).cast(pl.String).is_in(strikes[on].cast(pl.String).unique().to_list()))


def _cleaned(frame: pl.DataFrame, others: re.Pattern[str] | None) -> pl.DataFrame:
    """Without what is about somebody else."""
    kept = frame.drop(_DROPPED & set(frame.columns))
    typed = [name for name in ("note", "why", "words", "place") if name in kept.columns]
    return kept.with_columns(
        pl.col(name).map_elements(lambda text: without_names(text, others), return_dtype=pl.String) for name in typed
    )
