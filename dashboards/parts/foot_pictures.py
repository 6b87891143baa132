"""One picture of one foot: what is looked at now, with the table behind it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import streamlit as st

from dashboards.ui import pictures, state
from dashboards.ui.answers import asked
from dashboards.ui.views import PlayerView
from tracker.domain.ladder import Ladder, Stage
from tracker.domain.squad import Player
from tracker.domain.vocabulary import Dimension, Foot
from tracker.report import charts, season_tables, tables
from tracker.report.language import _
from tracker.review import club
from tracker.review.accuracy import accuracy
from tracker.review.aim_at_stages import aim_at_stages
from tracker.review.change import change
from tracker.review.first_sets import first_sets
from tracker.review.practice_strip import practice_strip
from tracker.review.reach import reach
from tracker.review.readiness import evidence, readiness
from tracker.review.scope import Scope
from tracker.review.season_line import season_of_foot
from tracker.store.database import Database


@dataclass(frozen=True, kw_only=True, slots=True)
class FootLookedAt:
    """Whose foot, in which scope, on which ladder."""

    database: Database
    scope: Scope
    player: Player
    foot: Foot
    ladder: Ladder


def foot_picture(view: PlayerView, looked_at: FootLookedAt) -> None:
    """The picture of this view; there must be strikes with the foot."""
    drawn: dict[PlayerView, Callable[[FootLookedAt], None]] = {
        PlayerView.READY: _readiness,
        PlayerView.PRACTICES: _practices,
        PlayerView.AIM: _aim,
        PlayerView.DISTANCE: _distance,
        PlayerView.SETS: _sets,
        PlayerView.TWENTY: _twenty,
    }
    drawn[view](looked_at)


def _readiness(at: FootLookedAt) -> None:
    board = tables.of_foot(asked(readiness, at.database, at.scope), at.foot)
    stage = _stage_looked_at(at, current=tables.current_stage(board) or at.ladder.stages[0].name)
    shown = asked(evidence, at.database, at.scope, foot=at.foot, stage=stage)
    if shown.points.is_empty():
        st.text(_("No strikes at this stage yet."))
        return
    label = _("The readiness score by practice")
    pictures.with_table(pictures.drawn(charts.evidence_line, shown), season_tables.evidence_table(shown), label=label)


def _practices(at: FootLookedAt) -> None:
    by = [Dimension.PLAYER, Dimension.FOOT, Dimension.PRACTICE]
    rates = asked(accuracy, at.database, at.scope, by=by)
    season = season_of_foot(asked(change, at.database, at.scope), rates, foot=at.foot)
    pictures.with_table(
        pictures.drawn(
            charts.accuracy_over_practices, rates, foot=at.foot, preferred=at.player.preferred_foot, season=season
        ),
        tables.accuracy_table(tables.of_foot(rates, at.foot), heads=("practice",)),
        label=_("On target by practice"),
    )


def _aim(at: FootLookedAt) -> None:
    found = next(one for one in asked(aim_at_stages, at.database, at.scope) if one.foot is at.foot)
    pictures.with_table(
        pictures.drawn(charts.aim_fan, found, preferred=at.player.preferred_foot),
        season_tables.aim_table(found),
        label=_("What the aim promises at each target"),
    )


def _distance(at: FootLookedAt) -> None:
    found = next(one for one in asked(reach, at.database, at.scope) if one.foot is at.foot)
    unit = asked(club.length_unit, at.database)
    pictures.with_table(
        pictures.drawn(charts.distance_curve, found, unit=unit, preferred=at.player.preferred_foot),
        season_tables.distance_table(found, unit=unit),
        label=_("On target by distance"),
    )


def _sets(at: FootLookedAt) -> None:
    strip, judged = (asked(question, at.database, at.scope) for question in (practice_strip, first_sets))
    pictures.with_table(
        pictures.drawn(charts.practice_strip_picture, strip, judged, foot=at.foot, preferred=at.player.preferred_foot),
        season_tables.strip_table(strip, foot=at.foot),
        label=_("First set and later sets by practice"),
    )


def _twenty(at: FootLookedAt) -> None:
    rates = asked(accuracy, at.database, at.scope)
    pictures.with_table(
        pictures.drawn(charts.dot_picture, rates, foot=at.foot, preferred=at.player.preferred_foot),
        tables.accuracy_table(tables.of_foot(rates, at.foot)),
        label=_("On target, all strikes"),
    )


def _stage_looked_at(at: FootLookedAt, *, current: str) -> Stage:
    names = [stage.name for stage in at.ladder.stages]
    slot = state.stage_looked_at(at.player.player_id, at.foot)
    name = st.selectbox(_("Evidence at the stage"), names, index=names.index(current), key=slot.key)
    return at.ladder.stage_named(name) or at.ladder.stages[0]
