"""Names in a file become the squads, players, practices and stages they stand for, or are made, or refused."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING
from uuid import UUID

import polars as pl

from tracker.domain.identity import uuid7
from tracker.domain.ladder import Ladder
from tracker.domain.ladder_file import parse_ladder, shipped_ladder_text
from tracker.domain.practice import Practice
from tracker.domain.squad import Player, Squad
from tracker.domain.vocabulary import PreferredFoot
from tracker.errors import RequestError
from tracker.review.club import DEFAULT_LADDER
from tracker.store import ladders as stored_ladders
from tracker.store import practices as stored_practices
from tracker.store import squads as stored_squads
from tracker.store.strikes import STRIKE_SCHEMA

if TYPE_CHECKING:
    from tracker.store.database import Transaction

FIRST_SQUAD = "My squad"


@dataclass(kw_only=True, slots=True)
class Resolver:
    """Resolves the rows of one import inside its transaction, remembering what it had to make."""

    transaction: Transaction
    default_squad: Squad | None
    may_make: bool
    made_squads: list[str] = field(default_factory=list)
    made_players: list[str] = field(default_factory=list)

    @classmethod
    def start(cls, transaction: Transaction, *, squad: Squad | None, may_make: bool) -> Resolver:
        """In a database without players whatever is missing is made: there is nobody to mistake it for."""
        there = stored_squads.squads(transaction)
        empty = not stored_squads.players(transaction)
        return cls(
            transaction=transaction,
            default_squad=squad or (there[0] if len(there) == 1 else None),
            may_make=may_make or empty,
        )

    def with_squads(self, rows: pl.DataFrame) -> pl.DataFrame:
        """Adds ``squad_id``: of the squad named in the row, or of the default squad."""
        there = {one.name.casefold(): one for one in stored_squads.squads(self.transaction)}
        ids: dict[str | None, str] = {}
        for name in rows["squad"].unique(maintain_order=True).to_list():
            only = next(iter(there.values())) if len(there) == 1 else None
            squad = there.get(name.casefold()) if name else self.default_squad or only
            if squad is None and name is None and there:
                raise RequestError(
                    "The file does not say which squad its rows are about, and there are several. Say so with --squad."
                )
            if squad is None and not self.may_make:
                raise RequestError(
                    f"There is no squad {name!r}. Check the name, or make it: import again with --create-players."
                )
            squad = squad or self._make_squad(name or FIRST_SQUAD)
            there[squad.name.casefold()] = squad
            ids[name] = str(squad.squad_id)
        return rows.with_columns(
            pl.col("squad").replace_strict(list(ids), list(ids.values()), return_dtype=pl.String).alias("squad_id")
        )

    def _make_squad(self, name: str) -> Squad:
        if DEFAULT_LADDER not in stored_ladders.ladder_texts(self.transaction):
            stored_ladders.save_ladder(
                self.transaction, name=DEFAULT_LADDER, content=shipped_ladder_text(DEFAULT_LADDER)
            )
        squad = Squad(squad_id=uuid7(), name=name, ladder_name=DEFAULT_LADDER)
        stored_squads.save_squads(self.transaction, [squad])
        self.made_squads.append(squad.name)
        return squad

    def with_players(self, rows: pl.DataFrame) -> tuple[pl.DataFrame, pl.DataFrame]:
        """The rows with ``player_id`` of the player named (by id if it is there, else by name in the squad), and the
        rejects of those whose player is not there and may not be made."""
        known = self._known_players()
        wanted = rows.select("squad_id", "player", "player_id").unique(maintain_order=True).with_columns(_key("player"))
        by_id = known.select("player_id", pl.col("player_id").alias("found_by_id")).unique("player_id")
        by_name = known.select("squad_id", "key", pl.col("player_id").alias("found_by_name")).unique(
            ["squad_id", "key"]
        )
        matched = (
            wanted.join(by_id, on="player_id", how="left", maintain_order="left")
            .join(by_name, on=["squad_id", "key"], how="left", maintain_order="left")
            .with_columns(pl.coalesce("found_by_id", "found_by_name").alias("found"))
        )
        missing = matched.filter(pl.col("found").is_null())
        if missing.height and self.may_make:
            made = self._make_players(missing)
            matched = (
                matched.join(made, on=["squad_id", "key"], how="left", maintain_order="left")
                .with_columns(pl.coalesce("found", "made").alias("found"))
                .drop("made")
            )
        found = rows.join(
            matched.select("squad_id", "player", "player_id", "found"),
            on=["squad_id", "player", "player_id"],
            nulls_equal=True,
            how="left",
            maintain_order="left",
        )
        why = "there is no such player in this squad; check the name, or import with --create-players"
        rejects = (
            found.filter(pl.col("found").is_null())
            .rechunk()
            .select(
                "line",
                pl.lit("player").alias("column"),
                pl.col("player").alias("value"),
                pl.format('player is "{}": {}', "player", pl.lit(why)).alias("why"),
            )
        )
        there = found.filter(pl.col("found").is_not_null()).with_columns(pl.col("found").alias("player_id"))
        return there.drop("found"), rejects

    def save_players(self, rows: pl.DataFrame) -> None:
        """Adds the players of a players table, or changes those that are there (by id, else by name in the squad)."""
        rows = self.with_squads(rows)
        known = self._known_players()
        by_name = {(squad_id, key): player_id for player_id, squad_id, _, key in known.iter_rows()}
        players = [
            Player(
                # Also two rows of one name, in any case, are one player.
                player_id=UUID(
                    row["player_id"] or by_name.setdefault((row["squad_id"], row["player"].lower()), str(uuid7()))
                ),
                squad_id=UUID(row["squad_id"]),
                display_name=row["player"],
                shirt_number=row["shirt_number"],
                birth_year=row["birth_year"],
                preferred_foot=PreferredFoot(row["preferred_foot"]),
                active=row["active"],
            )
            for row in rows.iter_rows(named=True)
        ]
        stored_squads.save_players(self.transaction, {one.player_id: one for one in players}.values())

    def _known_players(self) -> pl.DataFrame:
        return pl.DataFrame(
            [
                (str(one.player_id), str(one.squad_id), one.display_name)
                for one in stored_squads.players(self.transaction)
            ],
            schema={"player_id": pl.String, "squad_id": pl.String, "player": pl.String},
            orient="row",
        ).with_columns(_key("player"))

    def _make_players(self, missing: pl.DataFrame) -> pl.DataFrame:
        distinct = missing.unique(["squad_id", "key"], keep="first", maintain_order=True)
        players = [
            Player(
                player_id=UUID(row["player_id"]) if row["player_id"] else uuid7(),
                squad_id=UUID(row["squad_id"]),
                display_name=row["player"],
                shirt_number=None,
                birth_year=None,
                preferred_foot=PreferredFoot.UNKNOWN,
                active=True,
            )
            for row in distinct.iter_rows(named=True)
        ]
        stored_squads.save_players(self.transaction, players)
        self.made_players.extend(one.display_name for one in players)
        return distinct.select("squad_id", "key").with_columns(
            pl.Series("made", [str(one.player_id) for one in players], dtype=pl.String)
        )

    def with_practices(self, rows: pl.DataFrame) -> pl.DataFrame:
        """Adds the ``practice_id`` of the squad's practice of that day and label, made where it is not there."""
        day = pl.col("held_on").dt.strftime("%Y-%m-%d")
        label = pl.when(pl.col("practice") == day).then(pl.lit("")).otherwise(pl.col("practice")).fill_null("")
        rows = rows.with_columns(label.alias("label"))
        known_ids = {str(one.practice_id) for one in stored_practices.practices(self.transaction)}
        by_id = rows["practice_id"].is_in(list(known_ids)).fill_null(value=False)
        keys = (
            rows.filter(~by_id)
            .select("squad_id", "held_on", "label", "practice_id")
            .unique(["squad_id", "held_on", "label"], keep="first", maintain_order=True)
        )
        stored_practices.add_practices(
            self.transaction,
            [
                Practice(
                    practice_id=UUID(row["practice_id"]) if row["practice_id"] else uuid7(),
                    squad_id=UUID(row["squad_id"]),
                    held_on=row["held_on"],
                    label=row["label"],
                )
                for row in keys.iter_rows(named=True)
            ],
        )
        there = stored_practices.practice_counts(self.transaction).select(
            "squad_id", "held_on", "label", pl.col("practice_id").alias("found")
        )
        return (
            rows.join(there, on=["squad_id", "held_on", "label"], how="left", maintain_order="left")
            .with_columns(
                pl.when(pl.col("practice_id").is_in(list(known_ids)))
                .then("practice_id")
                .otherwise("found")
                .alias("practice_id")
            )
            .drop("found", "label")
        )

    def with_stages(self, rows: pl.DataFrame) -> tuple[pl.DataFrame, list[str]]:
        """Stages named as the squad's ladder names them, with its distance and target where the row has none; and the
        names that no ladder knows, which are kept as they are.

        A row that names its practice by id was exported from records, and what it leaves empty is not known.
        """
        if rows["stage"].null_count() == rows.height:
            return rows, []
        squads = stored_squads.squads(self.transaction)
        used = {one.ladder_name for one in squads}
        by_name: dict[str, Ladder] = {
            name: parse_ladder(text, source=f"ladder {name}")
            for name, text in stored_ladders.ladder_texts(self.transaction).items()
            if name in used
        }
        ladders = {str(one.squad_id): by_name[one.ladder_name] for one in squads if one.ladder_name in by_name}
        facts = pl.DataFrame(
            [
                (squad_id, stage.name, stage.distance_m, stage.target.width_m)
                for squad_id, ladder in ladders.items()
                for stage in ladder.stages
            ],
            schema={
                "squad_id": pl.String,
                "stage_name": pl.String,
                "stage_distance_m": pl.Float64,
                "stage_width_m": pl.Float64,
            },
            orient="row",
        ).with_columns(_key("stage_name"))
        joined = rows.with_columns(_key("stage")).join(facts, on=["squad_id", "key"], how="left", maintain_order="left")
        unknown = joined.filter(pl.col("stage").is_not_null() & pl.col("stage_name").is_null())["stage"]
        may_fill = pl.col("practice_id").is_null()
        return joined.with_columns(
            pl.coalesce("stage_name", "stage").alias("stage"),
            pl.coalesce("distance_m", pl.when(may_fill).then("stage_distance_m")).alias("distance_m"),
            pl.coalesce("target_width_m", pl.when(may_fill).then("stage_width_m")).alias("target_width_m"),
        ).drop("key", "stage_name", "stage_distance_m", "stage_width_m"), unknown.unique().sort().to_list()


def squad_salt(rows: pl.DataFrame) -> str:
    """What keeps derived ids of the same file apart in different squads, and the same whenever it is read again."""
    return ",".join(rows["squad_id"].unique().sort())


def ready_to_store(rows: pl.DataFrame) -> pl.DataFrame:
    """The columns of a strike, and nothing else."""
    return rows.select(pl.col(name).cast(dtype) for name, dtype in STRIKE_SCHEMA.items())


def _key(name: str) -> pl.Expr:
    return pl.col(name).str.to_lowercase().alias("key")
