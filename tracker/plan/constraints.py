"""Checks a plan, made here or changed by hand, against every stated constraint, and says in plain words what breaks."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from tracker.domain.practice_plan import Activity, LaneWork, Part, PlayerWork, PracticePlan
from tracker.domain.setup import LaneKind, SetUp, lane_kind
from tracker.domain.setup_lanes import Station, arrange
from tracker.errors import RequestError
from tracker.plan.assignment import FORTNIGHT_DAYS, MOST_A_LANE, due_players
from tracker.plan.choices import farthest_m, field_for, foot_choices, is_new_to, known_rate
from tracker.plan.lane_work import STRIKE_SECONDS
from tracker.plan.layout import farthest_spot_m
from tracker.plan.request import FEWEST_PLAYERS, PlanRequest, PresentPlayer
from tracker.plan.success_band import CENTRE, EASIEST, HARDEST, expected_rate, is_in_band
from tracker.plan.timetable import SHORTEST_GAME_MIN, SHORTEST_WARM_UP_MIN


class Constraint(StrEnum):
    """What every plan keeps."""

    WARM_UP_FIRST = "warm-up first"
    ENDS_WITH_A_GAME = "ends with a game"
    TIME = "time"
    EVERYONE_WORKS = "everyone works"
    STAGES = "stages"
    ONE_NEW_STAGE = "one new stage"
    OTHER_FOOT = "other foot"
    SUCCESS_BAND = "success band"
    WATCHED = "watched once a fortnight"
    LANES = "lanes"
    EQUIPMENT = "equipment"


@dataclass(frozen=True, kw_only=True, slots=True)
class Breach:
    """A constraint that a plan breaks, and how."""

    constraint: Constraint
    sentence: str


def check_plan(plan: PracticePlan, request: PlanRequest) -> list[Breach]:
    """Every breach of a constraint, in the order of the practice; none for a plan that keeps them all."""
    field = field_for(request)
    checks = {
        Constraint.WARM_UP_FIRST: _warm_up(plan),
        Constraint.ENDS_WITH_A_GAME: _game(plan, request),
        Constraint.TIME: _time(plan, request),
        Constraint.EVERYONE_WORKS: _everyone(plan, request),
        Constraint.STAGES: _stages(plan, field),
        Constraint.ONE_NEW_STAGE: _new_stages(plan, request, field),
        Constraint.OTHER_FOOT: _other_foot(plan, request),
        Constraint.SUCCESS_BAND: _band(plan, request, field),
        Constraint.WATCHED: _watched(plan, request),
        Constraint.LANES: _lanes(plan, field),
        Constraint.EQUIPMENT: _equipment(plan, request, field),
    }
    return [
        Breach(constraint=constraint, sentence=sentence)
        for constraint, sentences in checks.items()
        for sentence in sentences
    ]


def _warm_up(plan: PracticePlan) -> Iterator[str]:
    if not plan.parts or plan.parts[0].activity is not Activity.WARM_UP:
        yield "The practice does not begin with a warm-up."
    elif plan.parts[0].minutes < SHORTEST_WARM_UP_MIN:
        yield f"The warm-up lasts {plan.parts[0].minutes} minutes; give it at least {SHORTEST_WARM_UP_MIN}."


def _game(plan: PracticePlan, request: PlanRequest) -> Iterator[str]:
    if not plan.parts or plan.parts[-1].activity is not Activity.GAME:
        yield "The practice does not end with a game."
    elif plan.parts[-1].minutes < SHORTEST_GAME_MIN:
        yield f"The game lasts {plan.parts[-1].minutes} minutes; give it at least {SHORTEST_GAME_MIN}."
    if len(request.players) < FEWEST_PLAYERS:
        yield f"A game takes at least {FEWEST_PLAYERS} players."
    if request.equipment.goals + request.equipment.gates_that_can_be_made < 2:
        yield "A game takes two goals, or gates in their place: bring two flags or two cones for each."


def _time(plan: PracticePlan, request: PlanRequest) -> Iterator[str]:
    end = 0
    for part in plan.parts:
        if part.starts_at < end:
            yield f"The {part.activity.value} at minute {part.starts_at} begins before the part before it has ended."
        if part.minutes < 1:
            yield f"The {part.activity.value} at minute {part.starts_at} lasts no time."
        end = max(end, part.starts_at + part.minutes)
    if end > request.minutes:
        yield f"The practice takes {end} minutes, but there are {request.minutes}."
    for part in plan.finishing:
        for lane in part.lanes:
            strikes = sum(foot.strikes for player in lane.players for foot in player.feet)
            room = part.minutes * 60 // STRIKE_SECONDS
            if strikes > room:
                yield (
                    f"Lane {lane.number} at minute {part.starts_at} has {strikes} strikes; in {part.minutes} minutes "
                    f"there is room for about {room}."
                )


def _everyone(plan: PracticePlan, request: PlanRequest) -> Iterator[str]:
    here = {player.name for player in request.players}
    if not plan.finishing:
        yield "There is no block of finishing."
    for part in plan.finishing:
        times = Counter(player.player for lane in part.lanes for player in lane.players)
        for name in sorted(here - times.keys()):
            yield f"{name} is in no lane at minute {part.starts_at}."
        for name in sorted(times.keys() - here):
            yield f"{name} is in a lane at minute {part.starts_at}, but is not here."
        for name, count in times.items():
            if count > 1:
                yield f"{name} is in {count} lanes at minute {part.starts_at}."


def _stages(plan: PracticePlan, field: SetUp) -> Iterator[str]:
    for name in dict.fromkeys(lane.stage for _, lane, _ in plan.work()):
        stage = field.ladder.stage_named(name)
        if stage is None:
            yield f"{name!r} is no stage of the ladder."
        elif lane_kind(stage) is None:
            yield f"{name} is a game: it has no lanes."


def _new_stages(plan: PracticePlan, request: PlanRequest, field: SetUp) -> Iterator[str]:
    players = _by_name(request)
    new: dict[str, list[str]] = {}
    for _, lane, work in plan.work():
        stage, player = field.ladder.stage_named(lane.stage), players.get(work.player)
        if stage and player and is_new_to(player, stage, field.ladder):
            new.setdefault(stage.name, []).append(player.name)
    if len(new) > 1:
        listed = "; ".join(f"{stage} (for {', '.join(dict.fromkeys(names))})" for stage, names in new.items())
        yield f"{len(new)} stages are new today, and one is enough: {listed}."


def _other_foot(plan: PracticePlan, request: PlanRequest) -> Iterator[str]:
    share = request.phase.other_foot_share
    for player in request.players:
        strikes: Counter[bool] = Counter()
        for _, _, work in plan.work():
            if work.player == player.name:
                for foot in work.feet:
                    strikes[foot.foot is player.other_foot] += foot.strikes
        if strikes[True] < share * strikes.total() - 1e-9:
            yield (
                f"{player.name} strikes {strikes[True]} of {strikes.total()} with the {player.other_foot.value} foot, "
                f"the one to bring on; it should be at least {share:.0%}."
            )


def _band(plan: PracticePlan, request: PlanRequest, field: SetUp) -> Iterator[str]:
    players = _by_name(request)
    for part, lane, work in plan.work():
        player = players.get(work.player)
        if player is not None:
            yield from _out_of_band(part, lane, work, player, request, field)


def _out_of_band(
    part: Part, lane: LaneWork, work: PlayerWork, player: PresentPlayer, request: PlanRequest, field: SetUp
) -> Iterator[str]:
    """What is too hard or too easy for a player in a lane, unless no stage the foot has met would be better."""
    stage = field.ladder.stage_named(lane.stage)
    for foot in work.feet:
        if stage is None or not foot.sets:
            continue
        own, known = known_rate(player, foot.foot, field.ladder)
        rate = expected_rate(known_at=own, known_rate=known, stage=stage, distance_m=foot.distance_m)
        if is_in_band(rate):
            continue
        options = foot_choices(player, foot.foot, field, unit=request.unit).values()
        if any(one.is_owed and abs(rate - CENTRE) <= abs(one.rate - CENTRE) + 1e-6 for one in options):
            continue
        too = "easy" if rate > EASIEST else "hard"
        yield (
            f"{stage.name} is too {too} for {player.name}'s {foot.foot.value} foot at minute {part.starts_at}: about "
            f"{round(10 * rate)} of 10 expected; {round(10 * HARDEST)} to {round(10 * EASIEST)} is the aim. "
            f"Move the spot {'back' if too == 'easy' else 'nearer'}, or change the stage."
        )


def _watched(plan: PracticePlan, request: PlanRequest) -> Iterator[str]:
    seats = {
        (block, lane.number): {player.player for player in lane.players}
        for block, part in enumerate(plan.finishing, start=1)
        for lane in part.lanes
    }
    really: set[str] = set()
    busy: set[tuple[int, int]] = set()
    for turn in plan.focal_turns:
        minutes = {(turn.logger, minute) for minute in range(turn.starts_at, turn.starts_at + turn.minutes)}
        if turn.logger > request.loggers or minutes & busy:
            yield f"Logger {turn.logger} is not there, or watches two lanes at once, at minute {turn.starts_at}."
        busy |= minutes
        really |= seats.get((turn.block, turn.lane), set()) & set(turn.players)
    late = [request.players[number] for number in due_players(request) if request.players[number].name not in really]
    if late:
        longest = max(player.days_since_observed for player in late)
        yield (
            f"{', '.join(player.name for player in late)} should be watched today, for everyone is once in "
            f"{FORTNIGHT_DAYS} days (the longest ago: {longest} days). "
            + ("Bring another logger, or change the turns." if request.loggers else "Nobody is here to log.")
        )


def _lanes(plan: PracticePlan, field: SetUp) -> Iterator[str]:
    for part in plan.finishing:
        stations = []
        for lane in part.lanes:
            stage = field.ladder.stage_named(lane.stage)
            if stage is None or lane_kind(stage) is None:
                continue
            if len(lane.players) > MOST_A_LANE:
                yield f"Lane {lane.number} at minute {part.starts_at} has {len(lane.players)} players; six is the most."
            distance = farthest_spot_m(lane, default_m=stage.distance_m)
            if distance > farthest_m(stage, field) + 1e-6:
                yield f"Lane {lane.number}: {stage.name} from so far that a wide strike would leave the lane."
                distance = stage.distance_m
            stations.append(Station(stage=stage, lanes=1, distance_m=distance))
        try:
            arrange(field, stations)
        except RequestError as error:
            yield f"At minute {part.starts_at}: {error}"


def _equipment(plan: PracticePlan, request: PlanRequest, field: SetUp) -> Iterator[str]:
    equipment = request.equipment
    for part in plan.finishing:
        stages = [field.ladder.stage_named(lane.stage) for lane in part.lanes]
        kinds = Counter(lane_kind(stage) for stage in stages if stage)
        gates, goals = kinds[LaneKind.GATE] + kinds[LaneKind.RALLY], kinds[LaneKind.GOAL]
        for what, needed, there in (
            ("gates", gates, equipment.gates_that_can_be_made),
            ("goals", goals, equipment.goals),
            ("lanes with balls", gates + goals, equipment.lanes_with_balls),
        ):
            if needed > there:
                yield f"At minute {part.starts_at} the plan takes {needed} {what}, but there are {there}."


def _by_name(request: PlanRequest) -> dict[str, PresentPlayer]:
    return {player.name: player for player in request.players}
