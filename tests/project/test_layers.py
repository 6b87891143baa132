"""Imports point down only, SQL stands in sql/, and a page computes nothing."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]

RANK = {
    "tracker": -1,  # the package itself: its version
    "errors": 0,
    "domain": 1,
    "stats": 2,
    "store": 2,
    "intake": 2,
    "review": 3,
    "serve": 4,
    "report": 4,
    "plan": 4,
    "lake": 4,
    "cli": 5,
    "dashboards": 5,
}
"""A layer may import itself and what has a lower number: layers of one number are peers and do not meet."""

MAY_USE = {
    "altair": ("tracker/report/", "dashboards/", "tracker/serve/warming.py"),
    "argon2": ("tracker/review/passcode.py",),
    "click": ("tracker/cli/",),
    "cryptography": ("tracker/serve/certificates.py",),
    "distributed": ("tracker/lake/dask_runner.py",),  # an extra: imported where it is used
    "duckdb": ("tracker/store/",),
    "numpy": ("tracker/stats/", "tracker/review/", "tracker/intake/", "tracker/plan/", "tracker/lake/"),
    "platformdirs": ("tracker/cli/",),
    "polars": (
        "tracker/errors.py",
        "tracker/store/",
        "tracker/intake/",
        "tracker/review/",
        "tracker/report/",
        "tracker/plan/",
        "tracker/lake/",
        "tracker/cli/",
        "dashboards/ui/",
        "dashboards/parts/",
    ),
    "pyarrow": ("tracker/intake/",),
    "pydantic": ("tracker/domain/ladder_file.py", "tracker/plan/plan_document.py", "tracker/serve/"),
    "scipy": ("tracker/stats/", "tracker/plan/"),  # plan: scipy.optimize.milp only
    "segno": ("tracker/serve/", "tracker/report/"),
    "starlette": ("tracker/serve/",),
    "streamlit": ("tracker/serve/", "dashboards/"),
    "typst": ("tracker/report/",),
    "tzlocal": ("tracker/review/",),
    "uvicorn": ("tracker/serve/",),
    "vl_convert": ("tracker/report/",),
}
"""Where a package from elsewhere may be imported, types included. What is not named may be imported nowhere."""

INDIRECT = {"dask", "tzdata", "uvicorn"}
"""Declared and never imported by us: what distributed's commands come with, the time zones of systems that ship none,
and the server Streamlit starts."""

ONLY_CONNECTION = "tracker/store/database.py"
ONLY_SESSION_STATE = "dashboards/ui/state.py"
FRAME_TYPES = {"DataFrame", "Series"}
ARITHMETIC = (ast.Add, ast.Sub, ast.Mult, ast.Div, ast.FloorDiv, ast.Mod, ast.Pow, ast.MatMult)
COMPUTING_CALLS = {"sum", "round", "divmod", "pow"}
COMPUTING_METHODS = {"agg", "filter", "group_by", "join_asof", "mean", "median", "pivot", "sum", "with_columns"}
SQL_START = re.compile(
    r"\s*(--.*\n\s*)*(select\b.*\bfrom\b|with\s+\w+\s+as\s*\(|insert\s+(or\s+\w+\s+)?into\b|update\s+\w+\s+set\b|"
    r"delete\s+from\b|merge\s+into\b|create\s+(or\s+replace\s+)?(table|view|type|macro|index)\b|"
    r"(drop|alter)\s+(table|view|type)\b|copy\s+\w+\s+(to|from)\b|attach\s+')",
    re.DOTALL,
)


def breaches(root: Path) -> list[str]:
    """Every breach of the law in ``tracker/`` and ``dashboards/`` below ``root``, as ``file:line what``."""
    found: list[str] = []
    for part in ("tracker", "dashboards"):
        for path in sorted((root / part).rglob("*.py")):
            name = path.relative_to(root).as_posix()
            tree = ast.parse(path.read_text(encoding="utf-8"))
            for check in (_imports, _connections, _sql, _session_state, _expressions, _computing):
                found.extend(f"{name}:{line} {what}" for line, what in check(tree, name))
    return found


Breaches = Iterator[tuple[int, str]]


def _layer(dotted: str) -> str | None:
    """The layer of a dotted module name, or None when it is not ours."""
    parts = dotted.split(".")
    if parts[0] == "dashboards":
        return "dashboards"
    if parts[0] != "tracker":
        return None
    return parts[1] if len(parts) > 1 and parts[1] != "__version__" else "tracker"


def _imported(tree: ast.AST) -> Iterator[tuple[int, str]]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            if node.level:
                yield node.lineno, "." * node.level + (node.module or "")
            elif node.module == "tracker":
                yield from ((node.lineno, f"tracker.{alias.name}") for alias in node.names)
            else:
                yield node.lineno, node.module or ""
        elif isinstance(node, ast.Call) and ast.unparse(node.func) in ("__import__", "importlib.import_module"):
            yield node.lineno, ast.literal_eval(node.args[0]) if isinstance(node.args[0], ast.Constant) else "."


def _imports(tree: ast.AST, name: str) -> Breaches:
    layer = _layer(name.removesuffix(".py").removesuffix("/__init__").replace("/", "."))
    if layer not in RANK:
        yield 1, f"belongs to no layer ({layer})"
        return
    for line, module in _imported(tree):
        package, target = module.split(".")[0], _layer(module)
        if not package:
            yield line, f"imports {module}: only absolute names"
        elif target is not None:
            if target != layer and RANK.get(target, 99) >= RANK[layer]:
                yield line, f"{layer} must not import {target}"
        elif package not in sys.stdlib_module_names and not name.startswith(MAY_USE.get(package, ("nowhere",))):
            yield line, f"must not import {package}"


def _connections(tree: ast.AST, name: str) -> Breaches:
    for node in ast.walk(tree):
        match node:
            case ast.ImportFrom(module="duckdb") | ast.Attribute(value=ast.Name(id="duckdb"), attr="connect"):
                if name != ONLY_CONNECTION:
                    yield node.lineno, "must not open a database"


def _sql(tree: ast.AST, name: str) -> Breaches:
    del name
    docstrings = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef)
        and node.body
        and isinstance(node.body[0], ast.Expr)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            start = "".join(str(part.value) if isinstance(part, ast.Constant) else "x" for part in node.values)
            if _is_sql(start):
                yield node.lineno, "pastes values into SQL"
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docstrings:
            is_longer = "\n" in node.value.strip() or node.end_lineno != node.lineno
            if is_longer and _is_sql(node.value):
                yield node.lineno, "holds SQL longer than one line"


def _is_sql(text: str) -> bool:
    """Whether a text starts as SQL does: in lower case throughout, or in capitals. English starts with one capital."""
    first = text.strip().split(maxsplit=1)[:1]
    return bool(first) and first[0] in (first[0].lower(), first[0].upper()) and bool(SQL_START.match(text.lower()))


def _session_state(tree: ast.AST, name: str) -> Breaches:
    for node in ast.walk(tree):
        if isinstance(node, ast.Attribute) and node.attr == "session_state" and name != ONLY_SESSION_STATE:
            yield node.lineno, "touches session_state"


def _expressions(tree: ast.AST, name: str) -> Breaches:
    if not name.startswith(("dashboards/", "tracker/cli/")):
        return
    for node in ast.walk(tree):
        if isinstance(node, ast.Attribute) and ast.unparse(node.value) == "pl" and node.attr not in FRAME_TYPES:
            yield node.lineno, f"computes: pl.{node.attr}"


def _computing(tree: ast.AST, name: str) -> Breaches:
    if not name.startswith("dashboards/screens/"):
        return
    for node in ast.walk(tree):
        match node:
            case ast.BinOp(op=op, left=left, right=right) if isinstance(op, ARITHMETIC):
                if not (isinstance(op, ast.Add) and any(_is_text_or_list(side) for side in (left, right))):
                    yield node.lineno, f"computes: {ast.unparse(node)}"
            case ast.AugAssign() | ast.UnaryOp(op=ast.USub(), operand=ast.Name() | ast.Attribute() | ast.Call()):
                yield node.lineno, f"computes: {ast.unparse(node)}"
            case ast.Call(func=ast.Name(id=called)) if called in COMPUTING_CALLS:
                yield node.lineno, f"computes: {called}()"
            case ast.Call(func=ast.Attribute(attr=called)) if called in COMPUTING_METHODS:
                yield node.lineno, f"computes: .{called}()"


def _is_text_or_list(node: ast.expr) -> bool:
    return isinstance(node, ast.JoinedStr | ast.List) or (
        isinstance(node, ast.Constant) and isinstance(node.value, str)
    )


def test_the_project_keeps_the_law() -> None:
    assert breaches(ROOT) == []


@pytest.mark.parametrize(
    ("file", "code", "what"),
    [
        ("tracker/domain/strike.py", "from tracker.store.database import Database", "domain must not import store"),
        ("tracker/store/strikes.py", "from tracker.stats.proportion import wilson", "store must not import stats"),
        ("tracker/intake/csv_text.py", "import tracker.store.database", "intake must not import store"),
        ("tracker/report/charts.py", "def f():\n    from tracker.serve import process", "report must not import serve"),
        ("tracker/review/gap.py", "from tracker import report", "review must not import report"),
        ("tracker/serve/process.py", "from dashboards.ui import state", "serve must not import dashboards"),
        ("tracker/errors.py", "from tracker.domain.squad import Squad", "errors must not import domain"),
        ("tracker/__init__.py", "import tracker.errors", "tracker must not import errors"),
        ("tracker/misc.py", "", "belongs to no layer (misc)"),
        ("tracker/store/misc.py", "from . import database", "only absolute names"),
        ("tracker/review/gap.py", "import duckdb", "must not import duckdb"),
        ("tracker/store/squads.py", "import duckdb\nduckdb.connect('x')", "must not open a database"),
        ("tracker/store/squads.py", "from duckdb import connect", "must not open a database"),
        ("tracker/review/gap.py", "import scipy.stats", "must not import scipy"),
        ("tracker/stats/aim.py", "import altair", "must not import altair"),
        ("tracker/report/tables.py", "import streamlit as st", "must not import streamlit"),
        ("tracker/cli/web.py", "import uvicorn", "must not import uvicorn"),
        ("tracker/review/gap.py", "import click", "must not import click"),
        ("tracker/domain/strike.py", "import pydantic", "must not import pydantic"),
        ("tracker/stats/aim.py", "import pandas as pd", "must not import pandas"),
        ("tracker/review/gap.py", "import importlib\nimportlib.import_module('duckdb')", "must not import duckdb"),
        ("tracker/review/gap.py", "import nobody_knows", "must not import nobody_knows"),
        ("dashboards/ui/look.py", "import numpy", "must not import numpy"),
        ("dashboards/screens/squad.py", "import polars as pl", "must not import polars"),
        ("dashboards/parts/set_grid.py", "import polars as pl\nx = pl.col('foot')", "computes: pl.col"),
        ("tracker/cli/options.py", "import polars as pl\nx = pl.len()", "computes: pl.len"),
        ("dashboards/screens/squad.py", "x = hits / attempts", "computes: hits / attempts"),
        ("dashboards/screens/squad.py", "x += 1", "computes: x += 1"),
        ("dashboards/screens/squad.py", "x = sum(hits)", "computes: sum()"),
        ("dashboards/screens/squad.py", "x = frame.group_by('foot')", "computes: .group_by()"),
        ("dashboards/screens/squad.py", "import streamlit as st\nst.session_state['x'] = 1", "touches session_state"),
        ("tracker/store/strikes.py", 'X = """\nselect foot\nfrom strike\n"""', "holds SQL longer than one line"),
        ("tracker/store/strikes.py", 'X = (\n"SELECT foot "\n"FROM strike")', "holds SQL longer than one line"),
        ("tracker/store/strikes.py", 'X = f"delete from strike where foot = {foot}"', "pastes values into SQL"),
    ],
)
def test_a_planted_breach_is_found_where_it_stands(tmp_path: Path, file: str, code: str, what: str) -> None:
    path = tmp_path / file
    path.parent.mkdir(parents=True)
    path.write_text(code, encoding="utf-8")
    found = breaches(tmp_path)
    assert any(one.startswith(f"{file}:") and what in one for one in found), found


@pytest.mark.parametrize(
    ("file", "code"),
    [
        ("tracker/store/strikes.py", 'X = "select version from schema_migration"'),
        ("tracker/review/gap.py", "from tracker import __version__\nfrom tracker.stats.aim import fit_aim"),
        ("tracker/report/wording.py", 'X = """Select a player from the list.\n\nUpdate them."""'),
        ("tracker/review/gap.py", '"""select foot\nfrom strike"""'),
        ("dashboards/screens/squad.py", "import streamlit as st\nst.text('a' + str(1))\nx: int | None = -1"),
    ],
)
def test_what_the_law_allows_is_not_reported(tmp_path: Path, file: str, code: str) -> None:
    path = tmp_path / file
    path.parent.mkdir(parents=True)
    path.write_text(code, encoding="utf-8")
    assert breaches(tmp_path) == []


def test_what_is_imported_is_a_declared_dependency_and_the_other_way_round() -> None:
    imported = {
        module.split(".")[0]
        for part in ("tracker", "dashboards")
        for path in (ROOT / part).rglob("*.py")
        for _, module in _imported(ast.parse(path.read_text(encoding="utf-8")))
    }
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    declared = {
        re.split(r"[<>=~!;\[ ]", one)[0] for one in project["dependencies"] + project["optional-dependencies"]["lake"]
    }
    owners = packages_distributions()
    needed = {owner for module in imported & MAY_USE.keys() for owner in owners[module]}
    assert needed == declared - INDIRECT


@pytest.mark.parametrize("module", ["tracker", "tracker.errors", "tracker.cli.main"])
def test_starting_the_command_loads_nothing_heavy(module: str) -> None:
    heavy = {"altair", "duckdb", "numpy", "pandas", "polars", "pyarrow", "pydantic", "scipy", "streamlit"}
    code = f"import sys, {module}; print(*sorted({heavy!r} & sys.modules.keys()))"
    answer = subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=True, capture_output=True, text=True)
    assert answer.stdout.split() == []
