"""The small answer to "how sure is this?" beside a figure, and the way to the page with all of it."""

from __future__ import annotations

import streamlit as st

from tracker.report.explanations import CERTAINTY, Certainty
from tracker.report.language import _


def how_sure(*questions: Certainty) -> None:
    """A small button that opens the answers, with a link to the whole page."""
    with st.popover(_("How sure is this?"), type="tertiary"):
        for question in questions:
            answer(question)
        st.page_link("screens/sure.py", label=_("More on how sure this is"))


def answer(question: Certainty) -> None:
    """The question and its sentences."""
    st.header(_(question.value))
    for sentence in CERTAINTY[question]:
        st.text(_(sentence))
