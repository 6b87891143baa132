"""The licence of everything that is installed with Strike Ladder, as a table: ``python -m tests.project.licences``."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.metadata import Distribution, PackageNotFoundError, distribution
from pathlib import Path

from packaging.requirements import Requirement

PROJECT = Path(__file__).parents[2] / "pyproject.toml"
# Words a package uses for its licence, and the SPDX identifier; the first that fits counts.
_SPDX = (
    (r"MPL-2\.0|Mozilla Public License 2\.0", "MPL-2.0"),
    (r"Apache[- ](Software License|License,? (Version )?2\.0|2\.0)|^Apache", "Apache-2.0"),
    (r"BSD[- ]3|3-Clause|New BSD|Modified BSD", "BSD-3-Clause"),
    (r"BSD[- ]2|2-Clause|Simplified BSD", "BSD-2-Clause"),
    (r"\bBSD\b", "BSD"),
    (r"\bMIT(-CMU)?\b", "MIT"),
    (r"\bISC\b", "ISC"),
    (r"PSF|Python Software Foundation", "PSF-2.0"),
    (r"Unlicense", "Unlicense"),
    (r"HPND", "HPND"),
    (r"\bZlib\b", "Zlib"),
)
_COPYLEFT = re.compile(r"(?<!L)(?<!Lesser )\b(A?GPL|General Public)", re.IGNORECASE)


@dataclass(frozen=True, kw_only=True, slots=True)
class Licence:
    """One installed package and what its own metadata says of its licence; ``identifier`` is SPDX or empty."""

    package: str
    version: str
    said: str
    identifier: str

    @property
    def is_copyleft(self) -> bool:
        """Whether it would bind whoever passes the whole on (GPL, AGPL)."""
        return bool(_COPYLEFT.search(self.said))


def licences(*, extras: tuple[str, ...] = ()) -> list[Licence]:
    """Every package that what ``pyproject.toml`` asks for brings on this computer, by name."""
    return [_licence(one) for one in sorted(_installed(extras), key=lambda one: _name(one.name))]


def table(found: list[Licence]) -> str:
    """The licences as a Markdown table."""
    rows = [f"| {one.package} | {one.version} | {one.identifier or one.said} |" for one in found]
    return "\n".join(["| Package | Version tested | Licence |", "| --- | --- | --- |", *rows])


def _installed(extras: tuple[str, ...]) -> Iterator[Distribution]:
    project = tomllib.loads(PROJECT.read_text(encoding="utf-8"))["project"]
    asked = [*project["dependencies"], *(one for extra in extras for one in project["optional-dependencies"][extra])]
    waiting = [Requirement(one) for one in asked]
    seen: set[str] = set()
    given: set[str] = set()
    while waiting:
        wanted = waiting.pop()
        if str(wanted) in seen:
            continue
        seen.add(str(wanted))
        try:
            found = distribution(wanted.name)
        except PackageNotFoundError:  # for another system or another Python
            continue
        if _name(found.name) not in given:
            given.add(_name(found.name))
            yield found
        for needed in map(Requirement, found.requires or ()):
            marker = needed.marker
            if marker is None or any(marker.evaluate({"extra": extra}) for extra in ("", *wanted.extras)):
                waiting.append(needed)


def _licence(found: Distribution) -> Licence:
    told = found.metadata
    classifiers = [one.rpartition(" :: ")[2] for one in told.get_all("Classifier") or () if one.startswith("License")]
    first_line = (told.get("License") or "").strip().splitlines()[:1]
    said = told.get("License-Expression") or ", ".join(classifiers) or "".join(first_line)
    spdx = told.get("License-Expression") or next((one for words, one in _SPDX if re.search(words, said)), "")
    return Licence(package=found.name, version=found.version, said=said, identifier=spdx)


def _name(text: str) -> str:
    return re.sub(r"[-_.]+", "-", text).casefold()


if __name__ == "__main__":
    print(table(licences(extras=("club-server",))))  # noqa: T201
