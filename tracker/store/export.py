"""Everything a database holds, one frame a table, with names and ids."""

from __future__ import annotations

import polars as pl

from tracker.store.database import Reader
from tracker.store.strikes import StrikeFilter, exported_strikes


def everything(database: Reader) -> dict[str, pl.DataFrame]:
    """One frame per table, by the name its file has: squads, seasons, players, practices, strikes, …"""
    return {
        "settings": database.query("export_settings"),
        "squads": database.query("export_squads"),
        "seasons": database.query("export_seasons"),
        "players": database.query("export_players"),
        "practices": database.query("export_practices"),
        "strikes": exported_strikes(database, StrikeFilter(), with_voided=True),
        "corrections": database.query("export_corrections"),
        "placements": database.query("export_placements"),
        "coach_words": database.query("export_coach_words"),
    }
