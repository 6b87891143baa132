"""One foot of one player: its accuracy, its standing on the ladder, the evidence, and the decision."""

from __future__ import annotations

from dataclasses import dataclass

import polars as pl
import streamlit as st

from dashboards.parts.placement_form import placement_form
from dashboards.ui import pictures, state
from dashboards.ui.certainty import how_sure
from tracker.domain.ladder import Ladder, Stage
from tracker.domain.squad import Player
from tracker.domain.vocabulary import Dimension, Foot
from tracker.report import charts, tables, wording
from tracker.report.explanations import Certainty
from tracker.review.accuracy import accuracy
from tracker.review.readiness import evidence, readiness
from tracker.review.scope import Scope
from tracker.store.database import Database


@dataclass(frozen=True, kw_only=True, slots=True)
class Standing:
    """What is known of one player: rates by foot, rates by foot and practice, and the ready board."""

    total: pl.DataFrame
    by_practice: pl.DataFrame
    board: pl.DataFrame


def standing(database: Database, scope: Scope) -> Standing:
    """Everything the two columns of a player share, asked once."""
    return Standing(
        total=accuracy(database, scope, by=[Dimension.PLAYER, Dimension.FOOT]),
        by_practice=accuracy(database, scope, by=[Dimension.PLAYER, Dimension.FOOT, Dimension.PRACTICE]),
        board=readiness(database, scope),
    )


def foot_column(
    database: Database, scope: Scope, known: Standing, *, player: Player, foot: Foot, ladder: Ladder
) -> None:
    """Everything about one foot, from the count to the decision."""
    st.header(wording.foot_words(foot, player.preferred_foot))
    total, board = tables.of_foot(known.total, foot), tables.of_foot(known.board, foot)
    for line in tables.standing_lines(total):
        st.text(line)
    if total.is_empty():
        st.page_link("screens/today.py", label="Log strikes on the Today page")
    else:
        pictures.show(charts.accuracy_over_practices(known.by_practice, foot=foot, preferred=player.preferred_foot))
        how_sure(Certainty.RANGE, Certainty.DAYS)
    st.subheader("Ready for the next stage?")
    now, elsewhere = tables.reasons(board)
    st.text(now)
    how_sure(Certainty.READY)
    if elsewhere:
        with st.expander("At the other stages"):
            for reason in elsewhere:
                st.text(reason)
    current = tables.current_stage(board) or ladder.stages[0].name
    if not total.is_empty():
        stage = _stage_looked_at(ladder, player, foot=foot, current=current)
        shown = evidence(database, scope, foot=foot, stage=stage)
        if shown.points.is_empty():
            st.text("No strikes at this stage yet.")
        else:
            pictures.show(charts.evidence_line(shown))
    placement_form(database, player, foot=foot, ladder=ladder, suggested=tables.suggested_stage(board) or current)


def _stage_looked_at(ladder: Ladder, player: Player, *, foot: Foot, current: str) -> Stage:
    names = [stage.name for stage in ladder.stages]
    slot = state.stage_looked_at(player.player_id, foot)
    name = st.selectbox("Evidence at the stage", names, index=names.index(current), key=slot.key)
    return ladder.stage_named(name) or ladder.stages[0]
