"""Shows a picture with its own colours, and the table behind it."""

from __future__ import annotations

import pickle
from collections.abc import Callable
from typing import Any, ParamSpec

import altair as alt
import polars as pl
import streamlit as st

from dashboards.ui.table import show_table
from tracker.domain.vocabulary import Language
from tracker.report.language import _, spoken

Said = ParamSpec("Said")
Specification = dict[str, Any]
MOST_PICTURES = 200


def drawn(picture: Callable[Said, alt.LayerChart], *args: Said.args, **kwargs: Said.kwargs) -> Specification:
    """A picture of ``tracker.report.charts`` as Vega-Lite; drawn again only for other figures or another language."""
    said = pickle.dumps((args, sorted(kwargs.items())))  # their content: equal figures make equal bytes
    return _drawn(f"{picture.__module__}.{picture.__qualname__}", spoken(), said, lambda: picture(*args, **kwargs))


def show(picture: Specification) -> None:
    """Shows a picture as wide as its place, and how to read it as text under it; its description is read out."""
    title = dict(picture["title"])
    note = title.pop("subtitle", [])  # in the picture its lines would be as short on a laptop as on a phone
    st.vega_lite_chart(spec={**picture, "title": title}, theme=None)
    if note:
        st.text(" ".join(note))


def with_table(picture: Specification, table: pl.DataFrame, *, label: str) -> None:
    """Shows a picture with the figures behind it to open; ``label`` is what the table is called when read out."""
    show(picture)
    with st.expander(_("The figures behind it")):
        show_table(table, label=label)


@st.cache_data(max_entries=MOST_PICTURES, show_spinner=False)
def _drawn(name: str, language: Language, said: bytes, _draws: Callable[[], alt.LayerChart]) -> Specification:
    """The picture under its key; its form is checked where pictures are tested, not each time."""
    del name, language, said
    specification: Specification = _draws().to_dict(validate=False)
    return specification
