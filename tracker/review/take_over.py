"""Takes in what another installation handed over: previewed first, only ever added, nobody mistaken for another.

Players are known by their ids; one with a name that somebody here has is the same or not, and only the coach can say.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from enum import StrEnum
from uuid import UUID
from zoneinfo import ZoneInfo

import polars as pl

from tracker.domain.identity import uuid7
from tracker.domain.ladder_file import parse_ladder
from tracker.domain.practice import Placement, Practice
from tracker.domain.squad import Player, Squad
from tracker.domain.vocabulary import Foot, PitchSurface, PreferredFoot, ReadinessStatus
from tracker.errors import FileError, RequestError
from tracker.intake import club_files
from tracker.intake.derived_ids import with_set_ids
from tracker.intake.hand_over_file import HandOverFile, read_hand_over
from tracker.intake.strike_columns import ParsedRows
from tracker.intake.strike_file import parse_strikes
from tracker.review import club
from tracker.review.resolve import ready_to_store
from tracker.store import ladders as stored_ladders
from tracker.store import practices as stored_practices
from tracker.store import squads as stored_squads
from tracker.store.coach_words import coach_words, save_coach_words
from tracker.store.database import Database, Reader, Transaction
from tracker.store.strikes import append_strikes, strikes_by_id

_UTC = ZoneInfo("UTC")


class Match(StrEnum):
    """Who an incoming player is here."""

    NEW = "new"
    HERE = "here already"
    SAME_NAME = "somebody here has this name"


@dataclass(frozen=True, kw_only=True, slots=True)
class Incoming:
    """One player of a hand-over, how many strikes come along, and who they are here; ``namesake`` has their name."""

    player: Player
    strikes: int
    match: Match
    namesake: Player | None


@dataclass(frozen=True, kw_only=True, slots=True)
class HandOverPreview:
    """What taking a file over would do. ``squad`` is where it goes, None for a squad that would be made."""

    squad: Squad | None
    squad_name: str
    made_at: datetime
    with_notes: bool
    players: list[Incoming]
    practices: int
    strikes: int
    new_strikes: int
    unknown_stages: list[str]

    @property
    def to_decide(self) -> list[Incoming]:
        """Those the coach must tell apart, or put together, before anything is stored."""
        return [one for one in self.players if one.match is Match.SAME_NAME]


@dataclass(frozen=True, kw_only=True, slots=True)
class TakenOver:
    """What was stored."""

    squad: Squad
    players: int
    strikes: int
    placements: int


Decisions = Mapping[UUID, Player | str]
"""For an incoming player's id: the player here who is the same, or the new display name that tells them apart."""


def preview_hand_over(
    database: Database, content: bytes, *, source: str, squad: Squad | None = None
) -> HandOverPreview:
    """What taking this file over would do; nothing is stored. Without a squad it goes to the one of the same name.

    Raises FileError when it is no hand-over, or something in it is wrong.
    """
    return _Incoming.read(database, content, source=source, squad=squad).preview(database)


def take_over(
    database: Database, content: bytes, *, source: str, squad: Squad | None = None, decisions: Decisions | None = None
) -> TakenOver:
    """Stores what a file hands over, all or nothing; what is here stays as it is, and a file taken again adds nothing.

    Raises FileError as ``preview_hand_over``, and RequestError while somebody of the same name has not been decided on.
    """
    incoming = _Incoming.read(database, content, source=source, squad=squad)
    decided = dict(decisions or {})
    preview = incoming.preview(database)
    open_ones = [one.player.display_name for one in preview.to_decide if one.player.player_id not in decided]
    if open_ones:
        raise RequestError(
            f"Somebody here is called {', '.join(open_ones)} too. Say whether they are the same, "
            "or give the newcomer another name. Nothing was stored."
        )
    with database.transaction() as transaction:
        return incoming.store(transaction, preview, decided)


@dataclass(frozen=True, kw_only=True, slots=True)
class _Incoming:
    """The parsed tables of a hand-over and where they go."""

    file: HandOverFile
    squad: Squad | None
    players: list[Player]
    practices: pl.DataFrame
    strikes: pl.DataFrame
    placements: pl.DataFrame
    words: pl.DataFrame

    @classmethod
    def read(cls, database: Database, content: bytes, *, source: str, squad: Squad | None) -> _Incoming:
        file = read_hand_over(content, source=source)
        named = {one.name.casefold(): one for one in club.squads(database)}
        target = squad or named.get(file.manifest.squad.casefold())
        target_id = target.squad_id if target else uuid7()
        rows = _right(club_files.parse_players(file.tables["players"]), source)
        players = [
            Player(
                player_id=UUID(row["player_id"]),
                squad_id=target_id,
                display_name=row["player"],
                shirt_number=row["shirt_number"],
                birth_year=row["birth_year"],
                preferred_foot=PreferredFoot(row["preferred_foot"]),
                active=row["active"],
            )
            for row in _identified(rows, "player_id", source=source).iter_rows(named=True)
        ]
        known = [str(one.player_id) for one in players]

        def table(name: str, parse: object) -> pl.DataFrame:
            if name not in file.tables:
                return pl.DataFrame()
            return _right(parse(file.tables[name]), source)  # type: ignore[operator]

        strikes = table("strikes", lambda raw: parse_strikes(raw, local_zone=_UTC, now=datetime.now(UTC)))
        practices = _identified(table("practices", club_files.parse_practices), "practice_id", source=source)
        if strikes.height:
            _identified(strikes, "strike_id", "practice_id", source=source)
            if not practices.height or not strikes["practice_id"].is_in(practices["practice_id"].to_list()).all():
                raise FileError(f"{source}: a strike names a practice that is not in the file; nothing was stored")
            strikes = with_set_ids(strikes, digest=file.tables["strikes"].digest, salt="")
        placed = table("placements", lambda raw: club_files.parse_placements(raw, local_zone=_UTC))
        return cls(
            file=file,
            squad=target,
            players=players,
            practices=practices,
            strikes=_of(strikes, known),
            placements=_of(_identified(placed, "placement_id", source=source), known),
            words=_of(table("coach_words", club_files.parse_coach_words), known),
        )

    def preview(self, database: Reader) -> HandOverPreview:
        here = stored_squads.players(database)
        ids = {one.player_id for one in here}
        names = {one.display_name.casefold(): one for one in here if self.squad and one.squad_id == self.squad.squad_id}
        counts = dict(self.strikes["player_id"].value_counts().iter_rows()) if self.strikes.height else {}
        there = strikes_by_id(database, self.strikes["strike_id"]).height if self.strikes.height else 0
        return HandOverPreview(
            squad=self.squad,
            squad_name=self.squad.name if self.squad else self.file.manifest.squad,
            made_at=self.file.manifest.made_at,
            with_notes=self.file.manifest.with_notes,
            players=[self._match(one, ids, names, counts) for one in self.players],
            practices=self.practices.height,
            strikes=self.strikes.height,
            new_strikes=self.strikes.height - there,
            unknown_stages=self._unknown_stages(database),
        )

    def _match(self, player: Player, ids: set[UUID], names: dict[str, Player], counts: dict[str, int]) -> Incoming:
        namesake = names.get(player.display_name.casefold())
        match = Match.HERE if player.player_id in ids else Match.SAME_NAME if namesake else Match.NEW
        return Incoming(
            player=player,
            strikes=counts.get(str(player.player_id), 0),
            match=match,
            namesake=namesake if match is Match.SAME_NAME else None,
        )

    def _unknown_stages(self, database: Reader) -> list[str]:
        """Stages of the file that the ladder here does not have: their strikes count, but towards no stage."""
        text = stored_ladders.ladder_texts(database).get(self.squad.ladder_name) if self.squad else None
        if text is None or self.strikes.is_empty():
            return []
        ladder = parse_ladder(text, source="ladder")
        named = self.strikes["stage"].drop_nulls().unique().sort().to_list()
        return [name for name in named if ladder.stage_named(name) is None]

    def store(
        self, transaction: Transaction, preview: HandOverPreview, decisions: dict[UUID, Player | str]
    ) -> TakenOver:
        squad = self.squad or self._made_squad(transaction)
        owner, made = self._players(transaction, squad, preview, decisions)
        stored = 0
        if self.strikes.height:
            practice_ids = self._practices(transaction, squad)
            rows = self.strikes.with_columns(
                pl.col("player_id").replace(owner), pl.col("practice_id").replace_strict(practice_ids)
            )
            stored = append_strikes(transaction, ready_to_store(rows)).stored
        placed = stored_practices.add_placements(transaction, self._placements(owner))
        self._save_words(transaction, owner)
        return TakenOver(squad=squad, players=made, strikes=stored, placements=placed)

    def _made_squad(self, transaction: Transaction) -> Squad:
        """The squad of the file, on its ladder; a ladder of that name that is here already stays as it is."""
        ladder = parse_ladder(self.file.ladder_text, source="ladder.toml")
        if ladder.name not in stored_ladders.ladder_texts(transaction):
            stored_ladders.save_ladder(transaction, name=ladder.name, content=self.file.ladder_text)
        squad = Squad(squad_id=uuid7(), name=self.file.manifest.squad, ladder_name=ladder.name)
        stored_squads.save_squads(transaction, [squad])
        return squad

    def _players(
        self, transaction: Transaction, squad: Squad, preview: HandOverPreview, decisions: Decisions
    ) -> tuple[dict[str, str], int]:
        """Whose strikes they are here, by incoming id; and how many players were made."""
        taken = {one.display_name.casefold() for one in stored_squads.players(transaction, squad_id=squad.squad_id)}
        owner, made = {}, []
        for one in preview.players:
            decision = decisions.get(one.player.player_id)
            owner[str(one.player.player_id)] = str(
                decision.player_id
                if isinstance(decision, Player) and one.match is Match.SAME_NAME
                else one.player.player_id
            )
            if one.match is Match.HERE or isinstance(decision, Player):
                continue
            try:
                player = replace(one.player, squad_id=squad.squad_id, display_name=decision or one.player.display_name)
            except ValueError as error:
                raise RequestError(f"{error}. Nothing was stored.") from error
            if player.display_name.casefold() in taken:
                raise RequestError(f"Somebody here is called {player.display_name} already. Nothing was stored.")
            taken.add(player.display_name.casefold())
            made.append(player)
        stored_squads.save_players(transaction, made)
        return owner, len(made)

    def _practices(self, transaction: Transaction, squad: Squad) -> dict[str, str]:
        """The practice here that each of the file's is, added where there is none: by id, else by day and label."""
        every = stored_practices.practices(transaction)
        ids = {one.practice_id for one in every}
        days = {(one.held_on, one.label): one.practice_id for one in every if one.squad_id == squad.squad_id}
        is_theirs = squad.name.casefold() != self.file.manifest.squad.casefold()
        answer, added = {}, []
        for row in self.practices.iter_rows(named=True):
            practice_id = UUID(row["practice_id"])
            label = f"{self.file.manifest.squad} {row['practice']}".strip() if is_theirs else row["practice"]
            key: tuple[date, str] = (row["held_on"], label)
            if practice_id not in ids and key not in days:
                days[key] = practice_id
                added.append(
                    Practice(
                        practice_id=practice_id,
                        squad_id=squad.squad_id,
                        held_on=row["held_on"],
                        label=label,
                        place=row["place"],
                        pitch_surface=PitchSurface(row["pitch_surface"]) if row["pitch_surface"] else None,
                        notes=row["notes"],
                    )
                )
            answer[row["practice_id"]] = str(practice_id if practice_id in ids else days[key])
        stored_practices.add_practices(transaction, added)
        return answer

    def _placements(self, owner: dict[str, str]) -> list[Placement]:
        return [
            Placement(
                placement_id=UUID(row["placement_id"]),
                player_id=UUID(owner[row["player_id"]]),
                foot=Foot(row["foot"]),
                stage=row["stage"],
                placed_at=row["placed_at"],
                suggested_stage=row["suggested_stage"],
                suggested_status=ReadinessStatus(row["suggested_status"]) if row["suggested_status"] else None,
                note=row["note"],
            )
            for row in self.placements.iter_rows(named=True)
        ]

    def _save_words(self, transaction: Transaction, owner: dict[str, str]) -> None:
        """The coach's words for seasons of the same name, where there are none yet."""
        seasons = {one.name.casefold(): one.season_id for one in stored_squads.seasons(transaction)}
        for row in self.words.iter_rows(named=True):
            season_id, player_id = seasons.get(row["season"].casefold()), UUID(owner[row["player_id"]])
            if season_id and row["words"] and player_id not in coach_words(transaction, season_id):
                save_coach_words(
                    transaction,
                    player_id=player_id,
                    season_id=season_id,
                    words=row["words"],
                    written_at=row["written_at"],
                )


def _right(parsed: ParsedRows, source: str) -> pl.DataFrame:
    if parsed.rejects.height:
        first = parsed.rejects.row(0, named=True)
        raise FileError(f"{source}, row {first['line']}: {first['why']}. Nothing was stored.")
    return parsed.rows


def _identified(rows: pl.DataFrame, *ids: str, source: str) -> pl.DataFrame:
    """The rows, every one of which has its ids. Raises FileError where one has not."""
    for name in ids:
        if rows.height and rows[name].null_count():
            raise FileError(f"{source}: a row has no {name}, so this is no hand-over of ours; nothing was stored")
    return rows


def _of(rows: pl.DataFrame, player_ids: list[str]) -> pl.DataFrame:
    """The rows of the players handed over; anybody else's have no business in the file."""
    return rows.filter(pl.col("player_id").is_in(player_ids)) if rows.height else rows
