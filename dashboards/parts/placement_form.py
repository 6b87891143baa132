"""The coach's decision: this foot practises this stage from now on."""

from __future__ import annotations

import streamlit as st

from dashboards.ui import messages, state
from tracker.domain.ladder import Ladder
from tracker.domain.squad import Player
from tracker.domain.vocabulary import Foot
from tracker.report import glossary, ladder_words
from tracker.report.language import _
from tracker.review import decisions
from tracker.store.database import Database


def placement_form(database: Database, player: Player, *, foot: Foot, ladder: Ladder, suggested: str) -> None:
    """Stage and note; the stage the tool suggests is filled in."""
    names = [stage.name for stage in ladder.stages]
    with st.form(f"place:{foot.value}", border=True):
        st.selectbox(
            _("Place the {foot} at").format(foot=glossary.side_foot(foot)),
            names,
            index=names.index(suggested),
            key=state.placed_at(player.player_id, foot).key,
        )
        st.text_input(
            _("Note, if you like"), key=state.note_on(player.player_id, foot).key, max_chars=decisions.LONGEST_NOTE
        )
        st.form_submit_button(_("Place"), on_click=_place, args=(database, player, foot, ladder))


def _place(database: Database, player: Player, foot: Foot, ladder: Ladder) -> None:
    def placed() -> str:
        stage = ladder.stage_named(state.placed_at(player.player_id, foot).value() or "") or ladder.stages[0]
        decisions.place(database, player, foot=foot, stage=stage, note=state.note_on(player.player_id, foot).value())
        state.note_on(player.player_id, foot).put("")
        state.stage_looked_at(player.player_id, foot).forget()
        state.placed_at(player.player_id, foot).forget()
        return ladder_words.placed_words(player.display_name, foot, stage.name)

    messages.attempt(placed)
