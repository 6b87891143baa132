"""Says which names hold letters that no font of ours has: a box stands for each of them on paper."""

from __future__ import annotations

from collections.abc import Sequence

from tracker.report.language import _
from tracker.report.printed.engine import has_letters


def missing_letters(name: str) -> str:
    """The letters of a name that our fonts lack, each once, in order; empty when they have them all.

    >>> missing_letters("Zoë 日本 عمر"), missing_letters("⚽ Ana ⚽")
    ('', '⚽')
    """
    if has_letters(name):
        return ""
    return "".join(dict.fromkeys(letter for letter in name if not letter.isspace() and not has_letters(letter)))


def letter_warnings(names: Sequence[str]) -> list[str]:
    """A warning for each name that cannot be printed as it is written, with its letters."""
    if has_letters("\n".join(names)):
        return []
    return [
        _(
            "{name}: our fonts have no letter for {letters}, so on paper a box stands in its place. Write the name in "
            "another script, or send the report as a web page: that has the letters of the reader's device."
        ).format(name=name, letters=" ".join(letters))
        for name in dict.fromkeys(names)
        if (letters := missing_letters(name))
    ]
