"""Gets ready, while nobody waits yet, what the first page would wait for: large libraries and the ready lines."""

from __future__ import annotations

from tracker.review.aim import aim
from tracker.review.change import change
from tracker.review.club import players, squads
from tracker.review.readiness import readiness
from tracker.review.scope import Scope
from tracker.store.database import Database


def warm_up(database: Database) -> None:
    """Loads what pages need and works out each squad's ready lines, which are then remembered in this process."""
    import altair  # noqa: F401  a third of a second, and only pages draw

    for squad in squads(database):
        readiness(database, Scope(squad=squad))
        for player in players(database, squad)[:1]:  # one is enough to load what the statistics load when first asked
            of_one = Scope(squad=squad, player=player)
            change(database, of_one)
            aim(database, of_one)
