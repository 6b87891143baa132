"""Writes the demo season: one invented U12 squad, 30 practices, about 20,000 strikes. README.md tells each story.

Run ``python demo_data/make_demo_season.py [FOLDER]``; the same seed writes the same bytes. Nobody in it is real.

The model: a strike leaves at an angle ~ Normal(bias, spread) in degrees off the middle of the target, and is on target
when that angle lies inside the half-angle the target shows. The spread of a foot shrinks over the season, grows with
the way the ball arrives, and has better and worse days. Some strikes go over or short; in the small game some are
blocked. After each practice the coach decides, for each foot, who moves up a stage.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from itertools import count
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import numpy.typing as npt
import polars as pl

from tracker.domain.ladder import Stage
from tracker.domain.ladder_file import shipped_ladders
from tracker.domain.target import angular_width_deg
from tracker.domain.vocabulary import Foot, Miss, PreferredFoot, ReadinessStatus, Source, Surface

SEED = 20_250_906
LADDER = next(ladder for ladder in shipped_ladders() if ladder.name == "U11–U12")
SQUAD = "Quillhaven U12"
SEASON = ("2025/26", date(2025, 9, 1), date(2026, 5, 31))
ZONE = ZoneInfo("America/New_York")
NO_PRACTICE = {date(2025, 10, 11), date(2025, 11, 29), date(2025, 12, 20), date(2025, 12, 27), date(2026, 1, 3)}
NO_PRACTICE |= {date(2026, 1, 10), date(2026, 2, 14), date(2026, 4, 4), date(2026, 5, 23)}
PRACTICE_DAYS = [
    day for week in range(39) if (day := date(2025, 9, 6) + timedelta(weeks=week)) not in NO_PRACTICE
]  # Saturdays
PAPER_DAYS = {date(2025, 11, 15), date(2026, 3, 7)}  # rain: the phone stayed in the bag
LOGGERS = ("Tess", "Ravi")

# By stage, in the order of the ladder: factor on the spread of a still ball, and share of strikes over or short.
SPREAD_FACTOR = (2.0, 1.0, 1.2, 1.3, 1.5, 1.6, 1.8)
LOST_SHARE = (0.20, 0.0, 0.0, 0.0, 0.125, 0.125, 0.20)
SURFACE_FACTOR = {Surface.INSIDE: 0.97, Surface.LACES: 1.05, Surface.OUTSIDE: 1.10}
BLOCKED_SHARE = 0.06  # in the small game
DAY_SD = 0.26  # of the logarithm of a foot's spread from day to day: correlation near 0.05 within a practice
LUCKY_DAY_FACTOR = 0.45
READY_LINE = 4.9  # of the coach's own running score; the program computes its line itself
ATTENDANCE, CALL_OUT_SHARE = 0.91, 0.25
MOVES_UP_WHEN_READY, MOVES_UP_EARLY, STEPS_BACK = 0.85, 0.008, 0.7


@dataclass(frozen=True, kw_only=True)
class FootTruth:
    """Spread and bias in degrees for a still ball, at the start and the end of the season; left is negative."""

    spread: tuple[float, float]
    bias: tuple[float, float]

    def at(self, progress: float) -> tuple[float, float]:
        """Spread and bias when this share of the way from start to end is done."""
        (start, end), (bias, end_bias) = self.spread, self.bias
        return start * (end / start) ** progress, bias + (end_bias - bias) * progress


@dataclass(frozen=True, kw_only=True)
class PlayerTruth:
    """One invented player, and what is true of each foot. ``settled_at``: share of the season when change ends."""

    name: str
    shirt: int | None
    born: int | None = 2014
    preferred: PreferredFoot = PreferredFoot.RIGHT
    strong: FootTruth
    other: FootTruth
    starts: tuple[int, int] = (2, 1)
    settled_at: float = 1.0
    away: frozenset[date] = frozenset()
    lucky_day: date | None = None
    one_set_a_foot: bool = False
    story: str = ""

    @property
    def strong_foot(self) -> Foot:
        return Foot.LEFT if self.preferred is PreferredFoot.LEFT else Foot.RIGHT

    def truth(self, foot: Foot) -> FootTruth:
        return self.strong if foot is self.strong_foot else self.other

    def first_stage(self, foot: Foot) -> Stage:
        return LADDER.stages[self.starts[0 if foot is self.strong_foot else 1] - 1]


def foot(start: float, end: float, bias: float, end_bias: float | None = None) -> FootTruth:
    return FootTruth(spread=(start, end), bias=(bias, bias if end_bias is None else end_bias))


A_MONTH = frozenset(day for day in PRACTICE_DAYS if date(2026, 2, 21) <= day <= date(2026, 3, 21))
ALL_BUT_THREE = frozenset(PRACTICE_DAYS) - {date(2026, 4, 18), date(2026, 5, 2), date(2026, 5, 16)}
LEFT, BOTH, UNKNOWN = PreferredFoot.LEFT, PreferredFoot.BOTH, PreferredFoot.UNKNOWN
PLAYERS = (
    PlayerTruth(name="Amara N.", shirt=2, strong=foot(8.2, 6.2, -0.8), other=foot(11.5, 8.6, 1.2)),
    PlayerTruth(name="Bjørn S.", shirt=3, strong=foot(9.5, 7.6, -1.2), other=foot(13.0, 10.5, 1.8)),
    PlayerTruth(name="Chidi O.", shirt=4, strong=foot(7.4, 5.6, -0.5), other=foot(10.5, 8.0, 1.0), starts=(3, 2)),
    PlayerTruth(
        name="D'Andre W.", shirt=5, preferred=LEFT, strong=foot(8.0, 6.2, 0.8), other=foot(11.0, 8.8, -1.0),
        story="left-footer",
    ),
    PlayerTruth(
        name="Eilidh M.", shirt=6, born=2015, strong=foot(10.0, 7.8, -1.0), other=foot(13.5, 11.5, 2.0), starts=(1, 1)
    ),
    PlayerTruth(
        name="Farid K.", shirt=7, strong=foot(6.0, 5.6, -5.0, -3.8), other=foot(10.0, 8.8, 0.5),
        story="right foot: narrow spread, but everything goes left",
    ),
    PlayerTruth(name="Inês C.", shirt=8, strong=foot(8.6, 6.6, -0.8), other=foot(11.8, 9.2, 1.2)),
    PlayerTruth(
        name="Jun T.", shirt=9, strong=foot(9.6, 7.8, -0.8), other=foot(12.5, 10.0, 1.2), settled_at=0.35,
        story="plateau: better until December, then no change",
    ),
    PlayerTruth(
        name="Kaya D.", shirt=10, born=2015, preferred=LEFT, strong=foot(8.8, 6.8, 1.0), other=foot(12.0, 9.6, -1.4),
        story="left-footer",
    ),
    PlayerTruth(
        name="Łucja P.", shirt=11, strong=foot(8.4, 6.6, -0.8), other=foot(11.2, 8.8, 1.2), away=A_MONTH,
        story="away for a month, 21 February to 21 March",
    ),
    PlayerTruth(
        name="Mateo R.", shirt=12, preferred=BOTH, strong=foot(8.6, 6.6, -0.6), other=foot(8.9, 6.9, 0.6),
        starts=(2, 2), story="names both feet as preferred, and they are alike",
    ),
    PlayerTruth(
        name="Noor H.", shirt=14, strong=foot(9.4, 8.4, -0.8), other=foot(12.0, 10.6, 1.0),
        lucky_day=date(2026, 1, 31), story="one lucky practice, 31 January, far above the rest",
    ),
    PlayerTruth(name="Oisín B.", shirt=15, strong=foot(7.8, 6.0, -0.6), other=foot(10.8, 8.4, 1.0), starts=(3, 1)),
    PlayerTruth(
        name="Priya V.", shirt=16, born=None, preferred=UNKNOWN, strong=foot(9.0, 7.0, -0.8), other=foot(11, 8.6, 1.2),
        starts=(1, 1), story="preferred foot unknown",
    ),
    PlayerTruth(
        name="Zoë L.", shirt=17, strong=foot(7.8, 6.4, -0.6), other=foot(15.0, 6.0, 2.5, 0.5),
        settled_at=0.85, story="other foot (left) improves a great deal",
    ),
    PlayerTruth(
        name="Thu-An Q.", shirt=None, strong=foot(9.0, 8.8, -0.8), other=foot(12.0, 11.8, 1.0), starts=(1, 1),
        away=ALL_BUT_THREE, one_set_a_foot=True, story="joined in April: very few strikes",
    ),
)  # fmt: skip


@dataclass(kw_only=True)
class Standing:
    """Where one foot stands on the ladder, and the coach's running score there (a CUSUM that restarts at 0)."""

    stage: Stage
    score: float = 0.0
    strikes: int = 0
    hits: int = 0
    days: set[date] = field(default_factory=set)

    def add(self, day: date, hits: npt.NDArray[np.bool_]) -> None:
        """Adds one set to the score."""
        gain = math.log(self.stage.p_ready / self.stage.p_not_yet)
        loss = math.log((1 - self.stage.p_ready) / (1 - self.stage.p_not_yet))
        for hit in hits:
            self.score = max(0.0, self.score + (gain if hit else loss))
        self.strikes, self.hits = self.strikes + hits.size, self.hits + int(hits.sum())
        self.days.add(day)

    @property
    def status(self) -> ReadinessStatus:
        if self.strikes < 10:
            return ReadinessStatus.GATHERING
        if self.stage.position > 1 and self.strikes >= 30 and self.hits / self.strikes < self.stage.p_not_yet - 0.15:
            return ReadinessStatus.REVISIT
        is_ready = self.score >= READY_LINE and len(self.days) >= 2
        return ReadinessStatus.READY if is_ready else ReadinessStatus.WORKING


class DemoSeason:
    """Plays the season practice by practice; keeps the rows of strikes and placements as text."""

    def __init__(self) -> None:
        self.random = np.random.default_rng(SEED)
        self.set_numbers = count(1)
        self.strikes: list[tuple[str, ...]] = []
        self.placements: list[tuple[str, ...]] = []
        self.standings: dict[tuple[str, Foot], Standing] = {}
        for day in PRACTICE_DAYS:
            self._practise(day)

    def _practise(self, day: date) -> None:
        """Rounds of one set a player: five from the stage before, then ten and five at the stage, five more with the
        foot that is not preferred, then the small game. Players of a round strike at the same time."""
        present = [player for player in PLAYERS if day not in player.away and self._attends(player, day)]
        form = {(player.name, foot): self._form(player, foot, day) for player in present for foot in Foot}
        for player in present:
            for foot in Foot:
                if (player.name, foot) not in self.standings:
                    self._place(player, foot, player.first_stage(foot), day, note="First practice")
        clock = datetime.combine(day, time(9, 30), ZONE)
        for size, below in ((5, 1), (10, 0), (5, 0)):
            for foot in Foot:
                source = self._source(day)
                for player in present:
                    if player.one_set_a_foot and (size, below) != (5, 0):
                        continue
                    stage = LADDER.stages[max(self.standings[player.name, foot].stage.position - 1 - below, 0)]
                    self._set(player, foot, stage, size, clock, source, form[player.name, foot])
                clock += timedelta(minutes=5)
        source = self._source(day)
        for player in (player for player in present if not player.one_set_a_foot):
            foot = player.strong_foot.opposite
            self._set(player, foot, self.standings[player.name, foot].stage, 5, clock, source, form[player.name, foot])
        clock += timedelta(minutes=6)
        for player in present:
            self._game(player, clock, form)
        for player in present:
            for foot in Foot:
                self._decide(player, foot, day)

    def _attends(self, player: PlayerTruth, day: date) -> bool:
        lucky_enough = self.random.random() < ATTENDANCE
        return lucky_enough or player.one_set_a_foot or player.lucky_day == day

    def _form(self, player: PlayerTruth, foot: Foot, day: date) -> tuple[float, float]:
        """The foot's spread and bias on this day, in degrees for a still ball."""
        share = (day - PRACTICE_DAYS[0]) / (PRACTICE_DAYS[-1] - PRACTICE_DAYS[0])
        spread, bias = player.truth(foot).at(min(share / player.settled_at, 1.0))
        day_factor = math.exp(self.random.normal(0.0, DAY_SD))
        return spread * (LUCKY_DAY_FACTOR if player.lucky_day == day else day_factor), bias

    def _source(self, day: date) -> Source:
        """How the sets of one round are written down."""
        if day in PAPER_DAYS:
            return Source.PAPER
        return Source.CALL_OUT if self.random.random() < CALL_OUT_SHARE else Source.TAP

    def _set(
        self, player: PlayerTruth, foot: Foot, stage: Stage, size: int, clock: datetime, source: Source,
        form: tuple[float, float],
    ) -> None:  # fmt: skip
        """One set at a stage, from the stage's distance."""
        surfaces = [surface for surface in stage.surfaces if surface in SURFACE_FACTOR]
        surface = surfaces[0] if self.random.random() < 0.7 else surfaces[-1]
        distances = np.full(size, stage.distance_m)
        outcomes = self._outcomes(stage, surface, distances, form)
        standing = self.standings[player.name, foot]
        if stage is standing.stage:
            standing.add(clock.date(), outcomes == "on")
        self._write(player, foot, stage, surface, distances, outcomes, self._times(clock, size, source), source)

    def _game(self, player: PlayerTruth, clock: datetime, form: dict[tuple[str, Foot], tuple[float, float]]) -> None:
        """Shots in the small game: more with the strong foot, and from farther; each one tapped."""
        stage = LADDER.stages[-1]
        for foot in Foot:
            is_strong = foot is player.strong_foot
            size = int(self.random.poisson(4.0 if is_strong else 2.0))
            if size:
                nearest, farthest = (8.0, 15.0) if is_strong else (6.0, 11.0)
                distances = np.round(self.random.uniform(nearest, farthest, size))
                outcomes = self._outcomes(stage, Surface.LACES, distances, form[player.name, foot])
                times = sorted(clock + timedelta(seconds=int(s)) for s in self.random.integers(0, 900, size))
                self._write(player, foot, stage, Surface.LACES, distances, outcomes, times, Source.TAP)

    def _outcomes(
        self, stage: Stage, surface: Surface, distances: npt.NDArray[np.float64], form: tuple[float, float]
    ) -> npt.NDArray[np.str_]:
        """On, blocked, or the miss (left, right, over, short) of each strike of a set."""
        spread, bias = form
        spread = spread * SPREAD_FACTOR[stage.position - 1] * SURFACE_FACTOR[surface]
        half_angles = np.array([angular_width_deg(stage.target.width_m, metres) / 2 for metres in distances])
        angles = self.random.normal(bias, spread, distances.size)
        lost, how, blocked = self.random.random((3, distances.size))
        over = np.where((how < 0.6) & (not stage.target.is_gate), Miss.OVER, Miss.SHORT)
        outcomes = np.where(angles < -half_angles, Miss.LEFT, np.where(angles > half_angles, Miss.RIGHT, "on"))
        outcomes = np.where(lost < LOST_SHARE[stage.position - 1], over, outcomes)
        is_game = stage is LADDER.stages[-1]
        return np.where(is_game & (blocked < BLOCKED_SHARE), "blocked", outcomes)

    def _times(self, clock: datetime, size: int, source: Source) -> list[datetime]:
        """Taps come a few seconds apart; a called-out or paper set has one time, for its order is not known."""
        start = clock + timedelta(seconds=int(self.random.integers(0, 90)))
        if source is not Source.TAP:
            return [start + timedelta(minutes=3)] * size
        gaps = np.cumsum(self.random.integers(4, 14, size))
        return [start + timedelta(seconds=int(gap)) for gap in gaps]

    def _write(
        self, player: PlayerTruth, foot: Foot, stage: Stage, surface: Surface, distances: npt.NDArray[np.float64],
        outcomes: npt.NDArray[np.str_], times: list[datetime], source: Source,
    ) -> None:  # fmt: skip
        """Adds the rows of one set. Only taps say the surface and where a miss went."""
        set_number, logger = str(next(self.set_numbers)), LOGGERS[int(self.random.random() < 0.3)]
        is_tap = source is Source.TAP
        for struck_at, outcome, distance in zip(times, outcomes, distances, strict=True):
            is_miss = outcome not in ("on", "blocked")
            self.strikes.append((
                struck_at.isoformat(), f"{struck_at:%Y-%m-%d}", player.name, foot.value,
                surface.value if is_tap else "",
                "off" if is_miss else outcome, outcome if is_miss and is_tap else "", f"{distance:.2f}",
                stage.name, set_number, source.value, logger, SQUAD,
            ))  # fmt: skip

    def _decide(self, player: PlayerTruth, foot: Foot, day: date) -> None:
        """After a practice: a ready foot usually moves up that day, one out of its depth comes back a stage."""
        standing = self.standings[player.name, foot]
        following, chance = LADDER.stage_after(standing.stage), self.random.random()
        if standing.status is ReadinessStatus.REVISIT and chance < STEPS_BACK:
            before = LADDER.stages[standing.stage.position - 2]
            self._place(player, foot, before, day, note="Back a stage, to find the rhythm again")
        elif standing.status is ReadinessStatus.READY and following and chance < MOVES_UP_WHEN_READY:
            self._place(player, foot, following, day, note="")
        elif standing.status is ReadinessStatus.WORKING and following and chance < MOVES_UP_EARLY:
            self._place(player, foot, following, day, note="Moves up early, with a partner")

    def _place(self, player: PlayerTruth, foot: Foot, stage: Stage, day: date, *, note: str) -> None:
        before = self.standings.get((player.name, foot))
        placed_at = datetime.combine(day, time(11, 30) if before else time(9, 0), ZONE)
        status, suggested = "", ""
        if before:
            status = before.status.value
            suggested = before.stage.name if before.status is ReadinessStatus.WORKING else stage.name
        self.placements.append((placed_at.isoformat(), player.name, foot.value, stage.name, note, status, suggested))
        self.standings[player.name, foot] = Standing(stage=stage)


TABLES = {
    "players": ("player", "shirt_number", "birth_year", "preferred_foot", "squad", "active"),
    "seasons": ("season", "starts_on", "ends_on"),
    "strikes": (
        *("struck_at", "date", "player", "foot", "surface", "outcome", "miss", "distance_m", "stage", "set"),
        *("source", "logger", "squad"),
    ),
    "placements": ("placed_at", "player", "foot", "stage", "note", "suggested_status", "suggested_stage"),
    "truth": (
        *("player", "foot", "spread_start_deg", "spread_end_deg", "bias_start_deg", "bias_end_deg", "settled_at"),
        "story",
    ),
}


def write_demo_season(folder: Path) -> None:
    """Writes one CSV a table into a folder that is there. truth.csv says what is true of every player and foot, to
    check what the program makes of the strikes."""
    season = DemoSeason()
    season.strikes.sort(key=lambda row: (row[0], int(row[9])))  # by time, then set
    rows: dict[str, Sequence[Sequence[object]]] = {
        "players": [(one.name, one.shirt, one.born, one.preferred.value, SQUAD, True) for one in PLAYERS],
        "seasons": [SEASON],
        "strikes": season.strikes,
        "placements": sorted(season.placements),
        "truth": [
            (one.name, foot.value, *one.truth(foot).spread, *one.truth(foot).bias, one.settled_at, one.story)
            for one in PLAYERS
            for foot in Foot
        ],
    }
    for name, columns in TABLES.items():
        cells = [[None if cell == "" else cell for cell in row] for row in rows[name]]
        frame = pl.DataFrame(cells, schema=list(columns), orient="row", infer_schema_length=None)
        frame.write_csv(folder / f"{name}.csv")


if __name__ == "__main__":
    write_demo_season(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent)
