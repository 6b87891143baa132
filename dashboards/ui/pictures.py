"""Shows a picture with its own colours and its text for those who do not see it."""

from __future__ import annotations

import altair as alt
import streamlit as st


def show(picture: alt.LayerChart) -> None:
    """Draws a picture of ``tracker.report.charts`` as wide as its place."""
    st.altair_chart(picture, theme=None, alt=str(picture.description))
