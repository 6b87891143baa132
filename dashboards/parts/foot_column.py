"""One foot of one player: where it stands, what is looked at, and the decision."""

from __future__ import annotations

import streamlit as st

from dashboards.parts.foot_pictures import FootLookedAt, foot_picture
from dashboards.parts.placement_form import placement_form
from dashboards.ui.answers import asked
from dashboards.ui.certainty import how_sure
from dashboards.ui.views import PlayerView
from tracker.domain.vocabulary import Dimension
from tracker.report import glossary, season_words, tables
from tracker.report.explanations import Certainty
from tracker.report.language import _
from tracker.review import club
from tracker.review.accuracy import accuracy
from tracker.review.change import change
from tracker.review.reach import reach
from tracker.review.readiness import readiness


def foot_standing(at: FootLookedAt) -> None:
    """The answers about one foot in sentences: how it hits, whether it changed, from how far, what it is ready for."""
    st.header(glossary.foot_words(at.foot, at.player.preferred_foot))
    total = tables.of_foot(asked(accuracy, at.database, at.scope, by=[Dimension.PLAYER, Dimension.FOOT]), at.foot)
    for line in tables.standing_lines(total):
        st.text(line)
    if total.is_empty():
        st.page_link("screens/today.py", label=_("Log strikes on the Today page"))
    else:
        for row in tables.of_foot(asked(change, at.database, at.scope), at.foot).iter_rows(named=True):
            st.text(season_words.change_words(row))
        found = next(one for one in asked(reach, at.database, at.scope) if one.foot is at.foot)
        st.text(season_words.reach_words(found, unit=asked(club.length_unit, at.database)))
    now, elsewhere = tables.reasons(tables.of_foot(asked(readiness, at.database, at.scope), at.foot))
    st.text(now)
    how_sure(Certainty.RANGE, Certainty.CHANGE, Certainty.READY)
    if elsewhere:
        with st.expander(_("At the other stages")):
            for reason in elsewhere:
                st.text(reason)


def foot_view(view: PlayerView, at: FootLookedAt) -> None:
    """What is looked at of one foot; nothing without strikes."""
    if not tables.of_foot(
        asked(accuracy, at.database, at.scope, by=[Dimension.PLAYER, Dimension.FOOT]), at.foot
    ).is_empty():
        foot_picture(view, at)


def foot_decision(at: FootLookedAt) -> None:
    """The form that places the foot, with what the tool suggests filled in."""
    board = tables.of_foot(asked(readiness, at.database, at.scope), at.foot)
    suggested = tables.suggested_stage(board) or tables.current_stage(board) or at.ladder.stages[0].name
    placement_form(at.database, at.player, foot=at.foot, ladder=at.ladder, suggested=suggested)
