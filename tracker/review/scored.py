"""The scores of every player's foot at every stage, of many squads at once, and going on from what was known.

A *track* is one player's foot at one stage; the coach's placements cut it into *stretches*, and a score is of one
stretch. What strikes left in a stretch is kept in this process, so that later strikes alone are read when all else
stayed as it was; a correction, a late strike, a placement or another line starts from the first strike again.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields, replace
from functools import lru_cache

import numpy as np
import polars as pl
from numpy.typing import NDArray

from tracker.domain.vocabulary import Foot
from tracker.review.ready_lines import SquadRules
from tracker.review.scope import Scope
from tracker.review.standing import frame_of_stretches, stretches
from tracker.stats.checks import FloatArray, IntArray
from tracker.stats.readiness import Readiness, Standing, readiness
from tracker.stats.score import segment_starts
from tracker.stats.scoring import scoring
from tracker.store.database import Database
from tracker.store.strikes import StrikesSeen, player_numbers, steps, strikes_seen

STEPS_AT_A_TIME = 250_000
"""Steps scored together: few enough that their columns stay in a processor's cache."""
STRIKES_AT_A_TIME = 12_000_000
"""Where there are more, squads are read in several parts, so that memory has a bound."""
NEVER = -(2**62)


@dataclass(frozen=True, kw_only=True, slots=True)
class Steps:
    """Hits and misses in order: one row an instant of a track, by track and time; all (rows,).

    ``tangent`` is that of half the angle the target showed, NaN where it is not known.
    """

    track: IntArray
    at_us: IntArray
    practice: IntArray
    tangent: FloatArray
    hits: IntArray
    strikes: IntArray

    def of(self, rows: slice | NDArray[np.bool_] | NDArray[np.intp]) -> Steps:
        """Some of the rows."""
        return Steps(**{one.name: getattr(self, one.name)[rows] for one in fields(self)})


@dataclass(frozen=True, kw_only=True, slots=True)
class Scored:
    """Where every stretch stands; (stretches,). Times are µs since 1970 or ``NEVER``; figures without strikes NaN."""

    standing: Standing
    status: NDArray[np.str_]
    score: FloatArray
    line: FloatArray
    falling_score: FloatArray
    revisit_line: FloatArray
    ready_us: IntArray
    last_us: IntArray

    @classmethod
    def none(cls, stretches: int) -> Scored:
        """Before the first strike."""
        unknown, never = np.full(stretches, np.nan), np.full(stretches, NEVER)
        return cls(
            standing=Standing.fresh(stretches),
            status=np.full(stretches, "", dtype="U16"),
            **dict.fromkeys(("score", "line", "falling_score", "revisit_line"), unknown),
            **dict.fromkeys(("ready_us", "last_us"), never),
        )


@dataclass(frozen=True, kw_only=True, slots=True)
class Known:
    """The stretches of some squads and where each stands, and from what of players and strikes that was worked out
    (``changes`` counts what was stored before).

    ``table`` has one row a stretch, by track and time: track, squad (place in ``rules``), player_id, foot, stage,
    stage_position, starts_at, starts_us, is_here, is_passed, line, stage_tangent.
    """

    changes: int
    rules: Sequence[SquadRules]
    numbers: pl.DataFrame
    seen: StrikesSeen
    table: pl.DataFrame
    scored: Scored


def scored_stretches(database: Database, scope: Scope, rules: Sequence[SquadRules]) -> Known:
    """Every stretch of the squads' players and where it stands, on the strikes within the dates of the scope."""
    latest = _latest(database, replace(scope.every_strike, squad=None), tuple(one.squad.squad_id for one in rules))
    changes = database.changes
    if latest and latest[0].changes == changes and latest[0].rules == rules:
        return latest[0]
    seen, numbers = strikes_seen(database), player_numbers(database)
    for known in latest:
        is_same = known.rules == rules and known.numbers.equals(numbers)
        if is_same and strikes_seen(database, up_to_row=known.seen.last_row) == known.seen:
            later = _read(database, scope, known, rules, after_row=known.seen.last_row, last_row=seen.last_row)
            if _is_later(known, later):
                latest[:] = [_after(replace(known, changes=changes, seen=seen), later)]
                return latest[0]
    known = _nothing_known(rules, numbers, seen, changes=changes)
    parts = min(1 + seen.last_row // STRIKES_AT_A_TIME, len(rules))
    for first in range(parts):
        known = _after(known, _read(database, scope, known, rules[first::parts], last_row=seen.last_row))
    latest[:] = [known]
    return known


@lru_cache(maxsize=64)
def _latest(database: Database, scope: Scope, squad_ids: tuple[object, ...]) -> list[Known]:
    """The place where what is known of these squads is kept: one entry, or none yet."""
    del database, scope, squad_ids
    return []


def score_path(database: Database, scope: Scope, rules: Sequence[SquadRules]) -> pl.DataFrame:
    """One row per step of the players, by track and time: foot, stage, at_us, practice (code), hits, misses, score."""
    nothing = StrikesSeen(last_row=-1, kept=0, set_aside=0)
    known = _nothing_known(rules, player_numbers(database), nothing, changes=database.changes)
    found = _read(database, scope, known, rules)
    parts = [
        known.table.select("foot", "stage")[segment].with_columns(
            at_us=steps.at_us,
            practice=steps.practice,
            hits=steps.hits.astype(np.int64),
            misses=(steps.strikes - steps.hits).astype(np.int64),
            score=result.path,
        )
        for steps, segment, result in _scored_parts(known, found)
    ]
    return pl.concat(parts)


def _nothing_known(rules: Sequence[SquadRules], numbers: pl.DataFrame, seen: StrikesSeen, *, changes: int) -> Known:
    table = stretch_table(rules, numbers)
    return Known(
        changes=changes, rules=rules, numbers=numbers, seen=seen, table=table, scored=Scored.none(table.height)
    )


def stretch_table(rules: Sequence[SquadRules], numbers: pl.DataFrame) -> pl.DataFrame:
    """The table of ``Known``."""
    names = {name: place for place, name in enumerate(stage_names(rules))}
    number_of = {player_id: number for number, player_id in enumerate(numbers["player_id"])}
    first_line = np.cumsum([0, *(len(one.lines) for one in rules)])
    stages = pl.DataFrame(
        [
            (squad, foot, stage, names[stage], found.position, found.target.width_m / 2 / found.distance_m, line)
            for squad, one in enumerate(rules)
            for line, (foot, stage) in enumerate(one.lines, start=int(first_line[squad]))
            if (found := one.ladder.stage_named(stage))
        ],
        schema={
            "squad": pl.Int64,
            "foot": pl.String,
            "stage": pl.String,
            "stage_number": pl.Int64,
            "stage_position": pl.Int64,
            "stage_tangent": pl.Float64,
            "line": pl.Int64,
        },
        orient="row",
    )
    cut = [
        frame_of_stretches(stretches(one.ladder, list(one.members), list(one.placements))).with_columns(
            pl.lit(squad, dtype=pl.Int64).alias("squad")
        )
        for squad, one in enumerate(rules)
    ]
    player = pl.col("player_id").replace_strict(number_of, return_dtype=pl.Int64)
    is_right = (pl.col("foot") == Foot.RIGHT.value).cast(pl.Int64)
    return (
        pl.concat(cut)
        .join(stages, on=["squad", "foot", "stage"], maintain_order="left")
        .with_columns(
            ((player * 2 + is_right) * len(names) + pl.col("stage_number")).alias("track"),
            pl.col("starts_at").dt.epoch("us").alias("starts_us"),
        )
        .sort("track", "starts_us", maintain_order=True)
    )


def stage_names(rules: Sequence[SquadRules]) -> list[str]:
    """The stages of all their ladders, each name once."""
    return list(dict.fromkeys(stage.name for one in rules for stage in one.ladder.stages))


def _read(
    database: Database,
    scope: Scope,
    known: Known,
    part: Sequence[SquadRules],
    *,
    after_row: int | None = None,
    last_row: int | None = None,
) -> Steps:
    """The steps of some squads; strikes of one instant from one place are one step."""
    frame = steps(
        database,
        scope.strikes,
        stages=stage_names(known.rules),
        squad_ids=None
        if scope.squad is None and len(part) == len(known.rules)
        else [one.squad.squad_id for one in part],
        after_row=after_row,
        last_row=last_row,
    )
    found = Steps(
        track=frame["track"].to_numpy(),
        at_us=frame["struck_at_us"].to_numpy(),
        practice=frame["practice"].to_numpy(),
        tangent=frame["tangent"].fill_null(np.nan).to_numpy(),
        hits=frame["hits"].to_numpy(),
        strikes=np.ones(frame.height, dtype=np.int32),
    )
    again = np.flatnonzero(found.at_us[1:] == found.at_us[:-1])
    for column in (found.track, found.practice, np.nan_to_num(found.tangent, nan=-1.0)):
        again = again[column[again + 1] == column[again]]
    if again.size:
        first = np.delete(np.arange(frame.height), again + 1)
        sums = {name: np.add.reduceat(getattr(found, name), first) for name in ("hits", "strikes")}
        found = replace(found.of(first), **sums)
    on_ladder = np.isin(np.unique(found.track), known.table["track"])
    return found if on_ladder.all() else found.of(np.isin(found.track, known.table["track"]))


def _is_later(known: Known, found: Steps) -> bool:
    """Whether every step is later than all that is known of its track."""
    tracks, first = np.unique(known.table["track"].to_numpy(), return_index=True)
    last_us = np.maximum.reduceat(known.scored.last_us, first)
    return bool(np.all(found.at_us > last_us[np.searchsorted(tracks, found.track)]))


def _after(known: Known, found: Steps) -> Known:
    """What is known after these steps, which are later than all before them in their tracks."""
    scored = known.scored
    columns = {one.name: getattr(scored, one.name).copy() for one in fields(scored) if one.name != "standing"}
    standing = {one.name: getattr(scored.standing, one.name).copy() for one in fields(scored.standing)}
    for part, segment, result in _scored_parts(known, found):
        which = result.segment
        for name in ("status", "score", "line", "falling_score", "revisit_line"):
            columns[name][which] = getattr(result, name)
        for name, values in standing.items():
            values[which] = getattr(result.standing, name)
        is_reached = result.ready_row >= 0
        columns["ready_us"][which[is_reached]] = part.at_us[result.ready_row[is_reached]]
        columns["last_us"][which] = part.at_us[np.append(segment_starts(segment), segment.size)[1:] - 1]
    return replace(known, scored=Scored(standing=Standing(**standing), **columns))


def _scored_parts(known: Known, found: Steps) -> Iterator[tuple[Steps, IntArray, Readiness]]:
    """The steps in parts of whole stretches: steps, the row of ``known.table`` of each, and how their scores go on."""
    lines = [line for one in known.rules for line in one.lines.values()]
    rising, falling = [one.ready for one in lines], [one.gone for one in lines] + [one.too_hard for one in lines]
    table = known.table
    line, passed = table["line"].to_numpy(), table["is_passed"].to_numpy()
    watched, stage_angle = passed | table["is_here"].to_numpy(), _degrees(table["stage_tangent"].to_numpy())
    begins, ends = _bounds(table, found)
    first = 0
    while first < table.height:
        last = max(int(np.searchsorted(ends, begins[first] + STEPS_AT_A_TIME)), first + 1)
        part = found.of(slice(int(begins[first]), int(ends[last - 1])))
        segment = np.repeat(np.arange(first, last), (ends - begins)[first:last])
        first = last
        if not segment.size:
            continue
        which, is_passed, is_watched = line[segment], passed[segment], watched[segment]
        angles = {"half_angle_deg": _degrees(part.tangent), "stage_half_angle_deg": stage_angle[segment]}
        result = readiness(
            part.hits,
            part.strikes - part.hits,
            segment,
            part.practice,
            rising=scoring(rising, which, **angles),
            falling=scoring(falling, np.where(is_passed, which, which + len(lines)), **angles)
            if is_watched.any()
            else None,
            watched=is_watched,
            passed=is_passed,
            before=known.scored.standing.of(segment[segment_starts(segment)]),
        )
        yield part, segment, result


def _bounds(table: pl.DataFrame, found: Steps) -> tuple[IntArray, IntArray]:
    """The first step of each stretch, and the one after its last; (stretches,)."""
    track, starts_us = table["track"].to_numpy(), table["starts_us"].to_numpy()
    begins, ends = (np.searchsorted(found.track, track, side=side) for side in ("left", "right"))
    is_more = np.flatnonzero(track[1:] == track[:-1]) + 1  # all but the first stretch of a track
    for row in is_more:
        begins[row] += np.searchsorted(found.at_us[begins[row] : ends[row]], starts_us[row])
    ends[is_more - 1] = begins[is_more]
    return begins, ends


def _degrees(tangent: FloatArray) -> FloatArray:
    return np.degrees(np.arctan(tangent))
