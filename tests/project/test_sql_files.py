"""The files in sql/: one statement a query, a question on top, bound to the schema, every column explained."""

from __future__ import annotations

import ast
import re
from collections import Counter
from enum import StrEnum
from pathlib import Path

import duckdb
import polars as pl
import pytest

from tracker.domain import vocabulary
from tracker.store import audit, plans, practices, squads, strikes
from tracker.store.database import Database
from tracker.store.sql_files import files_in, query_text, sql_folder

TRACKER = Path(__file__).parents[2] / "tracker"
FILES = sorted(sql_folder().rglob("*.sql"))
QUERIES = files_in("queries")

ROWS = {
    **strikes.STRIKE_SCHEMA,
    **practices._PRACTICE,
    **practices._PLACEMENT,
    **squads._SQUAD,
    **squads._SEASON,
    **squads._PLAYER,
    **plans._STRIKES,
    **plans._TURN,
    "corrected_at": pl.Datetime("us", "UTC"),
    "corrected_by": pl.String,
    "why": pl.String,
    "withdrawn_at": pl.Datetime("us", "UTC"),
    **audit._AUDIT,
    "notes": pl.String,
    "season_id": pl.String,
    "words": pl.String,
}
"""Every column a statement may find in its table ``rows``."""


def statements(text: str) -> list[duckdb.Statement]:
    return duckdb.extract_statements(text)


def stem(path: Path) -> str:
    return path.stem


@pytest.fixture(scope="module")
def schema() -> duckdb.DuckDBPyConnection:
    """A connection to a database with the whole schema and a table ``rows``."""
    connection = Database.open(None)._connection
    connection.register("rows", pl.DataFrame(schema=ROWS))
    return connection


def test_there_are_files_of_every_part_and_nothing_else() -> None:
    assert {path.parent.name for path in FILES} == {"migrations", "views", "queries", "checks", "lake"}


def test_names_are_unique_over_all_parts() -> None:
    names = Counter(re.sub(r"^\d+_", "", path.stem) for path in FILES)
    assert [name for name, times in names.items() if times > 1] == []


@pytest.mark.parametrize("path", FILES, ids=stem)
def test_a_file_starts_with_a_sentence_that_says_what_it_is_for(path: Path) -> None:
    comment = []
    for line in path.read_text(encoding="utf-8").splitlines():
        if not line.startswith("--"):
            break
        comment.append(line.removeprefix("--").strip())
    assert re.match(r"[A-Z].{15,}[.?]( |$)", " ".join(comment)), comment


@pytest.mark.parametrize("path", [*QUERIES, *files_in("views"), *files_in("checks"), *files_in("lake")], ids=stem)
def test_a_file_holds_one_statement(path: Path) -> None:
    assert len(statements(path.read_text(encoding="utf-8"))) == 1


@pytest.mark.parametrize("path", QUERIES, ids=stem)
def test_a_query_binds_to_the_schema(path: Path, schema: duckdb.DuckDBPyConnection) -> None:
    text = path.read_text(encoding="utf-8")
    (statement,) = statements(text)
    parameters = dict.fromkeys(statement.named_parameters)
    assert schema.execute(f"explain {text}", parameters or None).fetchall()


@pytest.mark.parametrize("path", QUERIES, ids=stem)
def test_a_query_names_its_parameters(path: Path) -> None:
    (statement,) = statements(path.read_text(encoding="utf-8"))
    assert not any(name.isdigit() for name in statement.named_parameters)


@pytest.mark.parametrize("path", files_in("checks"), ids=stem)
def test_a_check_says_that_it_must_return_no_rows(path: Path) -> None:
    assert path.read_text(encoding="utf-8").splitlines()[0].endswith(" Must return no rows.")


@pytest.mark.parametrize("path", files_in("views"), ids=stem)
def test_a_view_is_put_in_place_again_at_every_opening_and_has_the_name_of_its_file(path: Path) -> None:
    name = re.sub(r"^\d+_", "", path.stem)
    assert f"create or replace view {name} as\n" in path.read_text(encoding="utf-8")


def test_migrations_count_up_from_zero_without_gaps() -> None:
    numbers = [path.name[:5] for path in files_in("migrations")]
    assert numbers == [f"{number:04d}_" for number in range(len(numbers))]


def _names_asked_for() -> set[str]:
    """The names that tracker/ hands to ``query`` and ``run``."""
    return {
        str(node.args[0].value)
        for path in TRACKER.rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and node.func.attr in ("query", "run")
        and node.args
        and isinstance(node.args[0], ast.Constant)
    }


def test_every_query_is_asked_somewhere_and_every_name_asked_for_is_there() -> None:
    assert _names_asked_for() == {path.stem for path in QUERIES}


def test_a_query_that_is_not_there_is_an_error_that_names_it() -> None:
    with pytest.raises(KeyError, match="no query named goals_of_season"):
        query_text("goals_of_season")


def test_every_table_and_every_column_is_explained(schema: duckdb.DuckDBPyConnection) -> None:
    tables = schema.execute("select table_name, comment from duckdb_tables()").fetchall()
    columns = schema.execute(
        "select table_name || '.' || column_name, comment from duckdb_columns() "
        "where table_name in (select table_name from duckdb_tables())"
    ).fetchall()
    assert len(tables) >= 9
    assert [name for name, comment in [*tables, *columns] if not comment] == []


def test_the_comment_of_a_measure_names_its_unit(schema: duckdb.DuckDBPyConnection) -> None:
    units = {"DOUBLE": r"metres|degrees", "TIMESTAMP WITH TIME ZONE": r"UTC", "DATE": r"local date"}
    columns = schema.execute(
        "select table_name || '.' || column_name, data_type, comment from duckdb_columns() "
        "where table_name in (select table_name from duckdb_tables())"
    ).fetchall()
    measures = [one for one in columns if one[1] in units]
    assert len(measures) >= 10
    assert [name for name, kind, comment in measures if not re.search(units[kind], comment)] == []


SQL_ENUMS = [
    name
    for (name,) in Database.open(None)
    ._connection.execute("select type_name from duckdb_types() where logical_type = 'ENUM' and not internal")
    .fetchall()
]


@pytest.mark.parametrize("name", SQL_ENUMS)
def test_a_closed_list_of_words_is_the_same_in_sql_and_in_the_vocabulary(
    name: str, schema: duckdb.DuckDBPyConnection
) -> None:
    words: type[StrEnum] = getattr(vocabulary, name.title().replace("_", ""))
    ((in_sql,),) = schema.execute(f"select enum_range(null::{name})").fetchall()
    assert in_sql == [word.value for word in words]


def test_the_lists_of_words_a_strike_needs_are_stored() -> None:
    assert {"foot", "surface", "outcome", "miss", "source"} <= set(SQL_ENUMS)
