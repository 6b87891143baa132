"""What others may rely on in ``tracker``, as a list: ``python -m tests.project.public_api`` writes it anew.

Public are the modules named here, with every function and class in them that does not begin with an underscore. The
rest serves the command, the dashboard and the touchline page, and may change at any time.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[2]
LIST = Path(__file__).with_name("public_api.txt")
PUBLIC = (
    "tracker",
    "tracker.errors",
    # words and things
    "tracker.domain.vocabulary",
    "tracker.domain.ladder",
    "tracker.domain.ladder_file",
    "tracker.domain.practice",
    "tracker.domain.squad",
    "tracker.domain.standards",
    "tracker.domain.standards_file",
    "tracker.domain.strike",
    "tracker.domain.target",
    # numbers
    "tracker.stats.agreement",
    "tracker.stats.aim",
    "tracker.stats.aim_goodness",
    "tracker.stats.change",
    "tracker.stats.clustering",
    "tracker.stats.difference",
    "tracker.stats.multiplicity",
    "tracker.stats.operating",
    "tracker.stats.pooling",
    "tracker.stats.proportion",
    "tracker.stats.readiness",
    "tracker.stats.ready_line",
    "tracker.stats.stratified",
    "tracker.stats.trend",
    # the records, files, questions
    "tracker.store.database",
    "tracker.intake.table_file",
    "tracker.intake.strike_file",
    "tracker.intake.tally_file",
    "tracker.review.scope",
    "tracker.review.accuracy",
    "tracker.review.agreement",
    "tracker.review.aim",
    "tracker.review.change",
    "tracker.review.gap",
    "tracker.review.readiness",
    "tracker.review.watch",
    "tracker.review.exchange",
    "tracker.plan.request",
    "tracker.plan.practice_plan",
    "tracker.lake.rates",
    "tracker.cli.main",
)


def public_names() -> list[str]:
    """One line a public name: functions with what they take and return, classes with their fields and methods."""
    return [line for module in PUBLIC for line in _lines(module)]


def _lines(module: str) -> Iterator[str]:
    file = ROOT / f"{module.replace('.', '/')}.py"
    source = file if file.exists() else file.with_suffix("") / "__init__.py"
    for node in ast.parse(source.read_text(encoding="utf-8")).body:
        for line in _described(node):
            yield f"{module}.{line}"


def _described(node: ast.stmt) -> Iterator[str]:
    match node:
        case ast.Assign(targets=[ast.Name(id="__version__")]):
            yield "__version__"
        case ast.FunctionDef(name=name) if not name.startswith("_"):
            yield f"{name}({ast.unparse(node.args)}) -> {ast.unparse(node.returns) if node.returns else None}"
        case ast.ClassDef(name=name) if not name.startswith("_"):
            yield f"{name}({', '.join(ast.unparse(base) for base in node.bases)})"
            for inner in node.body:
                match inner:
                    case ast.FunctionDef():
                        yield from (f"{name}.{line}" for line in _described(inner))
                    case ast.Assign() | ast.AnnAssign() if not ast.unparse(inner).startswith("_"):
                        yield f"{name}.{ast.unparse(inner)}"


if __name__ == "__main__":
    LIST.write_text("\n".join(public_names()) + "\n", encoding="utf-8")
