"""What comes in over HTTP, checked: the shape by pydantic, each strike by itself, so that one spoils no other."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Annotated, Any, TypeVar
from uuid import UUID

from pydantic import AfterValidator, AwareDatetime, BaseModel, ConfigDict, Field, ValidationError

from tracker.domain.squad import LONGEST_NAME, checked_name
from tracker.domain.strike import Correction, Strike
from tracker.domain.vocabulary import Foot, Miss, Outcome, Source, Surface
from tracker.review.pad import PadAccess, Roster
from tracker.serve.answers import Rejected

Thing = TypeVar("Thing")
MOST_A_CALL = 500
CLOCK_SLACK = timedelta(minutes=10)
EARLIEST_MOMENT, LATEST_MOMENT = datetime(1950, 1, 1, tzinfo=UTC), datetime(2200, 1, 1, tzinfo=UTC)


def _name(text: str) -> str:
    return checked_name(text, what="the name")


def _reason(text: str) -> str:
    """On one line, and something to read: an export of it must come back."""
    reason = " ".join("".join(one if one.isprintable() else " " for one in text).split())
    if not reason:
        raise ValueError("must say something")
    return reason


def _moment(moment: datetime) -> datetime:
    """In UTC, between the years a file may hold (a phone's clock may be wrong by years, not by centuries)."""
    # Compared before it is converted: at the ends of the calendar there is no UTC to convert to.
    if not EARLIEST_MOMENT.year < moment.year < LATEST_MOMENT.year:
        raise ValueError(f"must lie between {EARLIEST_MOMENT.year} and {LATEST_MOMENT.year}")
    return moment.astimezone(UTC)


Name = Annotated[str, Field(min_length=1, max_length=LONGEST_NAME), AfterValidator(_name)]
Reason = Annotated[str, Field(min_length=1, max_length=200), AfterValidator(_reason)]
Moment = Annotated[AwareDatetime, AfterValidator(_moment)]


class _Payload(BaseModel):
    model_config = ConfigDict(extra="ignore")


class Listed(_Payload):
    """One entry as it came; its id must be one, the rest is looked at later."""

    model_config = ConfigDict(extra="allow")
    strike_id: UUID


class StrikeList(_Payload):
    """The body of ``POST /api/strikes``."""

    strikes: list[Listed] = Field(max_length=MOST_A_CALL)


class CorrectionList(_Payload):
    """The body of ``POST /api/corrections``."""

    corrections: list[Listed] = Field(max_length=MOST_A_CALL)


class StrikePayload(_Payload):
    """One strike."""

    strike_id: UUID
    practice: UUID
    player: UUID
    stage: Name | None = None
    foot: Foot
    surface: Surface | None = None
    outcome: Outcome
    miss: Miss | None = None
    distance_m: float | None = None
    struck_at: Moment
    struck_at_phone: Moment | None = None
    set_id: UUID | None = None
    source: Source = Source.TAP


class CorrectionPayload(_Payload):
    """One correction."""

    strike_id: UUID
    why: Reason
    at: Moment


def strikes_of(
    entries: list[Listed], *, access: PadAccess, roster: Roster, now: datetime
) -> tuple[list[Strike], list[Rejected]]:
    """The strikes of a delivery and the entries that are none. ``roster`` is what the pass may log."""

    def made(entry: Listed) -> Strike:
        payload = StrikePayload.model_validate(entry.model_dump())
        if payload.player not in roster.players:
            raise _Wrong("player", "there is no such player in this squad")
        if payload.struck_at > now + CLOCK_SLACK:
            raise _Wrong("struck_at", "that is in the future")
        if payload.struck_at > access.expires_at:
            raise _Wrong("struck_at", "that is after this pass expired")
        stage = roster.ladder.stage_named(payload.stage) if payload.stage else None
        return Strike(
            strike_id=payload.strike_id,
            practice_id=access.practice_id,
            player_id=payload.player,
            stage=stage.name if stage else payload.stage,
            foot=payload.foot,
            surface=payload.surface,
            outcome=payload.outcome,
            miss=payload.miss,
            distance_m=payload.distance_m if payload.distance_m is not None or stage is None else stage.distance_m,
            target_width_m=stage.target.width_m if stage else None,
            struck_at=payload.struck_at,
            set_id=payload.set_id,
            source=payload.source,
            logger=access.logger,
            struck_at_phone=payload.struck_at_phone,
        )

    return _each(entries, made)


def corrections_of(entries: list[Listed], *, access: PadAccess) -> tuple[list[Correction], list[Rejected]]:
    """The corrections of a delivery and the entries that are none."""

    def made(entry: Listed) -> Correction:
        payload = CorrectionPayload.model_validate(entry.model_dump())
        return Correction(
            strike_id=payload.strike_id,
            corrected_at=payload.at,
            corrected_by=access.logger,
            why=payload.why,
        )

    return _each(entries, made)


class _Wrong(ValueError):
    """A rule broken by one field."""

    def __init__(self, field: str, why: str) -> None:
        super().__init__(why)
        self.field = field


def _each(entries: list[Listed], made: Callable[[Listed], Thing]) -> tuple[list[Thing], list[Rejected]]:
    things: list[Thing] = []
    rejected: list[Rejected] = []
    for entry in entries:
        try:
            things.append(made(entry))
        except ValueError as error:
            field, why = _fault(error)
            rejected.append(Rejected(strike_id=str(entry.strike_id), field=field, why=why))
    return things, rejected


def _fault(error: ValueError) -> tuple[str, str]:
    if isinstance(error, _Wrong):
        return error.field, str(error)
    if isinstance(error, ValidationError):
        first: Any = error.errors()[0]
        return ".".join(str(part) for part in first["loc"]), first["msg"]
    return str(error).split(" ", 1)[0], str(error)
