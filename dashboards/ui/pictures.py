"""Shows a picture with its own colours."""

from __future__ import annotations

import altair as alt
import streamlit as st


def show(picture: alt.LayerChart) -> None:
    """Draws a picture of ``tracker.report.charts`` as wide as its place; its description is read out."""
    st.altair_chart(picture, theme=None)
