"""Tables as real HTML: they wrap on a phone, print, and are read out cell by cell."""

from __future__ import annotations

from html import escape

import polars as pl
import streamlit as st


def show_table(frame: pl.DataFrame, *, label: str) -> None:
    """Shows every row of a frame of ``tracker.report.tables``; each cell is text, whatever it contains."""
    st.html(table_html(frame, label=label))


def table_html(frame: pl.DataFrame, *, label: str) -> str:
    """The frame as an HTML table; numbers stand to the right, nothing is left unescaped."""
    kinds = ["number" if dtype.is_numeric() else "words" for dtype in frame.dtypes]
    head = "".join(
        f'<th scope="col" class="{kind}">{escape(name)}</th>' for name, kind in zip(frame.columns, kinds, strict=True)
    )
    body = "".join(f"<tr>{_cells(row, kinds)}</tr>" for row in frame.iter_rows())
    return (
        f'<div class="strike-table" tabindex="0" role="region" aria-label="{escape(label)}">'
        f"<table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table></div>"
    )


def _cells(row: tuple[object, ...], kinds: list[str]) -> str:
    texts = ["" if value is None else escape(str(value)) for value in row]
    return "".join(f'<td class="{kind}">{text}</td>' for text, kind in zip(texts, kinds, strict=True))
