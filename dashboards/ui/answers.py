"""Asks ``tracker.review`` once for an answer, and again only after something was stored."""

from __future__ import annotations

from collections.abc import Callable
from typing import Concatenate, ParamSpec, TypeVar, cast

import streamlit as st

from tracker.store.database import Database

Answer = TypeVar("Answer")
Said = ParamSpec("Said")
MOST_ANSWERS = 400


def asked(
    question: Callable[Concatenate[Database, Said], Answer], database: Database, *args: Said.args, **kwargs: Said.kwargs
) -> Answer:
    """What ``question(database, …)`` answers. What it is asked must say all it is in its ``repr``: enums, dataclasses.

    An answer is kept until the database has changed, never for a time: it is never stale.
    """
    return cast(
        "Answer",
        _answer(
            f"{question.__module__}.{question.__qualname__}",
            (database.changes, database.club_changes),
            repr((args, sorted(kwargs.items()))),
            lambda: question(database, *args, **kwargs),
        ),
    )


@st.cache_data(max_entries=MOST_ANSWERS, show_spinner=False)
def _answer(question: str, changes: tuple[int, int], said: str, _asks: Callable[[], object]) -> object:
    """The answer under its key: which question, at which state of the database, about what."""
    del question, changes, said
    return _asks()
