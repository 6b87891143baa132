"""The touchline page: who may log what, what the page needs to know, and what it brings in."""

from __future__ import annotations

import hashlib
import secrets
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from uuid import UUID

import polars as pl

from tracker.domain.identity import uuid7
from tracker.domain.ladder import Ladder
from tracker.domain.practice import Practice
from tracker.domain.squad import Player, Squad, checked_name
from tracker.domain.strike import Correction, Strike
from tracker.domain.vocabulary import Foot, LengthUnit
from tracker.errors import RequestError
from tracker.review import club, logbook
from tracker.review.scope import Scope
from tracker.review.watch import WatchReason, watch
from tracker.store import pads as stored_pads
from tracker.store import strikes as stored_strikes
from tracker.store.database import Database, Transaction
from tracker.store.plans import planned_turns

LONGEST_DELIVERY = timedelta(days=7)
"""How long after its pass has expired a phone may still deliver what it holds."""

SHORTEST_PASS = timedelta(hours=4)


@dataclass(frozen=True, kw_only=True, slots=True)
class PadPass:
    """A new pass. ``token`` is known only here and now; the database keeps its hash."""

    token_id: UUID
    token: str
    practice_id: UUID
    expires_at: datetime

    @property
    def path(self) -> str:
        """What follows the server's address. The token stands behind #, which browsers do not send."""
        return f"/pad?practice={self.practice_id}#{self.token}"


@dataclass(frozen=True, kw_only=True, slots=True)
class PadAccess:
    """What the holder of a token may do: log one practice, as one logger, until it expires."""

    token_id: UUID
    practice_id: UUID
    squad_id: UUID
    held_on: date
    label: str
    logger: str
    expires_at: datetime

    def has_expired(self, now: datetime) -> bool:
        """Whether the page may no longer be opened with it."""
        return now > self.expires_at

    def may_deliver(self, now: datetime) -> bool:
        """Whether strikes struck before it expired may still come in."""
        return now <= self.expires_at + LONGEST_DELIVERY


@dataclass(frozen=True, kw_only=True, slots=True)
class PlannedMinutes:
    """When a plan has somebody watched: from and to which minute of the practice, and by which logger, from 1."""

    starts_at: int
    ends_at: int
    logger: int


@dataclass(frozen=True, kw_only=True, slots=True)
class WatchTurn:
    """Whom to watch, and why; ``planned`` where the practice's plan says so."""

    player_id: UUID
    foot: Foot
    stage: str
    why: WatchReason
    weeks_unseen: int | None
    planned: PlannedMinutes | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class PadBriefing:
    """What the page needs to know of a practice, and nothing else."""

    access: PadAccess
    squad: Squad
    ladder: Ladder
    players: list[Player]
    length_unit: LengthUnit
    today: pl.DataFrame
    watch: list[WatchTurn]


@dataclass(frozen=True, kw_only=True, slots=True)
class Delivery:
    """What became of a delivery, by id."""

    stored: list[str]
    already_there: list[str]


def give_pass(database: Database, practice: Practice, *, logger: str, now: datetime | None = None) -> PadPass:
    """A pass to log a practice until the end of its day, and for four hours at least. Raises RequestError."""
    try:
        name = checked_name(logger, what="logger")
    except ValueError as error:
        raise RequestError.of(error) from error
    moment = now or datetime.now(UTC)
    end_of_day = datetime.combine(practice.held_on + timedelta(days=1), time()).astimezone(UTC)
    token = secrets.token_urlsafe(24)
    made = PadPass(
        token_id=uuid7(),
        token=token,
        practice_id=practice.practice_id,
        expires_at=max(end_of_day, moment + SHORTEST_PASS),
    )
    with database.transaction() as transaction:
        stored_pads.add_pad_token(
            transaction,
            token_id=made.token_id,
            token_hash=_hash(token),
            practice_id=practice.practice_id,
            logger=name,
            created_at=moment,
            expires_at=made.expires_at,
        )
    return made


def revoke_pass(database: Database, token_id: UUID) -> None:
    """Ends a pass at once; what it stored stays. Raises RequestError when it ended before."""
    with database.transaction() as transaction:
        if not stored_pads.revoke_pad_token(transaction, token_id, at=datetime.now(UTC)):
            raise RequestError("That pass was revoked already, or is not there.")


def passes(database: Database, squad: Squad) -> pl.DataFrame:
    """One row per pass, the latest first: token_id, held_on, label, logger, created_at, expires_at, revoked_at."""
    return stored_pads.pad_tokens(database, squad.squad_id)


def access_of(database: Database, token: str) -> PadAccess | None:
    """What a token allows, or None when it is unknown or revoked. Whether it has expired is for the caller to ask."""
    found = stored_pads.pad_token_by_hash(database, _hash(token))
    if not found.height or found["revoked_at"][0] is not None:
        return None
    row = found.row(0, named=True)
    return PadAccess(
        token_id=UUID(row["token_id"]),
        practice_id=UUID(row["practice_id"]),
        squad_id=UUID(row["squad_id"]),
        held_on=row["held_on"],
        label=row["label"],
        logger=row["logger"],
        expires_at=row["expires_at"],
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class Roster:
    """Whom and what a pass may log."""

    ladder: Ladder
    players: frozenset[UUID]


def roster(database: Database, squad_id: UUID) -> Roster:
    """The players of a squad, active or not (one may leave while a phone still holds strikes), and its ladder."""
    squad = next(one for one in club.squads(database) if one.squad_id == squad_id)
    return Roster(
        ladder=club.ladder_of(database, squad),
        players=frozenset(one.player_id for one in club.players(database, squad)),
    )


def briefing(database: Database, access: PadAccess) -> PadBriefing:
    """Names and shirts, stages, and how many strikes this practice holds so far; no result and no birth year."""
    squad = next(one for one in club.squads(database) if one.squad_id == access.squad_id)
    practice = Practice(
        practice_id=access.practice_id, squad_id=access.squad_id, held_on=access.held_on, label=access.label
    )
    players = [one for one in club.players(database, squad) if one.active]
    return PadBriefing(
        access=access,
        squad=squad,
        ladder=club.ladder_of(database, squad),
        players=players,
        length_unit=club.length_unit(database),
        watch=_watch_turns(database, squad, practice, players),
        today=logbook.coverage(database, practice).select("player_id", "foot", "attempts"),
    )


def _watch_turns(database: Database, squad: Squad, practice: Practice, players: list[Player]) -> list[WatchTurn]:
    """The focal turns of the practice's plan; where it has none, whom strikes would tell most about."""
    ids = {one.display_name: one.player_id for one in players}
    shirts = {one.player_id: place for place, one in enumerate(players)}
    planned = [turn for turn in planned_turns(database, practice.practice_id) if turn.player_id in shirts]
    if planned:
        return [
            WatchTurn(
                player_id=turn.player_id,
                foot=turn.foot,
                stage=turn.stage,
                why=WatchReason.PLANNED,
                weeks_unseen=None,
                planned=PlannedMinutes(
                    starts_at=turn.starts_at, ends_at=turn.starts_at + turn.minutes, logger=turn.logger
                ),
            )
            for turn in sorted(planned, key=lambda turn: (turn.position, shirts[turn.player_id], turn.foot))
        ]
    return [
        WatchTurn(
            player_id=ids[row["player"]],
            foot=Foot(row["foot"]),
            stage=row["stage"],
            why=WatchReason(row["why"]),
            weeks_unseen=row["weeks_unseen"],
        )
        for row in watch(database, Scope(squad=squad), practice).iter_rows(named=True)
    ]


def store_strikes(transaction: Transaction, strikes: list[Strike]) -> Delivery:
    """Stores strikes of one or several phones, each id once."""
    ids = list(dict.fromkeys(str(one.strike_id) for one in strikes))
    before = set(stored_strikes.strikes_by_id(transaction, ids)["strike_id"])
    stored_strikes.append_strikes(
        transaction, stored_strikes.frame_of_strikes(strikes).unique("strike_id", keep="first")
    )
    return Delivery(
        stored=[one for one in ids if one not in before], already_there=[one for one in ids if one in before]
    )


def store_corrections(
    transaction: Transaction, corrections: list[Correction], *, practice_id: UUID
) -> tuple[Delivery, list[str]]:
    """Voids strikes of one practice; returns what became of them, and the ids that are not (yet) there."""
    there = stored_strikes.strikes_by_id(transaction, [str(one.strike_id) for one in corrections])
    mine = there.filter(pl.col("practice_id") == str(practice_id))
    known, void = set(mine["strike_id"]), set(mine.filter("is_void")["strike_id"])
    fresh = [one for one in corrections if str(one.strike_id) in known and str(one.strike_id) not in void]
    stored_strikes.void_strikes(transaction, {one.strike_id: one for one in fresh}.values())
    asked = list(dict.fromkeys(str(one.strike_id) for one in corrections))
    delivery = Delivery(
        stored=[one for one in asked if one in known and one not in void],
        already_there=[one for one in asked if one in void],
    )
    return delivery, [one for one in asked if one not in known]


def _hash(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()
