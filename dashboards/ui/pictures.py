"""Shows a picture with its own colours, and the table behind it."""

from __future__ import annotations

import altair as alt
import polars as pl
import streamlit as st

from dashboards.ui.table import show_table
from tracker.report.language import _


def show(picture: alt.LayerChart) -> None:
    """Draws a picture of ``tracker.report.charts`` as wide as its place; its description is read out."""
    st.altair_chart(picture, theme=None)


def with_table(picture: alt.LayerChart, table: pl.DataFrame, *, label: str) -> None:
    """Draws a picture, with the figures behind it to open; ``label`` is what the table is called when read out."""
    show(picture)
    with st.expander(_("The figures behind it")):
        show_table(table, label=label)
