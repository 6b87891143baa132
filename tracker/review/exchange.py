"""Files in and out: what did this file bring, and where do the records go?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import polars as pl
from tzlocal import get_localzone_name

from tracker.domain.squad import Squad
from tracker.domain.vocabulary import ExportWhat
from tracker.errors import FileError, RowsRejected
from tracker.intake.club_files import parse_players
from tracker.intake.derived_ids import with_set_ids, with_strike_ids
from tracker.intake.file_kind import FileKind, recognise
from tracker.intake.rejects import write_rejects
from tracker.intake.strike_columns import ParsedRows
from tracker.intake.strike_file import parse_strikes
from tracker.intake.table_file import RawTable, read_table
from tracker.intake.table_out import write_table
from tracker.intake.tally_file import parse_tallies, strikes_from_tallies
from tracker.review.archive import write_archive
from tracker.review.resolve import Resolver, ready_to_store, squad_salt
from tracker.review.scope import Scope
from tracker.store.database import Database, Transaction
from tracker.store.strikes import append_strikes, exported_strikes, exported_tallies

MOST_REASONS_SHOWN = 5
_MEND_OR_SKIP = "Mend the file and import it again, or store only the right rows with --skip-bad-rows."


@dataclass(frozen=True, kw_only=True, slots=True)
class ImportSummary:
    """What a file brought: rows read, strikes stored and there already, rows rejected, and what had to be made."""

    kind: FileKind
    read: int
    stored: int
    already_there: int
    rejected: int
    rejects: pl.DataFrame
    rejects_file: Path | None
    unknown_columns: tuple[str, ...]
    unknown_stages: tuple[str, ...]
    new_squads: tuple[str, ...]
    new_players: tuple[str, ...]
    dry_run: bool

    def counts(self) -> dict[str, int | str | None]:
        """The figures, for a program to read."""
        return {
            "read": self.read,
            "stored": self.stored,
            "already_there": self.already_there,
            "rejected": self.rejected,
            "rejects_file": str(self.rejects_file) if self.rejects_file else None,
        }

    def remarks(self) -> list[str]:
        """What a person should know besides the figures."""
        would = "would be " if self.dry_run else ""
        remarks = ["Nothing was stored: this was a dry run."] if self.dry_run else []
        if self.kind is FileKind.TALLIES:
            remarks.append(f"Tallies: {self.read} rows stand for {self.stored + self.already_there} strikes.")
        if self.new_squads:
            remarks.append(f"New squads {would}made: {', '.join(self.new_squads)}.")
        if self.new_players:
            remarks.append(f"{len(self.new_players)} new players {would}made: {_first(self.new_players)}.")
        if self.unknown_columns:
            remarks.append(f"Columns not used: {', '.join(self.unknown_columns)}.")
        if self.unknown_stages:
            remarks.append(
                f"Stages the ladder does not have: {_first(self.unknown_stages)}. "
                "Their strikes count in rates, but not towards being ready."
            )
        if self.rejected:
            remarks.append(f"{self.rejected} rows {would}left out; the reasons are in {self.rejects_file}.")
        return remarks


def import_file(
    database: Database,
    path: Path,
    *,
    squad: Squad | None = None,
    dry_run: bool = False,
    column_map: Mapping[str, str] | None = None,
    create_players: bool = False,
    skip_bad_rows: bool = False,
) -> ImportSummary:
    """Stores the strikes or tallies of a file: all of them, or none when a row is wrong.

    With ``skip_bad_rows`` the right rows are stored and the wrong ones left out. The same file again stores nothing
    new. Raises RowsRejected (after writing the rejects beside the file), FileError or RequestError.
    """
    table = read_table(path)
    kind = recognise(table, column_map=column_map or {})
    parsed = _parsed(table, kind, column_map or {})
    if parsed.rejects.height and not skip_bad_rows:
        raise _rejected(path, parsed.rejects, read=parsed.read)
    with _stored_unless(database, dry_run=dry_run) as transaction:
        resolver = Resolver.start(transaction, squad=squad, may_make=create_players)
        found = strikes_from_tallies(parsed.rows) if kind is FileKind.TALLIES else parsed.rows
        rows = resolver.with_squads(found)
        salt = squad_salt(rows)
        rows, absent = resolver.with_players(rows)
        rejects = pl.concat([parsed.rejects, absent.unique(maintain_order=True)]).sort("line", maintain_order=True)
        if absent.height and not skip_bad_rows:
            raise _rejected(path, rejects, read=parsed.read)
        rows, unknown_stages = resolver.with_stages(rows)
        rows = resolver.with_practices(rows)
        rows = with_set_ids(with_strike_ids(rows, digest=table.digest, salt=salt), digest=table.digest, salt=salt)
        appended = append_strikes(transaction, ready_to_store(rows))
    return ImportSummary(
        kind=kind,
        read=parsed.read,
        stored=appended.stored,
        already_there=appended.already_there,
        rejected=rejects["line"].n_unique(),
        rejects=rejects,
        rejects_file=_written(rejects, path) if rejects.height else None,
        unknown_columns=parsed.unknown_columns,
        unknown_stages=tuple(unknown_stages),
        new_squads=tuple(resolver.made_squads),
        new_players=tuple(resolver.made_players),
        dry_run=dry_run,
    )


def read_players(path: Path) -> pl.DataFrame:
    """The players of a file with a column ``player`` (see ``parse_players``). Raises RowsRejected or FileError."""
    parsed = parse_players(read_table(path))
    if parsed.rejects.height:
        raise _rejected(path, parsed.rejects, read=parsed.read, what_to_do="Mend the file and try again.")
    return parsed.rows


def add_players(database: Database, rows: pl.DataFrame, *, squad: Squad) -> int:
    """Adds what ``read_players`` gave to a squad, and returns how many."""
    with database.transaction() as transaction:
        resolver = Resolver.start(transaction, squad=squad, may_make=True)
        resolver.save_players(rows.with_columns(pl.lit(squad.name).alias("squad")))
    return rows.height


def import_players(database: Database, path: Path, *, squad: Squad) -> int:
    """Adds the players of a file to a squad, and returns how many. Raises as ``read_players``; then none was added."""
    return add_players(database, read_players(path), squad=squad)


def export_file(database: Database, path: Path, *, what: ExportWhat, scope: Scope) -> list[Path]:
    """Writes strikes or tallies to a file, or everything to a folder; returns the files written.

    Raises FileError when it cannot be written, or when the folder holds something already.
    """
    if what is ExportWhat.ALL:
        return write_archive(database, path)
    exported = exported_strikes if what is ExportWhat.STRIKES else exported_tallies
    write_table(exported(database, scope.strikes), path)
    return [path]


def _parsed(table: RawTable, kind: FileKind, column_map: Mapping[str, str]) -> ParsedRows:
    parse = parse_tallies if kind is FileKind.TALLIES else parse_strikes
    return parse(table, local_zone=ZoneInfo(get_localzone_name()), now=datetime.now(UTC), column_map=column_map)


class _DryRun(Exception):
    """Ends a dry run: rolls the transaction back."""


@contextmanager
def _stored_unless(database: Database, *, dry_run: bool) -> Iterator[Transaction]:
    """A transaction that is rolled back at its end in a dry run, so that a dry run does all that the real one does."""
    try:
        with database.transaction() as transaction:
            yield transaction
            if dry_run:
                raise _DryRun
    except _DryRun:
        return


def _rejected(path: Path, rejects: pl.DataFrame, *, read: int, what_to_do: str = _MEND_OR_SKIP) -> RowsRejected:
    lines = rejects["line"].n_unique()
    reasons = rejects.unique("line", keep="first", maintain_order=True).head(MOST_REASONS_SHOWN)
    shown = [f"  line {line}: {why}" for line, why in reasons.select("line", "why").iter_rows()]
    more = [f"  … and {lines - len(shown)} more"] if lines > len(shown) else []
    written = _written(rejects, path)
    return RowsRejected(
        "\n".join(
            [
                f"{path}: {lines} of {read} rows {'is' if lines == 1 else 'are'} wrong, so nothing was stored.",
                *shown,
                *more,
                f"Every wrong field is in {written}." if written else "The rejects file could not be written here.",
                what_to_do,
            ]
        ),
        rejects=rejects,
        rejects_file=written,
        read=read,
    )


def _written(rejects: pl.DataFrame, path: Path) -> Path | None:
    try:
        return write_rejects(rejects, source=path) if rejects.height else None
    except FileError:
        return None


def _first(names: tuple[str, ...], most: int = 8) -> str:
    return ", ".join(names[:most]) + (", …" if len(names) > most else "")
