"""A player's placements, and taking the last one back."""

from __future__ import annotations

import streamlit as st

from dashboards.ui import messages
from dashboards.ui.table import show_table
from tracker.domain.practice import Placement
from tracker.domain.squad import Player
from tracker.report import glossary, tables
from tracker.report.language import _
from tracker.review import decisions
from tracker.store.database import Database


def placement_list(database: Database, player: Player) -> None:
    """The history of decisions, the latest first."""
    placements = decisions.placements_of(database, player)
    if not placements:
        st.text(
            _("No decision yet. Place a foot at a stage above; what the tool suggests is kept beside your decision.")
        )
        return
    show_table(tables.placements_table(placements), label=_("Decisions, the latest first"))
    st.button(_("Take the last decision back"), on_click=_withdraw, args=(database, placements[-1]))


def _withdraw(database: Database, placement: Placement) -> None:
    def withdrawn() -> str:
        decisions.withdraw(database, placement.placement_id)
        return _("Taken back: the {foot} is no longer placed at {stage}.").format(
            foot=glossary.side_foot(placement.foot), stage=placement.stage
        )

    messages.attempt(withdrawn)
