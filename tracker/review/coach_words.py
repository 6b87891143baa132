"""The coach's own words for a player's season: what no number says."""

from __future__ import annotations

import unicodedata

from tracker.domain.squad import Player, Season
from tracker.errors import RequestError
from tracker.store import coach_words as stored
from tracker.store.database import Database

LONGEST_WORDS = 600
"""Characters that fit the space on the second page."""


def coach_words(database: Database, player: Player, season: Season) -> str:
    """What the coach wrote for a player's season; empty when nothing."""
    return stored.coach_words(database, season.season_id).get(player.player_id, "")


def write_coach_words(database: Database, player: Player, season: Season, *, words: str) -> str:
    """Keeps the coach's words in place of what was there, and returns them as kept; empty takes them back.

    Lines stay apart; control characters and outer spaces go. Raises RequestError when they are too long for the page.
    """
    lines = [" ".join(_plain(line).split()) for line in words.splitlines()]
    kept = "\n".join(lines).strip()
    if len(kept) > LONGEST_WORDS:
        raise RequestError(
            f"The coach's words have {len(kept)} characters, and the page has room for {LONGEST_WORDS}. "
            "Nothing was changed."
        )
    with database.transaction() as transaction:
        stored.save_coach_words(transaction, player_id=player.player_id, season_id=season.season_id, words=kept)
    return kept


def _plain(line: str) -> str:
    return "".join(one for one in line if unicodedata.category(one) != "Cc" or one == "\t")
