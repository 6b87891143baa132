"""Whom to watch next: the feet about which one more set tells most."""

from __future__ import annotations

from dashboards.ui.answers import asked
from dashboards.ui.table import show_table
from tracker.domain.practice import Practice
from tracker.domain.squad import Squad
from tracker.report import season_tables
from tracker.report.language import _
from tracker.review.scope import Scope
from tracker.review.watch import watch
from tracker.store.database import Database

SHOWN_AT_ONCE = 4


def watch_part(database: Database, squad: Squad, practice: Practice) -> None:
    """The first few of the watch list, with the reason of each."""
    watched = asked(watch, database, Scope(squad=squad), practice)
    show_table(season_tables.watch_table(watched, most=SHOWN_AT_ONCE), label=_("Whom to watch next, and why"))
