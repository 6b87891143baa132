"""What a coach reads about a plan on the Plan page; names in the order of shirts, never by how anybody does."""

from __future__ import annotations

from collections.abc import Sequence

from tracker.domain.cautions import Jump
from tracker.domain.practice_plan import Activity, ExpectedStrikes, FootWork, LaneWork, OpenQuestion, Part, PracticePlan
from tracker.domain.vocabulary import LengthUnit
from tracker.report.glossary import side_foot
from tracker.report.language import _, ngettext
from tracker.report.plan_words import sets_words
from tracker.report.wording import length_words, short_date_words


def listed(names: Sequence[str]) -> str:
    """Names in a row.

    >>> listed(["Ana", "Ben", "Cem"]), listed(["Ana"]), listed([])
    ('Ana, Ben and Cem', 'Ana', '')
    """
    *others, last = names or [""]
    return _("{names} and {last}").format(names=", ".join(others), last=last) if others else last


def in_order(names: Sequence[str], order: Sequence[str]) -> list[str]:
    """Names in the order of shirts; who is in no order comes last."""
    place = {name: number for number, name in enumerate(order)}
    return sorted(names, key=lambda name: (place.get(name, len(place)), name))


def plan_title(plan: PracticePlan) -> str:
    """What a plan comes to in one line: minutes, blocks, strikes a player."""
    strikes = sum(one.strikes for one in plan.expected_strikes)
    players = len({one.player for one in plan.expected_strikes}) or 1
    blocks = ngettext("{number} part of finishing", "{number} parts of finishing", len(plan.finishing))
    return _("{minutes} minutes: warm-up, {blocks}, a game. About {strikes} strikes a player.").format(
        minutes=plan.minutes, blocks=blocks.format(number=len(plan.finishing)), strikes=round(strikes / players)
    )


def plan_stages(plan: PracticePlan) -> str:
    """The stages a plan works at, each once."""
    return listed(list(dict.fromkeys(stage for part in plan.finishing for stage in part.stages)))


def minutes_words(starts_at: int, minutes: int) -> str:
    """From and to which minute.

    >>> minutes_words(14, 13)
    'minute 14 to 27'
    """
    return _("minute {first} to {last}").format(first=starts_at, last=starts_at + minutes)


def part_words(part: Part) -> str:
    """What is done in a part, in a line."""
    if part.activity is Activity.WARM_UP:
        return _("Jog, turn, jump and balance; then easy passes with both feet, the power built up strike by strike.")
    if part.activity is Activity.GAME:
        return _("A small game with free choice of foot, to end with.")
    return f"{listed(part.stages)}."


def block_words(number: int, part: Part) -> str:
    """The heading of a block of finishing.

    >>> block_words(2, Part(activity=Activity.FINISHING, starts_at=29, minutes=13, what=""))
    'Part 2, minute 29 to 42'
    """
    return _("Part {number}, minute {start} to {end}").format(
        number=number, start=part.starts_at, end=part.starts_at + part.minutes
    )


def lane_name(lane: LaneWork) -> str:
    """A lane by its number and stage."""
    return _("Lane {number}, {stage}").format(number=lane.number, stage=lane.stage)


def new_lane_name(stage: str) -> str:
    """A lane that is not there yet."""
    return _("a new lane, {stage}").format(stage=stage)


def work_words(work: FootWork | None, unit: LengthUnit) -> str:
    """What one foot does: its sets, and from where.

    >>> from tracker.domain.vocabulary import Foot
    >>> work = FootWork(foot=Foot.LEFT, sets=(10, 5), distance_m=10.0584, expected_rate=0.6)
    >>> work_words(work, LengthUnit.YARDS), work_words(None, LengthUnit.YARDS)
    ('10, 5 from 11 yd', '–')
    """
    if work is None or not work.sets:
        return "–"
    return _("{sets} from {distance}").format(sets=sets_words(work.sets), distance=length_words(work.distance_m, unit))


def question_words(question: OpenQuestion) -> str:
    """An open question, and when it should be answered.

    >>> from tracker.domain.vocabulary import Foot
    >>> asked = OpenQuestion(player="Kaya", foot=Foot.LEFT, stage="Rolling ball", practices=2, sentence="")
    >>> question_words(asked)
    "About 2 practices until we know about Kaya's left foot at Rolling ball."
    """
    said = {"player": question.player, "foot": side_foot(question.foot), "stage": question.stage}
    if question.practices is None:
        return _("{player}, {foot}, at {stage}: stays open, for this practice does not work on it.").format(**said)
    if question.practices == 0:
        return _("{player}, {foot}, at {stage}: known well already.").format(**said)
    return ngettext(
        "About {number} practice until we know about {player}'s {foot} at {stage}.",
        "About {number} practices until we know about {player}'s {foot} at {stage}.",
        question.practices,
    ).format(number=question.practices, **said)


def soonest(questions: Sequence[OpenQuestion], *, most: int = 5) -> list[OpenQuestion]:
    """The open questions that are answered first."""
    open_ones = [(one.practices, place, one) for place, one in enumerate(questions) if one.practices]
    return [one for _practices, _place, one in sorted(open_ones, key=lambda one: one[:2])[:most]]


def strikes_words(expected: ExpectedStrikes) -> str:
    """Strikes to expect of a foot, and how many of them are watched.

    >>> from tracker.domain.vocabulary import Foot
    >>> strikes_words(ExpectedStrikes(player="Kaya", foot=Foot.LEFT, strikes=40, watched=15))
    '40 (15 watched)'
    """
    if not expected.watched:
        return str(expected.strikes)
    return _("{strikes} ({watched} watched)").format(strikes=expected.strikes, watched=expected.watched)


def jump_words(jump: Jump) -> str:
    """An unusual week, for information."""
    said = {
        "player": jump.player,
        "strikes": jump.strikes,
        "day": short_date_words(jump.week),
        "mean": round(jump.mean_before),
        "weeks": jump.weeks_before,
    }
    compared = ngettext(
        "{player}: {strikes} strikes in the week of {day}, {mean} in the week before.",
        "{player}: {strikes} strikes in the week of {day}, {mean} a week in the {weeks} weeks before.",
        jump.weeks_before,
    ).format(**said)
    return f"{compared} {_('For information: no accepted limit is known. Ask how the legs feel.')}"


def latest(found: Sequence[Jump], *, most: int = 5) -> list[Jump]:
    """The unusual weeks that are the latest."""
    return sorted(found, key=lambda jump: jump.week, reverse=True)[:most]


def phase_words(*, is_block: bool | None) -> str:
    """How much the other foot works: in a block, in its upkeep, or as the weeks ahead say."""
    if is_block is None:
        return _("as the weeks ahead say")
    return _("a block: at least half") if is_block else _("upkeep: at least a quarter")
