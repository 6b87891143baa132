"""The norms a club has taken in from its federation: they stand in where its own players are too few to tell."""

from __future__ import annotations

from functools import lru_cache

from tracker.domain.norm import Norm
from tracker.domain.squad import Squad
from tracker.domain.vocabulary import Foot
from tracker.intake.norm_file import norms_text, parse_norms
from tracker.review.club import ladder_of
from tracker.store import ladders as stored_ladders
from tracker.store.database import Database

_SETTING = "norms"


def use_norms(database: Database, norms: tuple[Norm, ...]) -> None:
    """Takes norms in, in place of all that were there; none takes them out."""
    with database.transaction() as transaction:
        stored_ladders.save_setting(transaction, name=_SETTING, value=norms_text(norms))


def norms(database: Database) -> tuple[Norm, ...]:
    """The norms taken in. Raises FileError when they cannot be read."""
    text = stored_ladders.settings(database).get(_SETTING)
    return _parsed(text) if text else ()


def norms_of_squad(database: Database, squad: Squad) -> dict[tuple[str, str], Norm]:
    """The norms that fit the stages of a squad's ladder, by (stage name, foot)."""
    taken_in = norms(database)
    if not taken_in:
        return {}
    ladder = ladder_of(database, squad)
    return {
        (stage.name, foot.value): norm
        for stage in ladder.stages
        for foot in Foot
        for norm in taken_in
        if norm.foot is foot and norm.is_of(ladder, stage)
    }


@lru_cache(maxsize=4)
def _parsed(text: str) -> tuple[Norm, ...]:
    return parse_norms(text, source="the norms taken in")
