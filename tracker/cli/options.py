"""Options and output that commands share."""

from __future__ import annotations

import getpass
import json
from collections.abc import Callable, Container, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

if TYPE_CHECKING:
    import polars as pl

    from tracker.review.scope import Scope
    from tracker.store.database import Database

Command = TypeVar("Command", bound=Callable[..., Any])
DAY = click.DateTime(formats=["%Y-%m-%d"])
FORMATS = ("table", "json", "csv")


def with_database(command: Command) -> Command:
    """Adds --db."""
    return click.option(
        "--db",
        "db",
        type=click.Path(path_type=Path, dir_okay=True),
        envvar="STRIKELADDER_DB",
        show_envvar=True,
        help="The database file.  [default: the user's data folder]",
    )(command)


@dataclass(frozen=True, kw_only=True, slots=True)
class ScopeOptions:
    """What --db, --squad, --season, --from and --to say."""

    db: Path | None
    squad: str | None
    season: str | None
    first_day: datetime | None
    last_day: datetime | None

    @property
    def names_days(self) -> bool:
        """Whether a season or a day is named."""
        return bool(self.season or self.first_day or self.last_day)

    @contextmanager
    def opened(self, *, player: str | None = None) -> Iterator[tuple[Database, Scope]]:
        """The database, open, and the scope asked for. Raises DatabaseError or RequestError."""
        from tracker.review.scope import chosen_scope

        with opened(self.db) as database:
            yield (
                database,
                chosen_scope(
                    database,
                    squad=self.squad,
                    season=self.season,
                    first_day=self.first_day.date() if self.first_day else None,
                    last_day=self.last_day.date() if self.last_day else None,
                    player=player,
                ),
            )


def with_scope(command: Callable[..., None]) -> Callable[..., None]:
    """Adds --db, --squad, --season, --from and --to, which the command is given as one ``asked``."""

    @wraps(command)
    def with_asked(
        *,
        db: Path | None,
        squad: str | None,
        season: str | None,
        first_day: datetime | None,
        last_day: datetime | None,
        **others: Any,
    ) -> None:
        asked = ScopeOptions(db=db, squad=squad, season=season, first_day=first_day, last_day=last_day)
        command(asked=asked, **others)

    for option in (
        click.option("--to", "last_day", type=DAY, help="Last day, included."),
        click.option("--from", "first_day", type=DAY, help="First day, included."),
        click.option("--season", metavar="NAME", help="Only the days of this season."),
        click.option("--squad", metavar="NAME", help="Which squad; not needed when there is one."),
    ):
        with_asked = option(with_asked)
    return with_database(with_asked)


def with_format(command: Command) -> Command:
    """Adds --format."""
    return click.option(
        "--format", "form", type=click.Choice(FORMATS), default="table", show_default=True, help="How to print it."
    )(command)


def with_level(command: Command) -> Command:
    """Adds --level."""
    return click.option(
        "--level",
        type=click.FloatRange(0, 1, min_open=True, max_open=True),
        default=0.95,
        show_default=True,
        help="How sure the intervals are.",
    )(command)


def database_path(db: Path | None) -> Path:
    """The database file asked for, or the one in the user's data folder."""
    if db is not None:
        return db
    from platformdirs import user_data_path

    return user_data_path("strike-ladder", appauthor=False) / "strikes.duckdb"


def opened(db: Path | None, *, create: bool = False) -> Database:
    """The database, open. Raises DatabaseError."""
    from tracker.store.database import Database

    return Database.open(database_path(db), create=create)


def print_frame(frame: pl.DataFrame, form: str) -> None:
    """Prints rows as a table, JSON or CSV on standard output."""
    if form == "json":
        click.echo(json.dumps([_plain(row) for row in frame.iter_rows(named=True)], ensure_ascii=False, indent=1))
    elif form == "csv":
        from tracker.intake.table_out import csv_text

        click.echo(csv_text(frame), nl=False)
    else:
        click.echo(as_table(frame))


def _plain(row: dict[str, Any]) -> dict[str, Any]:
    return {key: _json_value(value) for key, value in row.items()}


def _json_value(value: Any) -> Any:
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat()
    if isinstance(value, date):
        return value.isoformat()
    return value


def as_table(frame: pl.DataFrame) -> str:
    """Plain columns: words to the left, numbers to the right, rates as per cent, missing as a dash."""
    if not frame.height:
        return "Nothing to show yet."
    # Beside kappa low and high are its limits, and no shares.
    shares = _SHARES - {"low", "high"} if "kappa" in frame.columns else _SHARES
    columns = [
        [name.replace("_", " "), *(_cell(name, value, shares=shares) for value in frame[name].to_list())]
        for name in frame.columns
    ]
    widths = [max(len(cell) for cell in column) for column in columns]
    right = [frame[name].dtype.is_numeric() for name in frame.columns]
    lines = [
        "  ".join(
            cell.rjust(width) if to_right else cell.ljust(width)
            for cell, width, to_right in zip(row, widths, right, strict=True)
        ).rstrip()
        for row in zip(*columns, strict=True)
    ]
    lines.insert(1, "  ".join("-" * width for width in widths))
    return "\n".join(lines)


_SHARES = {
    *("rate", "low", "high", "gap", "preferred_rate", "other_rate", "raw_gap", "level"),
    *("start_rate", "end_rate", "change", "raw_change", "predicted_rate", "predicted_low", "predicted_high"),
    "agreement",
}


def _cell(name: str, value: Any, *, shares: Container[str] = frozenset(_SHARES)) -> str:
    if value is None:
        return "–"
    if isinstance(value, float):
        return f"{round(100 * value)} %" if name in shares else f"{value:.2f}".rstrip("0").rstrip(".")
    if isinstance(value, datetime):
        return value.astimezone().strftime("%Y-%m-%d %H:%M")
    return printable(str(value))


def counted(counts: Mapping[str, int]) -> str:
    """How many of what, such as "1,200 strikes, 16 players"."""
    return ", ".join(f"{number:,} {what}" for what, number in counts.items())


def printable(text: str) -> str:
    """The text for a terminal, which must not be steered by it: a name may hold anything."""
    return "".join(character if character.isprintable() else "?" for character in text)


def who_runs_this() -> str:
    """The user of this computer, for the audit log."""
    try:
        return getpass.getuser()
    except (KeyError, OSError):  # a user id without a name, as in a container
        return "this computer"
