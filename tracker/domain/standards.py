"""Age standards: field, goal, penalty area, ball and heading guidance by federation and age, with source and date.

A length is stored in metres, with what is printed beside it: where a page prints two units they are not exact
conversions of one another. ``standards_file`` reads the numbers that come with the program.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from tracker.errors import RequestError

CHECK_YOUR_FEDERATION = (
    "Check your own federation's current rules: these numbers were copied from published pages on the dates shown, "
    "and rules change."
)
YOUNGEST, OLDEST = 6, 19


class Federation(StrEnum):
    """Whose rules. ``OWN`` marks values that a club set itself."""

    US_SOCCER = "US Soccer"
    THE_FA = "The FA, England"
    SCOTTISH_FA = "Scottish FA"
    CANADA_SOCCER = "Canada Soccer"
    FOOTBALL_AUSTRALIA = "Football Australia"
    DFB = "DFB, Germany"
    IFAB = "IFAB Laws of the Game"
    OWN = "own values"


class HeadingRule(StrEnum):
    """What a federation says about heading in training."""

    NONE = "none"
    LIMITED = "limited"


@dataclass(frozen=True, kw_only=True, slots=True)
class Provenance:
    """Where a number was seen: the page, how the page dates itself, and the day it was copied."""

    text: str
    dated: str
    seen_on: date


@dataclass(frozen=True, kw_only=True, slots=True)
class Length:
    """A length in metres, and as printed ("18.5 ft"; "7.32 m, 8 yd")."""

    metres: float
    printed: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Extent:
    """One side of a field: the most, and the least where one is printed."""

    least: Length | None
    most: Length


@dataclass(frozen=True, kw_only=True, slots=True)
class FieldSize:
    """The field between its lines."""

    length: Extent
    width: Extent
    provenance: Provenance


@dataclass(frozen=True, kw_only=True, slots=True)
class GoalSize:
    """The goal between the posts and under the bar; ``is_largest_allowed`` where smaller goals may be used."""

    width: Length
    height: Length
    is_largest_allowed: bool
    provenance: Provenance


@dataclass(frozen=True, kw_only=True, slots=True)
class PenaltyArea:
    """Depth from the goal line, width, and the distance of the penalty mark where they are printed."""

    depth: Length
    width: Length | None
    mark: Length | None
    provenance: Provenance


@dataclass(frozen=True, kw_only=True, slots=True)
class BallSize:
    """The trade's sizes 3 to 5; weights and girths differ between sources and are not inferred."""

    sizes: tuple[int, ...]
    note: str | None
    provenance: Provenance


@dataclass(frozen=True, kw_only=True, slots=True)
class HeadingGuidance:
    """What is said of heading at an age; a number that is not printed is None. ``headers_a_week`` is (from, to)."""

    rule: HeadingRule
    training: str
    provenance: Provenance
    matches: str | None = None
    headers_a_session: int | None = None
    sessions_a_week: int | None = None
    sessions_a_month: int | None = None
    headers_a_week: tuple[int, int] | None = None
    minutes_a_week: int | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class AgeStandard:
    """What one federation prints for one age. A part that was not found is None, and ``notes`` say what disagrees.

    ``no_penalty_area`` is set where the format has none, so that None for ``penalty_area`` alone means: not found.
    """

    federation: Federation
    age: int
    season: str
    format: str | None
    field: FieldSize | None
    goal: GoalSize | None
    penalty_area: PenaltyArea | None
    no_penalty_area: Provenance | None
    ball: BallSize | None
    heading: HeadingGuidance | None
    notes: tuple[str, ...]

    @property
    def age_label(self) -> str:
        """The age as clubs write it: U12."""
        return f"U{self.age}"


def own_standard(
    age: int,
    *,
    set_on: date,
    goal_width_m: float,
    goal_height_m: float,
    penalty_area_depth_m: float | None = None,
    field_length_m: float | None = None,
    field_width_m: float | None = None,
    ball_size: int | None = None,
    heading_in_training: str | None = None,
) -> AgeStandard:
    """A club's own values for an age, in metres. ``heading_in_training`` is the club's rule in words.

    Raises RequestError for a length that is not above 0, or a field of one side only.
    """
    given = Provenance(text="set by the club", dated=set_on.isoformat(), seen_on=set_on)
    lengths = (goal_width_m, goal_height_m, penalty_area_depth_m, field_length_m, field_width_m)
    if any(length is not None and not 0 < length < 200 for length in lengths):
        raise RequestError("Own values are lengths in metres above 0 and below 200.")
    if (field_length_m is None) != (field_width_m is None):
        raise RequestError("Give both the length and the width of the field, or neither.")
    field = None
    if field_length_m is not None and field_width_m is not None:
        length, width = (Extent(least=None, most=_metres(side)) for side in (field_length_m, field_width_m))
        field = FieldSize(length=length, width=width, provenance=given)
    area = None
    if penalty_area_depth_m is not None:
        area = PenaltyArea(depth=_metres(penalty_area_depth_m), width=None, mark=None, provenance=given)
    heading = None
    if heading_in_training is not None:
        heading = HeadingGuidance(rule=HeadingRule.LIMITED, training=heading_in_training, provenance=given)
    return AgeStandard(
        federation=Federation.OWN,
        age=age,
        season=set_on.isoformat(),
        format=None,
        field=field,
        goal=GoalSize(
            width=_metres(goal_width_m), height=_metres(goal_height_m), is_largest_allowed=False, provenance=given
        ),
        penalty_area=area,
        no_penalty_area=None,
        ball=BallSize(sizes=(ball_size,), note=None, provenance=given) if ball_size is not None else None,
        heading=heading,
        notes=(),
    )


def _metres(length_m: float) -> Length:
    return Length(metres=length_m, printed=f"{length_m:g} m")
