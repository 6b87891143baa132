"""The language of the pages."""

from __future__ import annotations

import streamlit as st

from dashboards.ui import state
from tracker.domain.vocabulary import Language
from tracker.report.language import _, speak
from tracker.review import club
from tracker.store.database import Database


def language_choice(database: Database) -> None:
    """The language the dashboard speaks, for everyone who opens it; each by its own name."""
    st.segmented_control(
        _("Language"),
        list(Language),
        default=club.language(database),
        required=True,
        format_func=lambda language: language.own_name,
        key=state.LANGUAGE.key,
        on_change=_set,
        args=(database,),
    )


def _set(database: Database) -> None:
    language = state.LANGUAGE.value() or Language.ENGLISH
    club.set_language(database, language)
    speak(language)
