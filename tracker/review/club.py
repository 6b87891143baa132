"""Who plays, in which squad and season, on which ladder: read and set up."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from functools import lru_cache
from typing import TypeVar
from uuid import UUID

import polars as pl

from tracker.domain.identity import uuid7
from tracker.domain.ladder import Ladder
from tracker.domain.ladder_file import parse_ladder, shipped_ladder_text, shipped_ladders
from tracker.domain.squad import Player, Season, Squad
from tracker.domain.vocabulary import Language, LengthUnit, Paper, PreferredFoot
from tracker.errors import RequestError
from tracker.store import ladders as stored_ladders
from tracker.store import squads as stored
from tracker.store.database import Database

Thing = TypeVar("Thing")
DEFAULT_LADDER = "U11–U12"


def squads(database: Database) -> list[Squad]:
    """Every squad, by name."""
    return stored.squads(database)


def seasons(database: Database) -> list[Season]:
    """Every season, the latest first."""
    return stored.seasons(database)


def players(database: Database, squad: Squad) -> list[Player]:
    """The players of a squad, active or not, in the order of shirts, then names."""
    return stored.players(database, squad_id=squad.squad_id)


def make_squad(database: Database, *, name: str, ladder_name: str = DEFAULT_LADDER) -> Squad:
    """A new squad on a ladder in use, or on one that ships. Raises RequestError."""
    squad: Squad = _checked(Squad, squad_id=uuid7(), name=name, ladder_name=ladder_name)
    if any(one.name.casefold() == squad.name.casefold() for one in squads(database)):
        raise RequestError(f"There is a squad {squad.name!r} already.")
    in_use = stored_ladders.ladder_texts(database)
    if ladder_name not in in_use and ladder_name not in ladder_names():
        raise RequestError(f"There is no ladder {ladder_name!r}. There is: {', '.join([*in_use, *ladder_names()])}.")
    with database.transaction() as transaction:
        if ladder_name not in in_use:
            stored_ladders.save_ladder(transaction, name=ladder_name, content=shipped_ladder_text(ladder_name))
        stored.save_squads(transaction, [squad])
    return squad


def make_season(database: Database, *, name: str, starts_on: date, ends_on: date) -> Season:
    """A new season. Raises RequestError when the name is taken or the dates are the wrong way round."""
    season: Season = _checked(Season, season_id=uuid7(), name=name, starts_on=starts_on, ends_on=ends_on)
    if any(one.name.casefold() == season.name.casefold() for one in seasons(database)):
        raise RequestError(f"There is a season {season.name!r} already.")
    with database.transaction() as transaction:
        stored.save_seasons(transaction, [season])
    return season


def season_around(day: date) -> tuple[str, date, date]:
    """Name, first and last day of the season a day lies in, August to July (common practice, no source)."""
    year = day.year if day.month >= 8 else day.year - 1
    return f"{year}/{(year + 1) % 100:02d}", date(year, 8, 1), date(year + 1, 7, 31)


def add_player(
    database: Database,
    squad: Squad,
    *,
    display_name: str,
    shirt_number: int | None = None,
    birth_year: int | None = None,
    preferred_foot: PreferredFoot = PreferredFoot.UNKNOWN,
) -> Player:
    """A new player. Raises RequestError when the name is taken in this squad, or a value cannot be."""
    player: Player = _checked(
        Player,
        player_id=uuid7(),
        squad_id=squad.squad_id,
        display_name=display_name,
        shirt_number=shirt_number,
        birth_year=birth_year,
        preferred_foot=preferred_foot,
        active=True,
    )
    change_player(database, player)
    return player


def change_player(database: Database, player: Player) -> None:
    """Saves a player. Raises RequestError when another player of the squad has the name."""
    for other in stored.players(database, squad_id=player.squad_id):
        if other.player_id != player.player_id and other.display_name.casefold() == player.display_name.casefold():
            raise RequestError(
                f"There is a player {player.display_name!r} in this squad already. "
                "Give one of them another display name, such as an initial more."
            )
    with database.transaction() as transaction:
        stored.save_players(transaction, [player])


def ladder_names() -> list[str]:
    """The ladders that ship, in age order."""
    return [ladder.name for ladder in shipped_ladders()]


def ladder_of(database: Database, squad: Squad) -> Ladder:
    """The ladder a squad works on. Raises LadderError or RequestError."""
    return _read_ladder(ladder_text(database, squad), f"ladder {squad.ladder_name}")


def ladders_of(database: Database, squads: Iterable[Squad]) -> dict[UUID, Ladder]:
    """The ladder each squad works on, by the squad's id. Raises LadderError or RequestError."""
    chosen = list(squads)
    by_name = {name: ladder_of(database, one) for name, one in {one.ladder_name: one for one in chosen}.items()}
    return {one.squad_id: by_name[one.ladder_name] for one in chosen}


@lru_cache(maxsize=64)
def _read_ladder(text: str, source: str) -> Ladder:
    """Read once: every page asks for its squad's ladder several times."""
    return parse_ladder(text, source=source)


def ladder_text(database: Database, squad: Squad) -> str:
    """The file of the ladder a squad works on, TOML."""
    texts = stored_ladders.ladder_texts(database)
    if squad.ladder_name not in texts:
        raise RequestError(
            f"The ladder {squad.ladder_name!r} of squad {squad.name!r} is not in the database. "
            "Put one in use with: strikeladder ladder use FILE"
        )
    return texts[squad.ladder_name]


def use_ladder(database: Database, squad: Squad, *, text: str, source: str) -> Ladder:
    """Puts a squad on the ladder of a file. Raises LadderError; then nothing has changed."""
    ladder = parse_ladder(text, source=source)
    moved = Squad(squad_id=squad.squad_id, name=squad.name, ladder_name=ladder.name)
    with database.transaction() as transaction:
        stored_ladders.save_ladder(transaction, name=ladder.name, content=text)
        stored.save_squads(transaction, [moved])
    return ladder


def stages_of(ladder: Ladder) -> pl.DataFrame:
    """The stages of a ladder, one row each: how the ball arrives, the target, its angle in degrees, the two rates."""
    return pl.DataFrame(
        [
            {
                "stage": stage.name,
                "ball_arrival": stage.ball_arrival.value,
                "surfaces": ", ".join(surface.value for surface in stage.surfaces),
                "target_width_m": round(stage.target.width_m, 2),
                "target_height_m": round(stage.target.height_m, 2) if stage.target.height_m else None,
                "distance_m": round(stage.distance_m, 2),
                "angular_width_deg": round(stage.angular_width_deg, 1),
                "set_sizes": ", ".join(str(size) for size in stage.set_sizes),
                "p_not_yet": stage.p_not_yet,
                "p_ready": stage.p_ready,
            }
            for stage in ladder.stages
        ]
    )


def length_unit(database: Database) -> LengthUnit:
    """The unit distances are shown in; yards until set otherwise."""
    return LengthUnit(stored_ladders.settings(database).get("length_unit", LengthUnit.YARDS))


def set_length_unit(database: Database, unit: LengthUnit) -> None:
    """Sets the unit distances are shown in."""
    with database.transaction() as transaction:
        stored_ladders.save_setting(transaction, name="length_unit", value=unit.value)


def paper(database: Database) -> Paper:
    """The paper pages are printed on; A4 until set otherwise."""
    return Paper(stored_ladders.settings(database).get("paper", Paper.A4))


def set_paper(database: Database, paper: Paper) -> None:
    """Sets the paper pages are printed on."""
    with database.transaction() as transaction:
        stored_ladders.save_setting(transaction, name="paper", value=paper.value)


def language(database: Database) -> Language:
    """The language the pages speak; English until set otherwise."""
    return Language(stored_ladders.settings(database).get("language", Language.ENGLISH))


def set_language(database: Database, language: Language) -> None:
    """Sets the language the pages speak."""
    with database.transaction() as transaction:
        stored_ladders.save_setting(transaction, name="language", value=language.value)


def _checked(kind: Callable[..., Thing], **fields: object) -> Thing:
    try:
        return kind(**fields)
    except ValueError as error:
        raise RequestError.of(error) from error
