"""Finds every text a person reads, and brings a catalogue of translations up to date.

Run ``python tests/report/catalogue.py`` after texts have changed: new ones come into every ``.po`` without a
translation, those no longer used go, and the ``.mo`` that the program reads is written anew. Then translate.
"""

from __future__ import annotations

import ast
import importlib
import io
from collections.abc import Iterator
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

from tracker.domain.vocabulary import Language
from tracker.report.language import DOMAIN, LOCALE

ROOT = Path(__file__).parents[2]
SPOKEN_IN = ("tracker/report", "dashboards")
"""Where texts for a person stand. The command line speaks English."""
Found = tuple[str | None, str | tuple[str, str]]
"""Context and message; a message that counts has its singular and its plural."""


def texts() -> dict[Found, str]:
    """Every text to be translated, with the first file that has it."""
    found: dict[Found, str] = {}
    for part in SPOKEN_IN:
        for path in sorted((ROOT / part).rglob("*.py")):
            for text in texts_of(ast.parse(path.read_text(encoding="utf-8"))):
                found.setdefault(text, path.relative_to(ROOT).as_posix())
    return found


def texts_of(tree: ast.Module) -> Iterator[Found]:
    """The texts one file asks to be translated."""
    imported = {
        alias.asname or alias.name: node.module
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and node.module and node.module.startswith("tracker.domain")
        for alias in node.names
    }
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call):
            continue
        name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
        said = [one.value if isinstance(one, ast.Constant) else None for one in node.args]
        match name, said:
            case "_" | "N_", [str(message)]:
                yield None, message
            case "_", [None]:
                argument = node.args[0]
                if isinstance(argument, ast.Name) and argument.id in imported:  # a sentence that stands with the domain
                    yield None, getattr(importlib.import_module(imported[argument.id]), argument.id)
                match argument:
                    case ast.Attribute(value=ast.Name(id=thing), attr=attribute) if thing in imported:
                        yield None, getattr(getattr(importlib.import_module(imported[thing]), thing), attribute)
            case "ngettext", [str(singular), str(plural), _]:
                yield None, (singular, plural)
            case "pgettext", [str(context), str(message)]:
                yield context, message
            case "counted", [_, str(thing)]:
                yield None, (f"{{number}} {thing}", f"{{number}} {thing}s")
            case "counted", [_, str(thing), str(things)]:
                yield None, (f"{{number}} {thing}", f"{{number}} {things}")


def po_file(language: Language) -> Path:
    """The translations into a language, to be edited."""
    return LOCALE / language.value / "LC_MESSAGES" / f"{DOMAIN}.po"


def catalogue(language: Language) -> Catalog:
    """The translations as the file has them."""
    with po_file(language).open("rb") as file:
        return read_po(file, locale=language.value, domain=DOMAIN)


def compiled(translations: Catalog) -> bytes:
    """The translations as the program reads them."""
    written = io.BytesIO()
    write_mo(written, translations)
    return written.getvalue()


def update(language: Language) -> None:
    """Brings the files of a language up to date with the texts."""
    known = catalogue(language) if po_file(language).exists() else Catalog(locale=language.value, domain=DOMAIN)
    fresh = Catalog(
        locale=language.value,
        domain=DOMAIN,
        project="Strike Ladder",
        fuzzy=False,
        header_comment=f"# {language.own_name}",
    )
    fresh.creation_date, fresh.revision_date = (
        known.creation_date,
        known.revision_date,
    )  # the same texts, the same files
    for (context, message), file in texts().items():
        before = known.get(message, context)
        fresh.add(message, before.string if before else None, [(file, 0)], context=context)
    with po_file(language).open("wb") as file:
        write_po(file, fresh, width=120, sort_output=True, include_lineno=False, omit_header=False)
    po_file(language).with_suffix(".mo").write_bytes(compiled(fresh))


if __name__ == "__main__":
    for one in Language:
        if one is not Language.ENGLISH:
            update(one)
