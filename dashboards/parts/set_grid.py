"""Logs sets called out at their end: a row is a player, two fields are the left and the right set."""

from __future__ import annotations

import streamlit as st

from dashboards.parts.strike_context import context_now
from dashboards.ui import look, messages, state
from dashboards.ui.choices import shirt_and_name
from dashboards.ui.escape import plain
from tracker.domain.ladder import Ladder
from tracker.domain.practice import Practice
from tracker.domain.squad import Player
from tracker.domain.vocabulary import Foot, LengthUnit
from tracker.report import glossary, wording
from tracker.report.language import _
from tracker.review import logbook
from tracker.review.logbook import MOST_ATTEMPTS_A_SET, CalledSet
from tracker.store.database import Database

FIRST_SIZE = 10


def set_grid(
    database: Database, practice: Practice, *, players: list[Player], ladder: Ladder, unit: LengthUnit
) -> None:
    """How many were on target in each player's set, left and right; an empty field is no set."""
    stage = context_now(ladder, unit).stage
    size = state.set_size_at(stage)
    st.number_input(
        _("Strikes in each set"),
        min_value=1,
        max_value=MOST_ATTEMPTS_A_SET,
        value=stage.set_size if stage else FIRST_SIZE,
        key=size.key,
        persist_state="session",
    )
    st.text(_("Type how many were on target. Leave empty what was not struck."))
    with st.form("called_sets", border=False, enter_to_submit=False):
        with st.container(key=look.CALLED, gap="xsmall"):
            heads = ("", *(glossary.foot_word(foot).capitalize() for foot in Foot))
            for column, head in zip(st.columns([2, 1, 1], wrap=False), heads, strict=True):
                column.text(head)
            for player in players:
                _row(player)
        st.form_submit_button(
            _("Store these sets"),
            type="primary",
            width="stretch",
            on_click=_store,
            args=(database, practice, players, ladder, unit, size),
        )


def _row(player: Player) -> None:
    name, *fields = st.columns([2, 1, 1], wrap=False, vertical_alignment="center")
    name.text(shirt_and_name(player))
    for field, foot in zip(fields, Foot, strict=True):
        field.number_input(
            f"{plain(player.display_name)}, {glossary.side_foot(foot)}",
            min_value=0,
            max_value=MOST_ATTEMPTS_A_SET,
            value=None,
            key=state.called_set(player.player_id, foot).key,
            label_visibility="collapsed",
        )


def _store(
    database: Database,
    practice: Practice,
    players: list[Player],
    ladder: Ladder,
    unit: LengthUnit,
    size: state.Slot[int],
) -> None:
    def stored() -> str:
        context = context_now(ladder, unit)
        attempts = size.value() or FIRST_SIZE
        called = [
            CalledSet(player=player, foot=foot, attempts=attempts, on_target=on_target)
            for player in players
            for foot in Foot
            if (on_target := state.called_set(player.player_id, foot).value()) is not None
        ]
        strikes = logbook.log_sets(
            database,
            practice,
            called,
            stage=context.stage,
            surface=context.surface,
            distance_m=context.distance_m,
        )
        return wording.sets_stored_words(sets=len(called), strikes=strikes)

    if messages.attempt(stored):
        for player in players:
            for foot in Foot:
                state.called_set(player.player_id, foot).put(None)
