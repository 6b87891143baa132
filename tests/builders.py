"""Makes a squad and its strikes for a test, one line a set."""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Self

from tracker.domain.identity import uuid7
from tracker.domain.ladder import Ladder
from tracker.domain.practice import Placement, Practice
from tracker.domain.squad import Player, Squad
from tracker.domain.strike import Strike
from tracker.domain.vocabulary import Foot, Miss, Outcome, PreferredFoot, Source, Surface
from tracker.review import club
from tracker.review.logbook import practice_on
from tracker.review.scope import Scope, player_named, squad_named
from tracker.store.database import Database
from tracker.store.practices import add_placements
from tracker.store.strikes import append_strikes, frame_of_strikes

OUTCOMES = {"+": Outcome.ON_TARGET, "-": Outcome.OFF_TARGET, "b": Outcome.BLOCKED}


@dataclass(frozen=True, kw_only=True, slots=True)
class SquadBuilder:
    """A squad whose strikes are written as ``+`` on target, ``-`` off target, ``b`` blocked."""

    database: Database
    squad: Squad

    @classmethod
    def start(cls, database: Database, name: str, **players: str) -> Self:
        """A new squad with the players named, each with their preferred foot."""
        squad = club.make_squad(database, name=name)
        for player, preferred in players.items():
            club.add_player(database, squad, display_name=player, preferred_foot=PreferredFoot(preferred))
        return cls(database=database, squad=squad)

    @property
    def ladder(self) -> Ladder:
        return club.ladder_of(self.database, self.squad)

    @property
    def stages(self) -> list[str]:
        return [stage.name for stage in self.ladder.stages]

    @property
    def scope(self) -> Scope:
        return Scope(squad=squad_named(self.database, self.squad.name))

    def player(self, name: str) -> Player:
        return player_named(self.database, name, squad=self.squad)

    def practice(self, day: date, *, label: str = "") -> Practice:
        return practice_on(self.database, self.squad, day, label=label)

    def strikes(
        self,
        player: str,
        foot: Foot,
        outcomes: str,
        *,
        day: date,
        stage: str | None = None,
        surface: Surface | None = None,
        miss: Miss | None = None,
        distance_m: float | None = None,
        target_width_m: float | None = None,
        at_once: bool = False,
        label: str = "",
        logger: str | None = None,
    ) -> list[Strike]:
        """Stores a run of strikes from 18:00 UTC on, a minute apart or ``at_once`` as a called-out set."""
        practice = self.practice(day, label=label)
        start, set_id = datetime(day.year, day.month, day.day, 18, tzinfo=UTC), uuid7()
        made = [
            Strike(
                strike_id=uuid7(),
                practice_id=practice.practice_id,
                player_id=self.player(player).player_id,
                stage=stage,
                foot=foot,
                surface=surface,
                outcome=OUTCOMES[outcome],
                miss=miss if outcome == "-" else None,
                distance_m=distance_m,
                target_width_m=target_width_m,
                struck_at=start if at_once else start + timedelta(minutes=minute),
                set_id=set_id,
                source=Source.CALL_OUT if at_once else Source.TAP,
                logger=logger,
            )
            for minute, outcome in enumerate(outcomes)
        ]
        with self.database.transaction() as transaction:
            append_strikes(transaction, frame_of_strikes(made))
        return made

    def placed(self, player: str, foot: Foot, stage: str, *, day: date) -> Placement:
        """Stores a placement made at noon UTC of a day."""
        placement = Placement(
            placement_id=uuid7(),
            player_id=self.player(player).player_id,
            foot=foot,
            stage=stage,
            placed_at=datetime(day.year, day.month, day.day, 12, tzinfo=UTC),
        )
        with self.database.transaction() as transaction:
            add_placements(transaction, [placement])
        return placement


def csv_file(path: Path, rows: Sequence[Mapping[str, object]]) -> Path:
    """Writes rows as CSV exactly as they are, and returns the path."""
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, fieldnames=list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    return path


def strike_row(**changed: object) -> dict[str, object]:
    """A right row of a strike file, with what is named changed."""
    row = {"struck_at": "2026-03-07T18:00:00Z", "player": "Ana", "foot": "left", "outcome": "on"}
    return {**row, **changed}
