"""The closed sets of words. Those that are stored have an SQL ENUM of the same name; a test keeps the two alike."""

from __future__ import annotations

from enum import StrEnum


class Foot(StrEnum):
    """The foot that struck the ball."""

    LEFT = "left"
    RIGHT = "right"

    @property
    def opposite(self) -> Foot:
        """The foot on the other side."""
        return Foot.RIGHT if self is Foot.LEFT else Foot.LEFT


class PreferredFoot(StrEnum):
    """The foot a player says they prefer. What the numbers show may differ, and is called *stronger*."""

    LEFT = "left"
    RIGHT = "right"
    BOTH = "both"
    UNKNOWN = "unknown"

    @property
    def foot(self) -> Foot | None:
        """The one preferred foot, or None when the player names both or none."""
        return None if self in (PreferredFoot.BOTH, PreferredFoot.UNKNOWN) else Foot(self.value)


class Surface(StrEnum):
    """The part of the foot that met the ball."""

    LACES = "laces"
    INSIDE = "inside"
    OUTSIDE = "outside"
    TOE = "toe"
    HEEL = "heel"
    OTHER = "other"


class Outcome(StrEnum):
    """What became of a strike. Attempts are on target plus off target; a blocked strike is neither."""

    ON_TARGET = "on target"
    OFF_TARGET = "off target"
    BLOCKED = "blocked"

    @property
    def is_attempt(self) -> bool:
        """Whether the strike counts in a rate (the counting rule; ``sql/views/tally.sql`` says the same)."""
        return self is not Outcome.BLOCKED


class Miss(StrEnum):
    """Where an off-target strike went, as the striker sees it. A mis-hit or air-kick is short."""

    LEFT = "left"
    RIGHT = "right"
    OVER = "over"
    SHORT = "short"


class Source(StrEnum):
    """How a strike came in. Only a tap knows the order within its set."""

    TAP = "tap"
    CALL_OUT = "call-out"
    PAPER = "paper"
    FILE = "file"


class BallArrival(StrEnum):
    """How the ball comes to the striker at a stage."""

    SERVED = "served"
    STILL = "still"
    ROLLING = "rolling"
    CARRIED = "carried"
    PASSED = "passed"
    GAME = "game"


class PitchSurface(StrEnum):
    """What a practice was played on."""

    GRASS = "grass"
    ARTIFICIAL = "artificial"
    INDOOR = "indoor"
    OTHER = "other"


class ReadinessStatus(StrEnum):
    """Where a player's foot stands at a stage."""

    GATHERING = "gathering"
    WORKING = "working"
    READY = "ready"
    REVISIT = "revisit"


class AuditEvent(StrEnum):
    """What is noted when somebody reads, takes out or erases what is kept about a child."""

    REPORT_READ = "report read"
    REPORT_WRITTEN = "report written"
    EXPORT = "export"
    HAND_OVER = "hand-over"
    TAKE_OVER = "take-over"
    FORGET = "forget"
    RETENTION = "retention"
    BACKUP = "backup"
    RESTORE = "restore"
    SIGN_IN = "sign-in"


class IntervalMethod(StrEnum):
    """Intervals for one rate."""

    WILSON = "wilson"
    WILSON_CC = "wilson-cc"
    CLOPPER_PEARSON = "clopper-pearson"
    JEFFREYS = "jeffreys"
    AGRESTI_COULL = "agresti-coull"


class LengthUnit(StrEnum):
    """The unit a person reads distances in. Everything is stored in metres."""

    METRES = "m"
    YARDS = "yd"


class Paper(StrEnum):
    """What pages are printed on."""

    A4 = "a4"
    LETTER = "us-letter"


class Language(StrEnum):
    """The languages a person can read the dashboard in; the value is the ISO 639-1 code."""

    ENGLISH = "en"
    SPANISH = "es"

    @property
    def own_name(self) -> str:
        """What its speakers call it."""
        return {Language.ENGLISH: "English", Language.SPANISH: "Español"}[self]


class Dimension(StrEnum):
    """What rates can be split by."""

    PLAYER = "player"
    FOOT = "foot"
    STAGE = "stage"
    SURFACE = "surface"
    DISTANCE = "distance"
    MONTH = "month"
    PRACTICE = "practice"


class ExportWhat(StrEnum):
    """What an export writes: strikes, their tallies, or a folder with everything."""

    STRIKES = "strikes"
    TALLIES = "tallies"
    ALL = "all"
