"""The words for a set-up: its lanes, targets and the angle a target shows from the ball."""

from __future__ import annotations

from tracker.domain.setup import Lane, LaneKind
from tracker.domain.vocabulary import LengthUnit
from tracker.report.language import _
from tracker.report.wording import length_words


def degrees_words(angle_deg: float) -> str:
    """An angle to the whole degree.

    >>> degrees_words(11.4212)
    '11°'
    """
    return f"{angle_deg:.0f}°"


def window_words(lane: Lane) -> str:
    """The angle that a lane's target shows from its ball spot."""
    return degrees_words(lane.angular_width_deg)


def target_measure(lane: Lane, unit: LengthUnit) -> str:
    """How wide a lane's target is."""
    left, right = lane.posts
    return length_words(right.x_m - left.x_m, unit)


def lane_words(lane: Lane, unit: LengthUnit) -> str:
    """One lane in a sentence: what is played there, at what target, from how far."""
    sentence = {
        LaneKind.GATE: _("Lane {number}, {stage}: gate {width}, from {distance}, {angle} to aim at."),
        LaneKind.RALLY: _("Lane {number}, {stage}: gate {width}, from {distance} on both sides, {angle} to aim at."),
        LaneKind.GOAL: _("Lane {number}, {stage}: goal {width}, from {distance}, {angle} to aim at."),
    }[lane.kind]
    return sentence.format(
        number=lane.number,
        stage=lane.stage,
        width=target_measure(lane, unit),
        distance=length_words(lane.distance_m, unit),
        angle=window_words(lane),
    )


def set_up_note() -> str:
    """How to read the drawing of a set-up."""
    return _(
        "Beside each target: its width, and the angle it shows from the ball. Arrows: where the strikes go. "
        "Grey: ground that wide strikes may cross. Dashed: the middle line."
    )
