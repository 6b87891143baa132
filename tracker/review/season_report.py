"""What is told at the end of a season about one player: every figure is that of the question it belongs to."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import Enum, auto
from typing import Any
from uuid import UUID

import polars as pl

from tracker.domain.ladder import Ladder, Stage
from tracker.domain.practice import Placement
from tracker.domain.squad import Player, Season, Squad
from tracker.domain.vocabulary import Dimension, Foot, ReadinessStatus
from tracker.errors import RequestError
from tracker.review.accuracy import accuracy
from tracker.review.aim import aim
from tracker.review.aim_at_stages import AimAtStages
from tracker.review.change import change
from tracker.review.club import ladder_of, players, seasons
from tracker.review.first_sets import first_sets
from tracker.review.gap_over_season import gap_over_season
from tracker.review.logbook import practices
from tracker.review.readiness import readiness
from tracker.review.scope import Scope, squad_of
from tracker.stats.aim import hit_probability, target_half_angle_deg
from tracker.store.coach_words import coach_words
from tracker.store.database import Database
from tracker.store.practices import placements

Row = Mapping[str, Any]


class Standing(Enum):
    """Where a foot stands at a stage of the ladder, from the ground up to what is to come."""

    BEGAN_ABOVE = auto()
    PASSED = auto()
    TO_FIRM_UP = auto()
    WORKING = auto()
    READY = auto()
    TO_COME = auto()


@dataclass(frozen=True, kw_only=True, slots=True)
class PassedStage:
    """A stage a foot was moved on from: on which local day it was passed, by its strikes or as the coach decided."""

    stage: str
    position: int
    foot: Foot
    passed_on: date
    by_coach: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class FootSeason:
    """One foot's season.

    ``accuracy``, ``change`` and ``first_sets`` are its rows of those questions over the whole squad, None without
    strikes; ``stage`` is where it works now, ``next_stage`` what to work on next (the same until it is ready),
    ``ready_on`` the local day the strikes at ``stage`` showed it ready. ``began_at`` is the position of the first stage
    worked at, ``slipped`` the stages passed whose strikes have fallen back since.
    """

    foot: Foot
    accuracy: Row | None
    change: Row | None
    first_sets: Row | None
    aim: AimAtStages
    passed: tuple[PassedStage, ...]
    stage: Stage
    status: ReadinessStatus
    next_stage: Stage
    ready_on: date | None
    began_at: int
    slipped: frozenset[str]

    def standing_at(self, stage: Stage) -> Standing:
        """Where the foot stands at a stage; the top stage is never one to move on from."""
        if stage.position > self.stage.position:
            return Standing.TO_COME
        if stage.position == self.stage.position:
            return Standing.READY if self.next_stage.position > stage.position else Standing.WORKING
        if stage.position == self.next_stage.position or stage.name in self.slipped:
            return Standing.TO_FIRM_UP
        has_passed = stage.position >= self.began_at or any(one.stage == stage.name for one in self.passed)
        return Standing.PASSED if has_passed else Standing.BEGAN_ABOVE

    @property
    def practices(self) -> int:
        """Practices with a strike of this foot."""
        return int(self.accuracy["practices"]) if self.accuracy else 0

    @property
    def attempts(self) -> int:
        """Strikes counted."""
        return int(self.accuracy["attempts"]) if self.accuracy else 0

    @property
    def on_target(self) -> int:
        """Of these on target."""
        return int(self.accuracy["on_target"]) if self.accuracy else 0


@dataclass(frozen=True, kw_only=True, slots=True)
class SeasonReport:
    """A player's season: left foot, right foot, the gap in each third (rows of ``review.gap_over_season``)."""

    player: Player
    squad: Squad
    season: Season
    ladder: Ladder
    practices: int
    first_day: date | None
    last_day: date | None
    feet: tuple[FootSeason, FootSeason]
    gap_parts: pl.DataFrame
    coach_words: str

    @property
    def attempts(self) -> int:
        """Strikes counted with both feet."""
        return sum(foot.attempts for foot in self.feet)


def season_report(database: Database, player: Player, season: Season) -> SeasonReport:
    """The season of one player. Raises LadderError or RequestError when their squad has no ladder that can be read."""
    return season_reports(database, squad_of(database, player), season, only=[player])[0]


def season_reports(
    database: Database, squad: Squad, season: Season, *, only: Sequence[Player] | None = None
) -> list[SeasonReport]:
    """The season of each player of a squad, or of some, in the order of shirts.

    Without ``only`` these are the active players. Whoever is asked for, the questions are put to the whole squad, so
    that a player's verdict is the same alone and among others.
    """
    asked = _Answers.of(database, squad, season)
    wanted = players(database, squad) if only is None else list(only)
    return [asked.about(one) for one in wanted if only is not None or one.active]


def season_to_report(database: Database, squad: Squad) -> Season:
    """The latest season in which the squad practised, else the latest. Raises RequestError when there is none."""
    there = seasons(database)
    if not there:
        raise RequestError("There is no season yet. Make one on the Setup page.")
    days = [one.held_on for one in practices(database, squad)]
    return next((one for one in there if any(one.starts_on <= day <= one.ends_on for day in days)), there[0])


@dataclass(frozen=True, kw_only=True, slots=True)
class _Answers:
    """Every question's answer about a squad's season."""

    squad: Squad
    season: Season
    ladder: Ladder
    accuracy: pl.DataFrame
    attended: pl.DataFrame
    change: pl.DataFrame
    first_sets: pl.DataFrame
    aim: pl.DataFrame
    board: pl.DataFrame
    gap_parts: pl.DataFrame
    placements: dict[UUID, list[Placement]]
    words: dict[UUID, str]

    @classmethod
    def of(cls, database: Database, squad: Squad, season: Season) -> _Answers:
        scope = Scope(squad=squad, season=season)
        made = defaultdict(list)
        for one in placements(database, squad_id=squad.squad_id):
            made[one.player_id].append(one)
        return cls(
            squad=squad,
            season=season,
            ladder=ladder_of(database, squad),
            accuracy=accuracy(database, scope),
            attended=accuracy(database, scope, by=[Dimension.PLAYER, Dimension.PRACTICE], cluster=False),
            change=change(database, scope),
            first_sets=first_sets(database, scope),
            aim=aim(database, scope),
            board=readiness(database, scope),
            gap_parts=gap_over_season(database, scope),
            placements=dict(made),
            words=coach_words(database, season.season_id),
        )

    def about(self, player: Player) -> SeasonReport:
        name = player.display_name
        days = sorted(date.fromisoformat(one[:10]) for one in self.attended.filter(player=name)["practice"])
        left, right = (self._foot(player, foot) for foot in Foot)
        return SeasonReport(
            player=player,
            squad=self.squad,
            season=self.season,
            ladder=self.ladder,
            practices=len(days),
            first_day=days[0] if days else None,
            last_day=days[-1] if days else None,
            feet=(left, right),
            gap_parts=self.gap_parts.filter(player=name),
            coach_words=self.words.get(player.player_id, ""),
        )

    def _foot(self, player: Player, foot: Foot) -> FootSeason:
        board = self.board.filter(player=player.display_name, foot=foot.value)
        current = _only_row(board.filter("is_current"))
        stage = self._stage(current["stage"] if current else None)
        found = self.aim.filter(player=player.display_name, foot=foot.value)
        made = [one for one in self.placements.get(player.player_id, []) if one.foot is foot]
        began = [one.stage for one in made] or board["stage"].to_list()
        status = ReadinessStatus(current["status"]) if current else ReadinessStatus.GATHERING
        ready_at = current["became_ready_at"] if current and status is ReadinessStatus.READY else None
        return FootSeason(
            foot=foot,
            accuracy=_only_row(self.accuracy.filter(player=player.display_name, foot=foot.value)),
            change=_only_row(self.change.filter(player=player.display_name, foot=foot.value)),
            first_sets=_only_row(self.first_sets.filter(player=player.display_name, foot=foot.value)),
            aim=AimAtStages(foot=foot, aim=found, windows=self._windows(found, stage)),
            passed=self._passed(made, foot, board, below=stage.position),
            stage=stage,
            status=status,
            next_stage=self._stage(current["suggested_stage"] if current else None),
            ready_on=ready_at.astimezone().date() if ready_at else None,
            began_at=min((self._stage(name).position for name in began), default=1),
            slipped=frozenset(board.filter("is_passed", status=ReadinessStatus.REVISIT.value)["stage"]),
        )

    def _stage(self, name: str | None) -> Stage:
        return (self.ladder.stage_named(name) if name else None) or self.ladder.stages[0]

    def _windows(self, found: pl.DataFrame, stage: Stage) -> pl.DataFrame:
        """The targets of the stage worked at and of the next one, with what the aim promises there."""
        row = _only_row(found) or {}
        rows = []
        for one in (stage, self.ladder.stage_after(stage)):
            if one is not None:
                angle = float(target_half_angle_deg(one.target.width_m, one.distance_m))
                spread = row.get("spread_deg")
                rate = float(hit_probability(angle, row.get("bias_deg") or 0.0, spread)) if spread else None
                rows.append((one.name, one is not stage, angle, rate, None, None))
        figures = ("half_angle_deg", "predicted_rate", "predicted_low", "predicted_high")
        schema = {"stage": pl.String, "is_next": pl.Boolean, **dict.fromkeys(figures, pl.Float64)}
        return pl.DataFrame(rows, schema=schema, orient="row")

    def _passed(
        self, made: Sequence[Placement], foot: Foot, board: pl.DataFrame, *, below: int
    ) -> tuple[PassedStage, ...]:
        """The stages moved on from in the season: on the day the score got there, else on that of the placement."""
        first = min((self._stage(one.stage).position for one in made), default=1)
        answer = []
        for stage in (one for one in self.ladder.stages if one.position < below):
            row = _only_row(board.filter(stage=stage.name))
            is_ready = row is not None and row["status"] == ReadinessStatus.READY.value
            ready_at = row["became_ready_at"] if row and (is_ready or row["is_passed"]) else None
            moved = next((one.placed_at for one in made if self._stage(one.stage).position > stage.position), None)
            moment = ready_at or (moved if stage.position >= first else None)
            day = moment.astimezone().date() if moment else None
            if day is not None and self.season.starts_on <= day <= self.season.ends_on:
                answer.append(
                    PassedStage(
                        stage=stage.name,
                        position=stage.position,
                        foot=foot,
                        passed_on=day,
                        by_coach=ready_at is None,
                    )
                )
        return tuple(answer)


def _only_row(frame: pl.DataFrame) -> Row | None:
    return frame.row(0, named=True) if frame.height else None
