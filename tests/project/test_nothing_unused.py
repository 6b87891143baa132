"""What stands in the program is used by the program, or public: tests alone keep nothing alive."""

from __future__ import annotations

import ast
import re
from collections import Counter
from pathlib import Path

from tests.project.public_api import PUBLIC

ROOT = Path(__file__).parents[2]
FOLDERS = ("tracker", "dashboards", "demo_data")
ENDINGS = {".py", ".typ", ".js", ".toml", ".html"}
CALLED_BY_A_LIBRARY = {"do_GET", "log_message"}  # http.server's


def defined(tree: ast.AST) -> set[str]:
    """Functions, methods, classes and constants, without those a decorator hands to somebody else."""
    names = set()
    for node in ast.walk(tree):
        match node:
            case (
                ast.FunctionDef(name=name, decorator_list=decorators)
                | ast.ClassDef(name=name, decorator_list=decorators)
            ):
                if not any("command" in ast.unparse(one) or "validator" in ast.unparse(one) for one in decorators):
                    names.add(name)
            case ast.Module(body=body):
                targets = [one.targets[0] for one in body if isinstance(one, ast.Assign)]
                targets += [one.target for one in body if isinstance(one, ast.AnnAssign)]
                names |= {target.id for target in targets if isinstance(target, ast.Name)}
    return {name for name in names if not name.startswith("__")}


def test_every_name_is_used_somewhere_beside_its_definition() -> None:
    files = [file for folder in FOLDERS for file in (ROOT / folder).rglob("*") if file.suffix in ENDINGS]
    said = Counter[str]()
    for file in files:
        said.update(re.findall(r"\w+", file.read_text(encoding="utf-8")))
    unused = {
        f"{file.relative_to(ROOT)}: {name}"
        for file in files
        if file.suffix == ".py" and ".".join(file.relative_to(ROOT).with_suffix("").parts) not in PUBLIC
        for name in defined(ast.parse(file.read_text(encoding="utf-8")))
        if said[name] == 1 and name not in CALLED_BY_A_LIBRARY
    }
    assert unused == set()
    assert len(said) > 3000
