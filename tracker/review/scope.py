"""Which part of the records a question is about: squad, season, dates, player, stage, surface, distances."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from uuid import UUID

from tracker.domain.ladder import Ladder, Stage
from tracker.domain.practice import Practice
from tracker.domain.squad import Player, Season, Squad
from tracker.domain.vocabulary import Surface
from tracker.errors import RequestError
from tracker.store import practices as stored_practices
from tracker.store import squads as stored
from tracker.store.database import Database
from tracker.store.strikes import StrikeFilter

SAME_DISTANCE_M = 0.005
"""Distances nearer to one another than this are the same: a yard is not a round number of metres."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Scope:
    """What a question is about. None means all; both days are included and cut the season further.

    Distances are metres, both included; a strike whose distance is not known lies within none.
    """

    squad: Squad | None = None
    season: Season | None = None
    first_day: date | None = None
    last_day: date | None = None
    player: Player | None = None
    stage: str | None = None
    surface: Surface | None = None
    nearest_m: float | None = None
    farthest_m: float | None = None

    @property
    def squad_id(self) -> UUID | None:
        """The squad's id, or None for every squad."""
        return self.squad.squad_id if self.squad else None

    @property
    def strikes(self) -> StrikeFilter:
        """The same as a filter on strikes."""
        first = [day for day in (self.first_day, self.season.starts_on if self.season else None) if day]
        last = [day for day in (self.last_day, self.season.ends_on if self.season else None) if day]
        return StrikeFilter(
            squad_id=self.squad_id,
            player_id=self.player.player_id if self.player else None,
            first_day=max(first, default=None),
            last_day=min(last, default=None),
            stage=self.stage,
            surface=self.surface,
            nearest_m=None if self.nearest_m is None else self.nearest_m - SAME_DISTANCE_M,
            farthest_m=None if self.farthest_m is None else self.farthest_m + SAME_DISTANCE_M,
        )

    @property
    def every_strike(self) -> Scope:
        """The same without stage, surface and distances: what a score, and how a day hangs together, are judged on."""
        return replace(self, stage=None, surface=None, nearest_m=None, farthest_m=None)


def chosen_scope(
    database: Database,
    *,
    squad: str | None = None,
    season: str | None = None,
    first_day: date | None = None,
    last_day: date | None = None,
    player: str | None = None,
) -> Scope:
    """The scope that names describe. Without a squad it is the only one, or all of them.

    Raises RequestError when a name is not there or the dates are the wrong way round.
    """
    if first_day and last_day and last_day < first_day:
        raise RequestError(f"The last day {last_day} is before the first day {first_day}.")
    chosen = squad_named(database, squad) if squad else only_squad(database)
    return Scope(
        squad=chosen,
        season=season_named(database, season) if season else None,
        first_day=first_day,
        last_day=last_day,
        player=player_named(database, player, squad=chosen) if player else None,
    )


def only_squad(database: Database) -> Squad | None:
    """The squad when there is just one, else None."""
    squads = stored.squads(database)
    return squads[0] if len(squads) == 1 else None


def squad_named(database: Database, name: str | None) -> Squad:
    """The squad of this name; without a name the only squad. Raises RequestError."""
    squads = stored.squads(database)
    if not squads:
        raise RequestError("There is no squad yet. Make one with: strikeladder init --squad NAME")
    if name is None:
        if len(squads) > 1:
            raise RequestError(f"Which squad? {_listed([one.name for one in squads])} Say so with --squad NAME.")
        return squads[0]
    found = next((one for one in squads if one.name.casefold() == name.strip().casefold()), None)
    if found is None:
        raise RequestError(f"There is no squad {name!r}. {_listed([one.name for one in squads])}")
    return found


def season_named(database: Database, name: str) -> Season:
    """The season of this name. Raises RequestError."""
    seasons = stored.seasons(database)
    found = next((one for one in seasons if one.name.casefold() == name.strip().casefold()), None)
    if found is None:
        raise RequestError(f"There is no season {name!r}. {_listed([one.name for one in seasons])}")
    return found


def player_named(database: Database, name: str, *, squad: Squad | None) -> Player:
    """The player of this display name. Raises RequestError when there is none, or more than one."""
    players = stored.players(database, squad_id=squad.squad_id if squad else None)
    found = [one for one in players if one.display_name.casefold() == " ".join(name.split()).casefold()]
    if not found:
        raise RequestError(f"There is no player {name!r}. {_listed([one.display_name for one in players])}")
    if len(found) > 1:
        raise RequestError(f"{len(found)} players are called {name!r}. Say which squad with --squad NAME.")
    return found[0]


def squad_of(database: Database, player: Player) -> Squad:
    """The squad a player is in now."""
    return next(one for one in stored.squads(database) if one.squad_id == player.squad_id)


def stage_named(ladder: Ladder, name: str) -> Stage:
    """The stage of this name. Raises RequestError."""
    found = ladder.stage_named(name)
    if found is None:
        raise RequestError(f"There is no stage {name!r}. {_listed([one.name for one in ladder.stages])}")
    return found


def practice_named(database: Database, text: str, *, scope: Scope) -> Practice:
    """The practice of a date ("2026-03-12"), of a date with its label ("2026-03-12 morning"), or of an id.

    Raises RequestError when there is none, or more than one.
    """
    there = stored_practices.practices(database, squad_id=scope.squad_id)
    wanted = " ".join(text.split()).casefold()
    found = [one for one in there if wanted in (str(one.practice_id), _practice_name(one).casefold())]
    if not found:
        found = [one for one in there if wanted == str(one.held_on)]
    if not found:
        raise RequestError(f"There is no practice {text!r}. {_listed([_practice_name(one) for one in there])}")
    if len({one.squad_id for one in found}) > 1:
        raise RequestError(f"{len(found)} squads practised then. Say which with --squad NAME.")
    if len(found) > 1:
        raise RequestError(
            f"{len(found)} practices were held then. {_listed([_practice_name(one) for one in found])} "
            "Say the date and the label together."
        )
    return found[0]


def _practice_name(practice: Practice) -> str:
    return f"{practice.held_on} {practice.label}".strip()


def _listed(names: Sequence[str]) -> str:
    if not names:
        return "There is none yet."
    return f"There is: {', '.join(names[:20])}{', …' if len(names) > 20 else '.'}"
