"""The one rule that keeps a spreadsheet program from running a text cell as a formula, and its exact undoing.

A text is *risky* when, after any number of apostrophes, it starts with one of ``= + - @``, their full-width
forms, a tab or a line end.
Writing CSV puts one apostrophe before every risky text; reading CSV takes one apostrophe off every text that still is
risky without it. Because apostrophes count as part of a risky start, the two are each other's inverse for any text:

============  ==========
the text      in the CSV
============  ==========
``=1+1``      ``'=1+1``
``'=1+1``     ``''=1+1``
``'hello``    ``'hello``
============  ==========

A file that was not written here and holds ``=1+1`` keeps it: a formula is a legal name, only text. Parquet and JSON
are never opened as formulas, so there nothing is added or taken off.
Source: OWASP, CSV Injection, https://owasp.org/www-community/attacks/CSV_Injection.
"""

from __future__ import annotations

import polars as pl

_RISKY_START = r"'*[=+\-@＝＋－＠\t\r\n]"


def neutralised(text: pl.Expr) -> pl.Expr:
    """The text as it is written to CSV: one apostrophe before every risky text."""
    return text.str.replace(f"^({_RISKY_START})", "'${1}")


def restored(text: pl.Expr) -> pl.Expr:
    """The text as it was before ``neutralised``."""
    return text.str.replace(f"^'({_RISKY_START})", "${1}")
