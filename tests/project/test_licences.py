"""Whatever is installed with Strike Ladder says under which licence, and none binds whoever passes the whole on."""

from __future__ import annotations

from tests.project.licences import licences, table


def test_every_dependency_has_a_licence_that_is_known() -> None:
    found = licences(extras=("club-server",))
    assert {"duckdb", "polars", "streamlit"} <= {one.package.casefold() for one in found}
    assert [one for one in found if not one.identifier] == []


def test_none_is_copyleft() -> None:
    assert [one.package for one in licences(extras=("club-server",)) if one.is_copyleft] == []


def test_the_table_has_a_line_for_each() -> None:
    found = licences()
    assert len(table(found).splitlines()) == len(found) + 2
