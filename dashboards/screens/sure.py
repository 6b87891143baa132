"""How sure is this? What the numbers promise, in plain words, and what they do not."""

from __future__ import annotations

import streamlit as st

from dashboards.parts.promise_part import promise_part
from dashboards.ui.certainty import answer
from dashboards.ui.table import show_table
from tracker.report import tables
from tracker.report.explanations import Certainty
from tracker.report.language import _
from tracker.serve.process import held_database

st.title(_("How sure is this?"))
st.text(_("What the numbers promise, and what they do not."))
for question in (Certainty.RANGE, Certainty.DAYS, Certainty.LIKE, Certainty.CHANGE, Certainty.READY):
    answer(question)
promise_part(held_database())
for question in (Certainty.OBSERVERS, Certainty.NOT_CLAIMED):
    answer(question)
st.header(_("What the words mean"))
show_table(tables.glossary_table(), label=_("The words and what they mean"))
