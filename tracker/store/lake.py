"""The lake: many clubs' tallies as Parquet, one file a club and season, and the statements of ``sql/lake/`` over them.

::

    DIR/club=<public id>/season=<years>/part-0.parquet

The statements keep to what every engine reads alike: CASE, CAST, GROUP BY written out, no date arithmetic, integer
sums only. They read a view ``lake_tally`` and know nothing of files.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from hashlib import blake2b
from pathlib import Path

import duckdb
import polars as pl

from tracker.domain.file_content import whole_file
from tracker.errors import FileError
from tracker.store.database import Reader, connection_for_one_part
from tracker.store.sql_files import sql_folder

LAKE_TALLY: dict[str, pl.DataType | type[pl.DataType]] = {
    "club_id": pl.String,
    "season": pl.String,
    "week": pl.Date,
    "player_id": pl.String,
    "age_band": pl.String,
    "ball_arrival": pl.String,
    "distance_m": pl.Int64,
    "target_width_dm": pl.Int64,
    "foot": pl.String,
    "practice_attempts": pl.Int64,
    "practices": pl.Int64,
    "attempts": pl.Int64,
    "on_target": pl.Int64,
    "sum_nn": pl.Int64,
    "sum_yy": pl.Int64,
}
"""A row of the lake: a player's foot at a stage in a week, the practices in which it struck ``practice_attempts``
times. ``distance_m`` (whole metres), ``target_width_dm`` (decimetres) and ball arrival are those of the ladder's stage,
null where the stage is not on the ladder. ``week`` is the Monday. Σ attempts² and Σ on_target² run over practices."""

PART = "part-0.parquet"
MEMORY_LIMIT = "512MB"
"""What one DuckDB may use while it works on one part; hundreds of times what a club's season needs."""


def lake_statement(name: str) -> str:
    """The text of ``sql/lake/<name>.sql``."""
    return (sql_folder() / "lake" / f"{name}.sql").read_text(encoding="utf-8")


def club_tallies(database: Reader) -> pl.DataFrame:
    """What a club tells: squad_id, season, week, player_id, foot, stage, practice_attempts and the sums."""
    return database.query("lake_tallies")


def parts(lake: Path, *, seasons: Sequence[str] = ()) -> list[Path]:
    """Every part of the lake, or of some seasons, in a fixed order; half-written files are none. Raises FileError."""
    try:
        found = [
            season / PART
            for club in sorted(lake.iterdir())
            if club.name.startswith("club=")
            for season in sorted(club.iterdir())
            if season.name.startswith("season=") and (not seasons or season.name.removeprefix("season=") in seasons)
        ]
    except OSError as error:
        raise FileError(
            f"The lake {lake} cannot be read ({error.strerror}). Name the folder that holds club=…."
        ) from error
    found = [part for part in found if part.is_file()]
    if not found:
        which = f" of season {', '.join(seasons)}" if seasons else ""
        raise FileError(
            f"There are no tallies{which} in {lake}. Put a club's there with: strikeladder lake write {lake}"
        )
    return found


def part_of(lake: Path, *, club_id: str, season: str) -> Path:
    """Where the part of a club and season stands."""
    return lake / f"club={club_id}" / f"season={season}" / PART


def parts_of_club(lake: Path, club_id: str) -> list[Path]:
    """The parts a club has in the lake."""
    folder = lake / f"club={club_id}"
    return [season / PART for season in sorted(folder.iterdir())] if folder.is_dir() else []


def write_rows(path: Path, rows: pl.DataFrame) -> bool:
    """Writes rows as Parquet in one step, and says whether that changed anything. Raises FileError.

    The whole of it stands there, or what stood there before: a temporary file is renamed.
    """
    content = io.BytesIO()
    rows.write_parquet(content, compression="zstd")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        if path.exists() and path.read_bytes() == content.getvalue():
            return False
        with whole_file(path) as part:
            part.write_bytes(content.getvalue())
    except OSError as error:
        raise FileError(f"{path} cannot be written ({error.strerror}). Check the folder, then try again.") from error
    return True


def fingerprint(statement: str, files: Sequence[Path]) -> str:
    """A hexadecimal digest of a statement and the content of files: the same only where the answer is the same."""
    digest = blake2b(lake_statement(statement).encode(), digest_size=16)
    for file in files:
        digest.update(file.read_bytes())
    return digest.hexdigest()


def answer_of_files(statement: str, files: Sequence[Path]) -> pl.DataFrame:
    """The rows of ``sql/lake/<statement>.sql`` over Parquet files, sorted. Raises FileError."""
    names = [str(file) for file in files]
    with connection_for_one_part(memory_limit=MEMORY_LIMIT) as connection:
        try:
            connection.read_parquet(names).create_view("lake_tally")
            return _answer(connection, statement)
        except duckdb.Error as error:
            listed = names[0] if len(names) == 1 else f"One of {names[0]} … {names[-1]}"
            raise FileError(f"{listed} cannot be read as a part of a lake: {str(error).splitlines()[0]}") from error


def merged(statement: str, answers: Sequence[pl.DataFrame]) -> pl.DataFrame:
    """The answers of parts added up by the same statement, sorted: what one part with all their rows would answer."""
    with connection_for_one_part(memory_limit="80%") as connection:
        connection.register("lake_tally", pl.concat(answers))
        return _answer(connection, statement)


def _answer(connection: duckdb.DuckDBPyConnection, statement: str) -> pl.DataFrame:
    frame: pl.DataFrame = connection.sql(lake_statement(statement)).pl()
    return frame.sort(pl.all(), nulls_last=True)
